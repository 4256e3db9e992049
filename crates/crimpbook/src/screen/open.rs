//! Opens the screens over a workbook: threads, terminal, loops.

use std::{
    collections::VecDeque,
    fmt,
    io::{self, Write},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
        mpsc::{Receiver, RecvTimeoutError, Sender, channel},
    },
    thread::{self, JoinHandle},
    time::Duration,
};

use chrono::{DateTime, Local, Offset, Utc};
use crimpbook_store::Glance;
use crimpbook_workbook::{Book, edit::Edit, log::Entry};
use signal_hook::{
    consts::{SIGCONT, SIGHUP, SIGTERM, SIGTSTP},
    iterator::Handle,
};

use super::{
    ask::Question,
    computed::{self, Computed, Job},
    effect::Msg,
    habits::Habits,
    keys,
    model::{Model, over::unfinished},
    reading::{self, End, Event, Reading},
    run::{Events, Port, Window, run},
    start::{self, Choice, Start},
    terminal::{self, Taken},
    theme::Look,
};
use crate::report::Report;
use crate::session::{Copies, Fresh, Kept, Session, Tried, Tries, Trouble};

/// Shows the first frame, has the workbook read, and shows the screens until the person leaves.
///
/// `seed`: fresh random bits for the ids of new records, other than those of the session. `mouse`: it is asked for in this run. `read` may take a while and runs on
/// the side: it gives the session, and what is done on the side then with the whole file, which tells what there is to say about it.
///
/// # Errors
/// There is no terminal, or it cannot be written to; within: the workbook cannot be read.
pub fn open<A: FnOnce() -> Option<Msg> + Send + 'static>(
    glance: Glance,
    seed: u128,
    (look, habits, mouse): (Look, Habits, bool),
    read: impl FnOnce() -> Result<(Session, A), Report> + Send + 'static,
    outside: Around,
) -> io::Result<Result<(), Report>> {
    let offset = Local::now().offset().fix();
    let (send, receive) = channel();
    let signals = listen_to_signals(&send)?;
    let mut window = Named(format!("{} - Crimpbook", glance.vehicle));
    let mut taken = Taken::take(&window.0)?;
    let reader = thread::spawn(read);
    let mut meanwhile = Meanwhile {
        signals: &receive,
        reader: &reader,
    };
    let reading = Reading::new(glance, offset, look);
    let typed = match reading::wait(&mut taken.terminal, reading, &mut meanwhile, &mut window)? {
        // The reader changes nothing and ends with the program.
        End::Left => return Ok(Ok(())),
        End::Read(typed) => typed,
    };
    let read = reader.join().unwrap_or_else(|_| {
        Err(Report::internal(
            "reading the workbook stopped by a fault of the program",
        ))
    });
    let (mut session, aside) = match read {
        Ok(read) => read,
        Err(report) => {
            drop(taken);
            signals.close();
            return Ok(Err(report));
        }
    };
    let mut model = Model::new(
        Arc::clone(session.book()),
        session.heads().to_vec(),
        session.who(),
        seed,
        look,
    );
    model.offset = offset;
    model.take_habits(habits);
    model.mouse |= mouse;
    if model.mouse {
        window.mouse(true);
    }
    listen_to_terminal(&send);
    let told = send.clone();
    let on_the_side = thread::spawn(move || {
        if let Some(msg) = aside() {
            // Whoever left already need not be told.
            let _ = told.send(msg);
        }
    });
    let mut port = Outside {
        session: &mut session,
        remember: outside.remember,
        window,
        jobs: computed::worker(send),
    };
    let mut events = Channel {
        first: outside
            .first
            .into_iter()
            .chain(typed.into_iter().map(Msg::Input))
            .collect(),
        then: receive,
    };
    let ran = run(&mut taken.terminal, &mut model, &mut events, &mut port);
    drop(taken);
    // While it still reads, the session could not leave the file as one.
    let _ = on_the_side.join();
    // A person who leaves was asked; who was ended from outside still has the words.
    for typed in unfinished(&model) {
        let _ = writeln!(
            io::stderr(),
            "crimpbook: typed and not taken when it was ended: {typed}"
        );
    }
    ran.map(Ok)
}

/// What stands around the screens.
pub struct Around {
    /// Keeps habits for the next run.
    pub remember: Box<dyn FnMut(Habits)>,
    /// What happens before anything else.
    pub first: Option<Msg>,
}

impl fmt::Debug for Around {
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

/// What happens while a workbook is read.
///
/// The terminal is read here and not in a thread: where the workbook turns out to be damaged, the first screen reads on.
struct Meanwhile<'a, T> {
    signals: &'a Receiver<Msg>,
    reader: &'a JoinHandle<T>,
}

/// How often it is looked meanwhile whether all is read.
const STEP: Duration = Duration::from_millis(4);

impl<T> Events<Event> for Meanwhile<'_, T> {
    fn next(&mut self, most: Duration) -> Option<Event> {
        let mut waited = Duration::ZERO;
        loop {
            match self.signals.try_recv() {
                Ok(Msg::Input(input)) => return Some(Event::Input(input)),
                Ok(Msg::Continued) => return Some(Event::Continued),
                Ok(_) => return Some(Event::Hangup),
                Err(_) => {}
            }
            if self.reader.is_finished() {
                return Some(Event::Read);
            }
            let event = match crossterm::event::poll(STEP) {
                Ok(false) => None,
                Ok(true) => match crossterm::event::read() {
                    Ok(event) => keys::from_event(event).map(Event::Input),
                    Err(_) => Some(Event::Hangup),
                },
                Err(_) => Some(Event::Hangup),
            };
            waited += STEP;
            if event.is_some() || waited >= most {
                return event;
            }
        }
    }
}

/// Events from the threads, behind those that were there before.
struct Channel {
    first: VecDeque<Msg>,
    then: Receiver<Msg>,
}

impl Events for Channel {
    fn next(&mut self, most: Duration) -> Option<Msg> {
        if let Some(msg) = self.first.pop_front() {
            return Some(msg);
        }
        match self.then.recv_timeout(most) {
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

/// Has signals told as messages until what it gives is closed.
fn listen_to_signals(send: &Sender<Msg>) -> io::Result<Handle> {
    use signal_hook::iterator::Signals;
    let send = send.clone();
    let mut signals = Signals::new([SIGTERM, SIGHUP, SIGTSTP, SIGCONT])?;
    let handle = signals.handle();
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
    Ok(handle)
}

/// The world outside: the session, the worker, the terminal's bell.
struct Outside<'s> {
    session: &'s mut Session,
    remember: Box<dyn FnMut(Habits)>,
    window: Named,
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
    fn remember(&mut self, habits: Habits) {
        (self.remember)(habits);
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
}

impl Window for Outside<'_> {
    fn suspend(&mut self) {
        self.window.suspend();
    }
    fn take_again(&mut self) {
        self.window.take_again();
    }
    fn mouse(&mut self, on: bool) {
        self.window.mouse(on);
    }
}

/// The terminal's window, by what it is called.
struct Named(String);

impl Window for Named {
    fn suspend(&mut self) {
        terminal::suspend(&self.0);
    }
    fn take_again(&mut self) {
        terminal::take_again(&self.0);
    }
    fn mouse(&mut self, on: bool) {
        terminal::report_mouse(on);
    }
}
