//! The loop: an event, an update, its effects, a drawing. Generic over terminal and event source, so that tests run it.

use std::time::Duration;

use chrono::{DateTime, Utc};
use crimpbook_workbook::{Book, edit::Edit, log::Entry};
use ratatui::{
    Terminal,
    backend::Backend,
    buffer::Buffer,
    layout::{Position, Rect},
};

use super::{
    ask::Question,
    computed::Computed,
    effect::{Effect, Msg},
    habits::Habits,
    hits::Hits,
    keys::Input,
    model::Model,
    update::{check, update},
    view,
};
use crate::session::{Copies, Fresh, Kept, Tried, Tries, Trouble};

/// Where events come from.
pub trait Events<M = Msg> {
    /// The next event, waiting for at most `most`; none: nothing happened.
    fn next(&mut self, most: Duration) -> Option<M>;
}

/// What the loops do to the terminal but draw on it.
pub trait Window {
    /// Gives the terminal back, stops until somebody continues the program, and takes the terminal again.
    fn suspend(&mut self);
    /// Takes the terminal again after the program was stopped from outside.
    fn take_again(&mut self);
    /// Has the terminal report its mouse, or leaves it to the terminal.
    fn mouse(&mut self, on: bool);
}

/// What the loop does to the world outside of it.
pub trait Port: Window {
    /// The moment.
    fn now(&mut self) -> DateTime<Utc>;
    /// Checks and keeps an edit.
    ///
    /// # Errors
    /// A sentence; nothing was written then.
    fn edit(&mut self, edit: Edit) -> Result<Kept, Trouble>;
    /// Takes back the last edit of one's own.
    ///
    /// # Errors
    /// A sentence.
    fn undo(&mut self) -> Result<Kept, Trouble>;
    /// Does it again.
    ///
    /// # Errors
    /// A sentence.
    fn redo(&mut self) -> Result<Kept, Trouble>;
    /// Begins, keeps or drops a trial of edits.
    ///
    /// # Errors
    /// A sentence.
    fn tries(&mut self, what: Tries) -> Result<Tried, Trouble>;
    /// Reads a whole entry of the log.
    ///
    /// # Errors
    /// A sentence.
    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble>;
    /// Reads another workbook, which stays as it is.
    ///
    /// # Errors
    /// A sentence.
    fn other(&mut self, path: &str) -> Result<Book, Trouble>;
    /// Reads another copy of this workbook, which stays as it is, and both logs.
    ///
    /// # Errors
    /// A sentence.
    fn copies(&mut self, path: &str) -> Result<Copies, Trouble>;
    /// Reads a part file.
    ///
    /// # Errors
    /// A sentence.
    fn read_part(&mut self, path: &str) -> Result<String, Trouble>;
    /// Writes a part file that is not there yet.
    ///
    /// # Errors
    /// A sentence; what is there already stays.
    fn write_part(&mut self, path: &str, text: &str) -> Result<(), Trouble>;
    /// Remembers habits for the next run; that it cannot is nobody's trouble.
    fn remember(&mut self, habits: Habits);
    /// What another writer has done since; none: nothing.
    ///
    /// # Errors
    /// A sentence.
    fn refresh(&mut self) -> Result<Option<Fresh>, Trouble>;
    /// Starts the checks over a snapshot; the answer comes as an event of the same generation.
    fn check(&mut self, generation: u64, book: std::sync::Arc<Book>);
    /// Has a question answered; the answer comes as an event of the same generation.
    fn ask(&mut self, generation: u64, of: std::sync::Arc<Computed>, question: Question);
    /// Rings the bell.
    fn bell(&mut self);
}

/// How often another writer is looked for.
const LOOK: Duration = Duration::from_millis(500);

/// Runs the screens until the person leaves.
///
/// # Errors
/// If the terminal cannot be written to.
pub fn run<B: Backend>(
    terminal: &mut Terminal<B>,
    model: &mut Model,
    events: &mut dyn Events,
    port: &mut dyn Port,
) -> Result<(), B::Error> {
    model.now = port.now();
    let mut hits = draw(terminal, model)?;
    let started = check(model);
    if settle(model, started, port) {
        return Ok(());
    }
    loop {
        let Some(msg) = events.next(LOOK) else {
            match port.refresh() {
                Ok(None) => continue,
                Ok(Some(fresh)) => {
                    if settle_msg(model, Msg::Fresh(fresh), port) {
                        return Ok(());
                    }
                }
                Err(trouble) => {
                    // Said once, not twice a second.
                    let sentence = trouble.to_string();
                    if model.note.as_ref().is_some_and(|n| n.words == sentence) {
                        continue;
                    }
                    model.complain(sentence);
                }
            }
            hits = draw(terminal, model)?;
            continue;
        };
        model.now = port.now();
        if settle_msg(model, seen(msg, &hits), port) {
            return Ok(());
        }
        // What is waiting already is taken in before the next drawing, as when text is pasted key by key.
        while let Some(msg) = events.next(Duration::ZERO) {
            if settle_msg(model, seen(msg, &hits), port) {
                return Ok(());
            }
        }
        hits = draw(terminal, model)?;
    }
}

/// A click is on what the last frame showed, whatever has happened since.
fn seen(msg: Msg, hits: &Hits) -> Msg {
    match msg {
        Msg::Input(Input::Click(x, y)) => hits.at(x, y).map_or(msg, Msg::Clicked),
        other => other,
    }
}

/// Draws; gives what stands where.
fn draw<B: Backend>(terminal: &mut Terminal<B>, model: &mut Model) -> Result<Hits, B::Error> {
    let fresh = std::mem::take(&mut model.fresh_terminal);
    let model = &*model;
    let mut hits = Hits::default();
    show(terminal, fresh, |area, buffer| {
        view::draw_marking(model, area, buffer, &mut hits)
    })?;
    Ok(hits)
}

/// Shows what `draws` draws, which gives where the terminal's own cursor belongs. `fresh`: nothing that was drawn before is
/// still on the terminal.
pub(super) fn show<B: Backend>(
    terminal: &mut Terminal<B>,
    fresh: bool,
    draws: impl FnOnce(Rect, &mut Buffer) -> Option<Position>,
) -> Result<(), B::Error> {
    if fresh {
        // Forgets what was drawn. Its own `clear` asks the terminal where the cursor is, and the answer would go to the reader of keys.
        terminal.swap_buffers();
    }
    terminal.draw(|frame| {
        let area = frame.area();
        if let Some(cursor) = draws(area, frame.buffer_mut()) {
            frame.set_cursor_position(cursor);
        }
    })?;
    Ok(())
}

fn settle_msg(model: &mut Model, msg: Msg, port: &mut dyn Port) -> bool {
    if matches!(msg, Msg::Continued) {
        port.take_again();
    }
    let effects = update(model, msg);
    settle(model, effects, port)
}

/// Does effects and takes in their answers until nothing is left; true: leave.
fn settle(model: &mut Model, effects: Vec<Effect>, port: &mut dyn Port) -> bool {
    let mut waiting: std::collections::VecDeque<Effect> = effects.into();
    while let Some(effect) = waiting.pop_front() {
        let answer = match effect {
            Effect::Quit => return true,
            Effect::Commit(edit, then) => match port.edit((*edit).clone()) {
                Ok(kept) => Msg::Kept(kept, then),
                Err(trouble) => Msg::NotKept(trouble, Some((edit, then))),
            },
            Effect::Try(what) => match port.tries(what) {
                Ok(tried) => Msg::Tried(tried),
                Err(trouble) => Msg::NotKept(trouble, None),
            },
            Effect::Undo => kept(port.undo()),
            Effect::Redo => kept(port.redo()),
            Effect::Read(seq) => match port.entry(seq) {
                Ok(entry) => Msg::Entry(seq, Box::new(entry)),
                Err(trouble) => Msg::Failed(trouble),
            },
            Effect::ReadRange(from, to) => {
                let read: Result<Vec<Entry>, Trouble> = (from..=to).map(|seq| port.entry(seq)).collect();
                match read {
                    Ok(entries) => Msg::Entries(entries),
                    Err(trouble) => Msg::Failed(trouble),
                }
            }
            Effect::ReadPast(seqs, upto) => {
                let read = seqs.into_iter().map(|seq| Ok((seq, port.entry(seq)?)));
                match read.collect::<Result<Vec<_>, Trouble>>() {
                    Ok(entries) => Msg::Past(entries, upto),
                    Err(trouble) => Msg::Failed(trouble),
                }
            }
            Effect::ReadOther(path) => match port.other(&path) {
                Ok(book) => Msg::Other(path, std::sync::Arc::new(book)),
                Err(trouble) => Msg::Failed(trouble),
            },
            Effect::ReadCopy(path) => match port.copies(&path) {
                Ok(copies) => Msg::Copies(path, std::sync::Arc::new(copies)),
                Err(trouble) => Msg::Failed(trouble),
            },
            Effect::Remember(habits) => {
                port.remember(habits);
                continue;
            }
            Effect::Mouse(on) => {
                port.mouse(on);
                continue;
            }
            Effect::ReadPart(path) => match port.read_part(&path) {
                Ok(text) => Msg::Part(path, text),
                Err(trouble) => Msg::NoPart(trouble),
            },
            Effect::WritePart(path, text) => match port.write_part(&path, &text) {
                Ok(()) => Msg::PartWritten(path),
                Err(trouble) => Msg::NoPart(trouble),
            },
            Effect::Check(generation) => {
                port.check(generation, std::sync::Arc::clone(&model.book));
                continue;
            }
            Effect::Ask(generation, of, question) => {
                port.ask(generation, of, question);
                continue;
            }
            Effect::Bell => {
                port.bell();
                continue;
            }
            Effect::Suspend => {
                port.suspend();
                Msg::Continued
            }
        };
        waiting.extend(update(model, answer));
    }
    false
}

fn kept(result: Result<Kept, Trouble>) -> Msg {
    match result {
        Ok(kept) => Msg::Kept(kept, super::effect::Then::default()),
        Err(trouble) => Msg::NotKept(trouble, None),
    }
}
