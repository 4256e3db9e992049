//! What holds over the preview of a pasted table.

use super::{Action, Do, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Preview];

pub(super) const ROWS: &[Action] = &[
    entry(
        HERE,
        Do::TakeTable,
        "take-table",
        "take it",
        "Take the table as one edit; its why is asked for.",
        &[Key::Enter],
        1,
    ),
    entry(
        HERE,
        Do::TableNext,
        "table-next",
        "change",
        "The next field of the column, answer, or place for rows, under the cursor.",
        &[Key::Right, Key::Char('l')],
        2,
    ),
    entry(
        HERE,
        Do::TablePrevious,
        "table-previous",
        "change back",
        "The field, answer or place before.",
        &[Key::Left, Key::Char('h')],
        0,
    ),
    entry(
        HERE,
        Do::TableOf,
        "table-of",
        "wires/cavities",
        "Take the rows for wires, or for cavities.",
        &[Key::Char('t')],
        3,
    ),
    entry(
        HERE,
        Do::TableClear,
        "table-clear",
        "empty clears",
        "Let empty cells of this column clear what was there, or not.",
        &[Key::Char('x')],
        4,
    ),
    entry(
        HERE,
        Do::TableUp,
        "table-up",
        "up",
        "One line up.",
        &[Key::Up, Key::Char('k')],
        0,
    ),
    entry(
        HERE,
        Do::TableDown,
        "table-down",
        "down",
        "One line down.",
        &[Key::Down, Key::Char('j')],
        0,
    ),
    entry(
        HERE,
        Do::TablePageUp,
        "table-page-up",
        "page up",
        "Ten lines up.",
        &[Key::PageUp],
        0,
    ),
    entry(
        HERE,
        Do::TablePageDown,
        "table-page-down",
        "page down",
        "Ten lines down.",
        &[Key::PageDown],
        0,
    ),
    entry(
        HERE,
        Do::LeaveTable,
        "leave-table",
        "leave it",
        "Leave the table; nothing is changed.",
        &[Key::Esc, Key::Char('q')],
        5,
    ),
];
