//! While a workbook is read: its first frame tells what is seen at a glance, and what is typed waits for the screens.

mod view;

use std::{mem, time::Duration};

use chrono::FixedOffset;
use crimpbook_store::Glance;
use ratatui::{Terminal, backend::Backend};

use super::{
    action::{Do, Where, resolve},
    keys::{Input, Key},
    run::{Events, Window, show},
    theme::Look,
};
pub use view::draw;

/// What is known before the records are.
#[derive(Debug, Clone)]
pub struct Reading {
    glance: Glance,
    offset: FixedOffset,
    look: Look,
    /// What was typed meanwhile, in order.
    typed: Vec<Input>,
    /// Nothing that was drawn before is still on the terminal.
    fresh_terminal: bool,
}

/// What happens meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Event {
    /// At the terminal.
    Input(Input),
    /// The program was stopped and goes on.
    Continued,
    /// The terminal is gone or the machine stops.
    Hangup,
    /// The workbook is read, or cannot be.
    Read,
}

/// What is to be done then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Next {
    Wait,
    Suspend,
    TakeAgain,
    Leave,
    GoOn,
}

/// How it ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum End {
    /// The person, or the machine, wants no more of it.
    Left,
    /// The workbook is read or cannot be; what was typed meanwhile, in order.
    Read(Vec<Input>),
}

impl Reading {
    /// The first frame of a workbook.
    pub fn new(glance: Glance, offset: FixedOffset, look: Look) -> Self {
        Self {
            glance,
            offset,
            look,
            typed: Vec::new(),
            fresh_terminal: false,
        }
    }

    fn take(&mut self, event: Event) -> Next {
        match event {
            Event::Read => Next::GoOn,
            Event::Hangup => Next::Leave,
            Event::Continued => {
                self.fresh_terminal = true;
                Next::TakeAgain
            }
            Event::Input(Input::Suspend) => {
                self.fresh_terminal = true;
                Next::Suspend
            }
            // What a mouse points at is gone with this frame.
            Event::Input(Input::Resize | Input::Wheel { .. } | Input::Click(..)) => Next::Wait,
            Event::Input(Input::Key(key)) if self.leaves(key) => Next::Leave,
            Event::Input(input) => {
                self.typed.push(input);
                Next::Wait
            }
        }
    }

    /// Whether a key leaves at once. A letter behind others may be text by then; whoever strikes a chord wants out.
    fn leaves(&self, key: Key) -> bool {
        let quits = resolve(Where::Overview, key).is_some_and(|action| action.act == Do::Quit);
        quits && (self.typed.is_empty() || matches!(key, Key::Ctrl(_)))
    }
}

/// How long it is waited for something to happen; what there is to see changes only then.
const LOOK: Duration = Duration::from_millis(500);

/// Shows the first frame until the workbook is read.
///
/// # Errors
/// If the terminal cannot be written to.
pub fn wait<B: Backend>(
    terminal: &mut Terminal<B>,
    mut reading: Reading,
    events: &mut dyn Events<Event>,
    window: &mut dyn Window,
) -> Result<End, B::Error> {
    loop {
        let fresh = mem::take(&mut reading.fresh_terminal);
        show(terminal, fresh, |area, buffer| draw(&reading, area, buffer))?;
        let event = loop {
            if let Some(event) = events.next(LOOK) {
                break event;
            }
        };
        match reading.take(event) {
            Next::Wait => {}
            Next::Suspend => window.suspend(),
            Next::TakeAgain => window.take_again(),
            Next::Leave => return Ok(End::Left),
            Next::GoOn => return Ok(End::Read(reading.typed)),
        }
    }
}

#[cfg(test)]
mod tests;
