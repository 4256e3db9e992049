//! The program in a pseudo-terminal, watched from outside: when it shows its first frame, what it holds, what it uses.

use std::{
    fs,
    io::{Read, Write},
    path::Path,
    sync::{Arc, Condvar, Mutex},
    thread,
    time::{Duration, Instant},
};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use vt100::Parser;

/// The program.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_crimpbook");

struct Shown {
    grid: Parser,
    bytes: usize,
    first_frame: Option<Instant>,
    ended: bool,
}

/// A run of it.
pub struct Running {
    child: Box<dyn Child + Send + Sync>,
    keyboard: Box<dyn Write + Send>,
    _master: Box<dyn MasterPty + Send>,
    shown: Arc<(Mutex<Shown>, Condvar)>,
    begun: Instant,
}

impl Running {
    /// Starts it on a file and waits for its first frame.
    pub fn start(folder: &Path, file: &str) -> Self {
        let size = PtySize {
            rows: 24,
            cols: 80,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.arg(file);
        command.cwd(folder);
        command.env("HOME", folder);
        command.env("TERM", "xterm-256color");
        let begun = Instant::now();
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let shown = Arc::new((
            Mutex::new(Shown {
                grid: Parser::new(24, 80, 0),
                bytes: 0,
                first_frame: None,
                ended: false,
            }),
            Condvar::new(),
        ));
        listen(pair.master.try_clone_reader().unwrap(), Arc::clone(&shown));
        let running = Self {
            child,
            keyboard: pair.master.take_writer().unwrap(),
            _master: pair.master,
            shown,
            begun,
        };
        running.wait(|shown| shown.first_frame.is_some() || shown.ended);
        running
    }

    /// Its number to the system.
    pub fn id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// How many bytes it has drawn with.
    pub fn bytes(&self) -> usize {
        self.shown.0.lock().unwrap().bytes
    }

    /// Waits until it uses the processor no more.
    pub fn settle(&self) {
        for _ in 0..120 {
            let before = ticks_of(self.id());
            thread::sleep(Duration::from_secs(2));
            if ticks_of(self.id()) <= before + 1 {
                return;
            }
        }
    }

    /// What it holds in memory, in MB.
    pub fn memory_mb(&self) -> f64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        let kb: Option<f64> = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
        kb.map_or(f64::NAN, |kb| kb * 1024.0 / 1e6)
    }

    /// Leaves it; gives the milliseconds to its first frame.
    pub fn leave(mut self) -> f64 {
        let first = self.shown.0.lock().unwrap().first_frame;
        let took = first.map_or(f64::NAN, |at| (at - self.begun).as_secs_f64() * 1e3);
        self.keyboard.write_all(b"q").unwrap();
        self.keyboard.flush().unwrap();
        self.wait(|shown| shown.ended);
        let _ = self.child.wait();
        took
    }

    fn wait(&self, enough: impl Fn(&Shown) -> bool) {
        let shown = self.shown.0.lock().unwrap();
        let limit = Duration::from_secs(120);
        let waited = self
            .shown
            .1
            .wait_timeout_while(shown, limit, |shown| !enough(shown));
        assert!(!waited.unwrap().1.timed_out(), "the program does not go on");
    }
}

/// Hundredths of a second that a process has had of the processor (proc(5), fields 14 and 15 of `stat`).
pub fn ticks_of(id: u32) -> u64 {
    let stat = fs::read_to_string(format!("/proc/{id}/stat")).unwrap_or_default();
    let rest = stat.rsplit(')').next().unwrap_or_default();
    let fields: Vec<&str> = rest.split_whitespace().collect();
    [11, 12]
        .iter()
        .filter_map(|at| fields.get(*at)?.parse::<u64>().ok())
        .sum()
}

fn listen(mut from: Box<dyn Read + Send>, shown: Arc<(Mutex<Shown>, Condvar)>) {
    thread::spawn(move || {
        let mut bytes = [0; 65536];
        loop {
            let read = from.read(&mut bytes).unwrap_or(0);
            let now = Instant::now();
            let mut shown_now = shown.0.lock().unwrap();
            if read == 0 {
                shown_now.ended = true;
            }
            shown_now.bytes += read;
            shown_now.grid.process(bytes.get(..read).unwrap_or_default());
            // The last line drawn is that of the keys.
            if shown_now.first_frame.is_none() && shown_now.grid.screen().contents().contains("? keys") {
                shown_now.first_frame = Some(now);
            }
            let ended = shown_now.ended;
            drop(shown_now);
            shown.1.notify_all();
            if ended {
                return;
            }
        }
    });
}
