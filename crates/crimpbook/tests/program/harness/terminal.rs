//! The program in a pseudo-terminal, and the grid of characters a person would see.

use std::{
    fs,
    io::{ErrorKind, Read, Write},
    process::Command,
    sync::{Arc, Condvar, Mutex, MutexGuard},
    thread,
    time::Duration,
};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use vt100::{Parser, Screen};

use super::{Home, home::PROGRAM};

/// No step of a test takes this long unless it never comes; the machine may be busy.
const DEADLINE: Duration = Duration::from_secs(60);

/// What has come from the program.
struct Shown {
    grid: Parser,
    /// Every byte, as it came.
    written: Vec<u8>,
    ended: bool,
}

/// A terminal with the program in it.
pub struct Terminal {
    shown: Arc<(Mutex<Shown>, Condvar)>,
    keyboard: Box<dyn Write + Send>,
    master: Box<dyn MasterPty + Send>,
    child: Box<dyn Child + Send + Sync>,
    /// How the terminal stood before the program began.
    before: String,
}

impl Terminal {
    /// Starts the program in a window of 80 by 24.
    pub fn start(home: &Home, args: &[&str]) -> Self {
        Self::start_with(home, args, &[])
    }

    /// Starts it with more in its surroundings.
    pub fn start_with(home: &Home, args: &[&str], more: &[(&str, &str)]) -> Self {
        let pair = native_pty_system().openpty(size(80, 24)).unwrap();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(args);
        command.cwd(home.bench());
        command.env_clear();
        for (name, value) in home.surroundings() {
            command.env(name, value);
        }
        for (name, value) in more {
            command.env(name, value);
        }
        let before = modes(&*pair.master);
        let child = pair.slave.spawn_command(command).unwrap();
        // The end of the program is only seen when nobody else holds its side.
        drop(pair.slave);
        let shown = Arc::new((
            Mutex::new(Shown {
                grid: Parser::new(24, 80, 0),
                written: Vec::new(),
                ended: false,
            }),
            Condvar::new(),
        ));
        listen(pair.master.try_clone_reader().unwrap(), Arc::clone(&shown));
        Self {
            shown,
            keyboard: pair.master.take_writer().unwrap(),
            master: pair.master,
            child,
            before,
        }
    }

    /// Types keys.
    pub fn press(&mut self, keys: &str) {
        self.keyboard.write_all(keys.as_bytes()).unwrap();
        self.keyboard.flush().unwrap();
    }

    /// Types one after the other.
    pub fn press_all(&mut self, keys: &[&str]) {
        self.press(&keys.concat());
    }

    /// Pastes text, as a terminal does where the program has asked for it.
    pub fn paste(&mut self, text: &str) {
        self.press(&format!("\x1b[200~{text}\x1b[201~"));
    }

    /// Waits until the grid is as `holds` says. `what` is what was waited for, for when it never comes.
    #[track_caller]
    pub fn wait_until(&self, what: &str, holds: impl Fn(&Screen) -> bool) {
        let shown = self.wait(|shown| holds(shown.grid.screen()) || shown.ended);
        let seen = holds(shown.grid.screen());
        let ended = if shown.ended { "ended" } else { "not ended" };
        let grid = lines(shown.grid.screen()).join("\n");
        // A lock that is held while a test fails is of no use to what tidies up.
        drop(shown);
        assert!(
            seen,
            "never seen: {what}\nthe program has {ended}; the screen:\n{grid}"
        );
    }

    /// What is shown once `enough` holds, or at the deadline.
    fn wait(&self, enough: impl Fn(&Shown) -> bool) -> MutexGuard<'_, Shown> {
        let wait = |shown: &mut Shown| !enough(shown);
        let (shown, _) = self
            .shown
            .1
            .wait_timeout_while(self.shown(), DEADLINE, wait)
            .unwrap();
        shown
    }

    /// Waits until these words are somewhere on the grid, on one line.
    #[track_caller]
    pub fn wait_for(&self, words: &str) {
        self.wait_until(words, |screen| has(screen, words));
    }

    /// Waits until the workbook is read and the Overview shown.
    #[track_caller]
    pub fn opened(&self) {
        self.wait_until("the Overview of what was read", |screen| {
            // The keys are drawn last, so that no half of a frame is taken for it.
            has(screen, "what to do next") && has(screen, "? keys") && !has(screen, "until it is read")
        });
    }

    /// Waits until one line has all of these words.
    #[track_caller]
    pub fn wait_for_line(&self, words: &[&str]) {
        self.wait_until(&format!("a line with {words:?}"), |screen| {
            lines(screen)
                .iter()
                .any(|line| words.iter().all(|word| line.contains(word)))
        });
    }

    /// Waits until these words are gone from the grid.
    #[track_caller]
    pub fn wait_gone(&self, words: &str) {
        self.wait_until(&format!("{words:?} gone"), |screen| !has(screen, words));
    }

    /// Presses keys, then waits for words.
    #[track_caller]
    pub fn then(&mut self, keys: &[&str], words: &str) {
        self.press_all(keys);
        self.wait_for(words);
    }

    /// The grid as it stands.
    pub fn now(&self) -> Screen {
        self.shown().grid.screen().clone()
    }

    /// The lines of the grid, ends trimmed.
    pub fn lines(&self) -> Vec<String> {
        let shown = self.shown();
        let screen = shown.grid.screen();
        lines(screen)
    }

    /// How often the program has written this to the terminal.
    pub fn wrote(&self, sequence: &str) -> usize {
        let shown = self.shown();
        let all = shown.written.windows(sequence.len());
        all.filter(|bytes| *bytes == sequence.as_bytes()).count()
    }

    /// A click, as a terminal reports it where it was asked for that.
    pub fn click(&mut self, column: usize, line: usize) {
        self.press(&format!("\x1b[<0;{0};{1}M\x1b[<0;{0};{1}m", column + 1, line + 1));
    }

    /// Gives the window another size.
    pub fn resize(&self, columns: u16, rows: u16) {
        self.shown().grid.screen_mut().set_size(rows, columns);
        self.master.resize(size(columns, rows)).unwrap();
    }

    /// Sends a signal (`TERM`, `KILL`) to the program, and to it alone.
    pub fn signal(&self, name: &str) {
        let id = self.child.process_id().unwrap().to_string();
        let sent = Command::new("sh")
            .args(["-c", "kill -s \"$0\" \"$1\"", name, &id])
            .status();
        assert!(sent.unwrap().success());
    }

    /// Waits until the system holds the program stopped.
    #[track_caller]
    pub fn wait_stopped(&self) {
        let id = self.child.process_id().unwrap();
        let pause = Duration::from_millis(10);
        for _ in 0..DEADLINE.as_millis() / pause.as_millis() {
            // The state stands behind the name in brackets, wherever there is such a file.
            let stat = fs::read_to_string(format!("/proc/{id}/stat")).unwrap_or_default();
            if stat
                .rsplit(')')
                .next()
                .is_some_and(|rest| rest.trim_start().starts_with('T'))
            {
                return;
            }
            thread::sleep(pause);
        }
        panic!("the program is not stopped:\n{}", self.lines().join("\n"));
    }

    /// The terminal is as it was before the program began, though that has not ended.
    #[track_caller]
    pub fn as_before(&self) {
        self.wait_until("the terminal given back", |shown| {
            !shown.alternate_screen() && !shown.bracketed_paste() && !shown.hide_cursor()
        });
        assert_eq!(modes(&*self.master), self.before, "raw mode is left on");
    }

    /// Waits for the end of the program and looks whether the terminal is as it was: no alternate screen, no raw mode, no
    /// bracketed paste, no mouse, the cursor seen.
    #[track_caller]
    pub fn ends_tidily(mut self) {
        let status = self.ended();
        assert!(status.success(), "{status}\n{}", self.lines().join("\n"));
        let screen = self.shown().grid.screen().clone();
        let left = [
            ("the alternate screen", screen.alternate_screen()),
            ("bracketed paste", screen.bracketed_paste()),
            ("a hidden cursor", screen.hide_cursor()),
            (
                "mouse reports",
                screen.mouse_protocol_mode() != vt100::MouseProtocolMode::None,
            ),
            ("keypad mode", screen.application_keypad()),
            ("cursor key mode", screen.application_cursor()),
        ];
        for (what, on) in left {
            assert!(!on, "{what} is left on");
        }
        assert_eq!(modes(&*self.master), self.before, "raw mode is left on");
    }

    /// Waits for the end of the program, however it ends.
    #[track_caller]
    pub fn ended(&mut self) -> ExitStatus {
        let ended = self.wait(|shown| shown.ended).ended;
        assert!(ended, "the program does not end:\n{}", self.lines().join("\n"));
        self.child.wait().unwrap()
    }

    fn shown(&self) -> MutexGuard<'_, Shown> {
        self.shown.0.lock().unwrap()
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // A test that failed must not leave its program behind.
        if !self.shown().ended {
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }
}

/// Whether a line of the grid has these words.
fn has(screen: &Screen, words: &str) -> bool {
    lines(screen).iter().any(|line| line.contains(words))
}

fn lines(screen: &Screen) -> Vec<String> {
    let width = screen.size().1;
    screen
        .rows(0, width)
        .map(|line| line.trim_end().to_owned())
        .collect()
}

fn size(columns: u16, rows: u16) -> PtySize {
    PtySize {
        rows,
        cols: columns,
        pixel_width: 0,
        pixel_height: 0,
    }
}

/// How the terminal driver stands, to be compared.
fn modes(master: &dyn MasterPty) -> String {
    let termios = master.get_termios().expect("a terminal has modes");
    format!(
        "{:?} {:?} {:?} {:?}",
        termios.input_flags, termios.output_flags, termios.control_flags, termios.local_flags
    )
}

/// Takes in what the program writes until it ends.
fn listen(mut from: Box<dyn Read + Send>, shown: Arc<(Mutex<Shown>, Condvar)>) {
    thread::spawn(move || {
        let mut bytes = [0; 8192];
        loop {
            let read = match from.read(&mut bytes) {
                Err(error) if error.kind() == ErrorKind::Interrupted => continue,
                // A terminal whose program has gone reports an error rather than its end.
                read => read.unwrap_or(0),
            };
            let mut now = shown.0.lock().unwrap();
            match bytes.get(..read) {
                None | Some([]) => now.ended = true,
                Some(bytes) => {
                    now.written.extend_from_slice(bytes);
                    now.grid.process(bytes);
                }
            }
            shown.1.notify_all();
            if now.ended {
                return;
            }
        }
    });
}
