//! What the screens ask for, and how the answers come back.

use std::sync::Arc;

use crimpbook_workbook::{Book, edit::Edit, log::Entry, model::Key as RecordKey};

use super::{
    ask::{Answer, Question},
    computed::Computed,
    habits::Habits,
    hits::Hit,
    keys::Input,
};
use crate::session::{Copies, Fresh, Kept, Tried, Tries, Trouble};

/// Something to be done outside of the model.
#[derive(Debug, Clone)]
pub enum Effect {
    /// Keep an edit.
    Commit(Box<Edit>, Then),
    /// Take back the last edit of one's own.
    Undo,
    /// Do it again.
    Redo,
    /// Read a whole entry of the log.
    Read(u64),
    /// Read the entries from one place of the log to another, both of them too.
    ReadRange(u64, u64),
    /// Read these entries, which the past of settings is told from, up to the last one.
    ReadPast(Vec<u64>, u64),
    /// Read another workbook, by its path.
    ReadOther(String),
    /// Read another copy of this workbook with both logs, by its path.
    ReadCopy(String),
    /// Read a part file, by its path.
    ReadPart(String),
    /// Write a part file: path and text.
    WritePart(String, String),
    /// Remember the colours, the mouse and the lists as they are now.
    Remember(Habits),
    /// Have the terminal report its mouse, or leave it to the terminal.
    Mouse(bool),
    /// Run the checks over the book as it is, under this generation number.
    Check(u64),
    /// Ask something of what was computed under this generation number.
    Ask(u64, Arc<Computed>, Question),
    /// Ring the bell.
    Bell,
    /// Begin, keep or drop a trial of edits.
    Try(Tries),
    /// Give the terminal back and stop until somebody continues the program.
    Suspend,
    /// Leave.
    Quit,
}

/// What to do once an edit is kept.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Then {
    /// Close what lies over the screen.
    pub close: bool,
    /// Go to this record.
    pub go: Option<RecordKey>,
    /// Move the cursor on to the next.
    pub advance: bool,
}

/// Something that happened.
#[derive(Debug, Clone)]
pub enum Msg {
    /// At the terminal.
    Input(Input),
    /// Something that was drawn was clicked.
    Clicked(Hit),
    /// An edit was kept.
    Kept(Kept, Then),
    /// An edit was not kept; it is given back so that it can be mended.
    NotKept(Trouble, Option<(Box<Edit>, Then)>),
    /// A trial of edits was begun, kept or dropped.
    Tried(Tried),
    /// An entry of the log was read.
    Entry(u64, Box<Entry>),
    /// Entries of the log were read, one after the other.
    Entries(Vec<Entry>),
    /// What the past of settings is told from was read, up to this place of the log.
    Past(Vec<(u64, Entry)>, u64),
    /// Another workbook was read: its path as it was asked for, its records.
    Other(String, Arc<Book>),
    /// Another copy was read: its path as it was asked for, and both logs.
    Copies(String, Arc<Copies>),
    /// Another copy is to be merged with this workbook: its path.
    MergeWith(String),
    /// A part file was read: its path, its text.
    Part(String, String),
    /// A part file was written.
    PartWritten(String),
    /// A part file could not be read or written.
    NoPart(Trouble),
    /// Something could not be read.
    Failed(Trouble),
    /// Another writer changed the workbook.
    Fresh(Fresh),
    /// The whole file was read through on the side, and something in it is not as the program left it.
    Altered(String),
    /// Something on the side did not go well, which the work on the screen does not hang on.
    Aside(String),
    /// The checks are through with the book of a generation.
    Checked(u64, Arc<Computed>),
    /// The list that stands until then, where figures take a while.
    Listed(u64, Arc<Computed>),
    /// A question about the book of a generation is answered.
    Answered(u64, Question, Arc<Answer>),
    /// The program was stopped and goes on; another may have had the terminal meanwhile.
    Continued,
    /// The terminal is gone or the machine stops.
    Hangup,
}
