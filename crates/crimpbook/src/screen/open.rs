//! Opens the screens over a session: threads, terminal, loop.

use std::{
    fmt,
    io::{self, Write},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    },
    thread,
    time::Duration,
};

use chrono::{DateTime, Local, Offset, Utc};
use crimpbook_workbook::{Book, edit::Edit, log::Entry};
use signal_hook::consts::{SIGCONT, SIGHUP, SIGTERM, SIGTSTP};

use super::{
    ask::Question,
    computed::{self, Computed, Job},
    effect::Msg,
    keys,
    model::{Model, sieve::Sieves},
    run::{Events, Port, run},
    start::{self, Choice, Start},
    terminal::{self, Taken},
    theme::{Look, Scheme},
};
use crate::session::{Copies, Fresh, Kept, Session, Tried, Tries, Trouble};

/// Shows the screens until the person leaves.
///
/// `seed`: fresh random bits for the ids of new records, other than those of the session.
///
/// # Errors
/// If there is no terminal, or it cannot be written to.
pub fn open(
    session: &mut Session,
    seed: u128,
    (look, lists): (Look, Sieves),
    outside: Around<impl FnOnce() -> Option<Msg> + Send + 'static>,
) -> io::Result<()> {
    let mut model = Model::new(
        Arc::clone(session.book()),
        session.heads().to_vec(),
        session.who(),
        seed,
        look,
    );
    model.offset = Local::now().offset().fix();
    model.take_lists(lists);
    let (send, receive) = channel();
    listen_to_signals(&send)?;
    let title = format!("{} - Crimpbook", model.vehicle());
    let mut taken = Taken::take(&title)?;
    listen_to_terminal(&send);
    if let Some(first) = outside.first {
        // The loop takes it in before any key.
        let _ = send.send(first);
    }
    let (told, aside) = (send.clone(), outside.aside);
    let on_the_side = thread::spawn(move || {
        if let Some(msg) = aside() {
            // Whoever left already need not be told.
            let _ = told.send(msg);
        }
    });
    let mut port = Outside {
        session,
        remember: outside.remember,
        title,
        jobs: computed::worker(send),
    };
    let ran = run(&mut taken.terminal, &mut model, &mut Channel(receive), &mut port);
    drop(taken);
    // While it still reads, the session could not leave the file as one.
    let _ = on_the_side.join();
    ran
}

/// What stands around the screens.
pub struct Around<A> {
    /// What is done with the whole file on the side, which may take longer than a frame; gives what there is to say about it.
    pub aside: A,
    /// Keeps the colours and the lists for the next run.
    pub remember: Box<dyn FnMut(Scheme, Sieves)>,
    /// What happens before anything else.
    pub first: Option<Msg>,
}

impl<A> fmt::Debug for Around<A> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Around")
            .field("first", &self.first)
            .finish_non_exhaustive()
    }
}

/// Shows the first screen until something is chosen.
///
/// # Errors
/// If there is no terminal, or it cannot be written to.
pub fn choose(start: &mut Start) -> io::Result<Choice> {
    let told_to_end = Arc::new(AtomicBool::new(false));
    let mut kept = Vec::new();
    for signal in [SIGTERM, SIGHUP] {
        kept.push(signal_hook::flag::register(signal, Arc::clone(&told_to_end))?);
    }
    let told_to_stop = Arc::new(AtomicBool::new(false));
    kept.push(signal_hook::flag::register(SIGTSTP, Arc::clone(&told_to_stop))?);
    let mut taken = Taken::take(TITLE)?;
    let chosen = loop {
        taken.terminal.draw(|frame| {
            let area = frame.area();
            if let Some(cursor) = start::draw(start, area, frame.buffer_mut()) {
                frame.set_cursor_position(cursor);
            }
        })?;
        // Read here and not in a thread, so that no key meant for the workbook's screens is taken from them.
        let input = loop {
            if told_to_end.load(Ordering::Relaxed) {
                break None;
            }
            if told_to_stop.swap(false, Ordering::Relaxed) {
                break Some(keys::Input::Suspend);
            }
            if crossterm::event::poll(LOOK)? {
                match keys::from_event(crossterm::event::read()?) {
                    None => {}
                    input => break input,
                }
            }
        };
        match input {
            None => break Choice::Leave,
            Some(keys::Input::Suspend) => taken.suspend(TITLE),
            Some(input) => {
                if let Some(choice) = start.take(input) {
                    break choice;
                }
            }
        }
    };
    drop(taken);
    for id in kept {
        signal_hook::low_level::unregister(id);
    }
    Ok(chosen)
}

/// What the window of the first screen is called.
const TITLE: &str = "Crimpbook";

/// How often it is looked whether the machine wants the program to end.
const LOOK: Duration = Duration::from_millis(250);

/// Events from the threads.
struct Channel(Receiver<Msg>);

impl Events for Channel {
    fn next(&mut self, most: Duration) -> Option<Msg> {
        match self.0.recv_timeout(most) {
            Ok(msg) => Some(msg),
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => Some(Msg::Hangup),
        }
    }
}

fn listen_to_terminal(send: &Sender<Msg>) {
    let send = send.clone();
    // The thread ends with the program: a read of the terminal cannot be called off.
    thread::spawn(move || {
        loop {
            let msg = match crossterm::event::read() {
                Ok(event) => keys::from_event(event).map(Msg::Input),
                Err(_) => Some(Msg::Hangup),
            };
            let last = matches!(msg, Some(Msg::Hangup));
            if msg.is_some_and(|msg| send.send(msg).is_err()) || last {
                return;
            }
        }
    });
}

fn listen_to_signals(send: &Sender<Msg>) -> io::Result<()> {
    use signal_hook::iterator::Signals;
    let send = send.clone();
    let mut signals = Signals::new([SIGTERM, SIGHUP, SIGTSTP, SIGCONT])?;
    thread::spawn(move || {
        for signal in signals.forever() {
            let msg = match signal {
                SIGTSTP => Msg::Input(keys::Input::Suspend),
                SIGCONT => Msg::Continued,
                _ => Msg::Hangup,
            };
            let last = matches!(msg, Msg::Hangup);
            if send.send(msg).is_err() || last {
                return;
            }
        }
    });
    Ok(())
}

/// The world outside: the session, the worker, the terminal's bell.
struct Outside<'s> {
    session: &'s mut Session,
    remember: Box<dyn FnMut(Scheme, Sieves)>,
    /// What the terminal's window is called.
    title: String,
    jobs: Sender<Job>,
}

impl Port for Outside<'_> {
    fn now(&mut self) -> DateTime<Utc> {
        self.session.now()
    }
    fn edit(&mut self, edit: Edit) -> Result<Kept, Trouble> {
        self.session.edit(edit)
    }
    fn undo(&mut self) -> Result<Kept, Trouble> {
        self.session.undo()
    }
    fn redo(&mut self) -> Result<Kept, Trouble> {
        self.session.redo()
    }
    fn tries(&mut self, what: Tries) -> Result<Tried, Trouble> {
        self.session.tries(what)
    }
    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
        self.session.entry(seq)
    }
    fn other(&mut self, path: &str) -> Result<Book, Trouble> {
        crate::session::other(std::path::Path::new(path))
    }
    fn copies(&mut self, path: &str) -> Result<Copies, Trouble> {
        self.session.copies(std::path::Path::new(path))
    }
    fn remember(&mut self, scheme: Scheme, lists: Sieves) {
        (self.remember)(scheme, lists);
    }
    fn read_part(&mut self, path: &str) -> Result<String, Trouble> {
        crate::part_files::read(path)
    }
    fn write_part(&mut self, path: &str, text: &str) -> Result<(), Trouble> {
        crate::part_files::write(path, text)
    }
    fn refresh(&mut self) -> Result<Option<Fresh>, Trouble> {
        self.session.refresh()
    }
    fn check(&mut self, generation: u64, book: Arc<Book>) {
        // A worker that is gone has said so already.
        let _ = self.jobs.send(Job::Check(generation, book));
    }
    fn ask(&mut self, generation: u64, of: Arc<Computed>, question: Question) {
        let _ = self.jobs.send(Job::Ask(generation, of, question));
    }
    fn bell(&mut self) {
        let mut out = io::stdout();
        let _ = out.write_all(b"\x07").and_then(|()| out.flush());
    }
    fn suspend(&mut self) {
        terminal::suspend(&self.title);
    }
    fn take_again(&mut self) {
        terminal::take_again(&self.title);
    }
}
