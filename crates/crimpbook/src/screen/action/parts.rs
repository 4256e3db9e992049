//! What holds on Parts.

use super::{Action, Available, Do, Where};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Parts];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Edit,
        name: "edit",
        label: "edit",
        help: "Change the record under the cursor.",
        holds: HERE,
        keys: &[Key::Enter, Key::Char('e')],
        hint: 1,
        available: |f| Available::when(f.on_record, "the list is empty"),
    },
    Action {
        act: Do::Add,
        name: "add",
        label: "add",
        help: "Add one of what is listed: a unit, a connector, a wire, a fuse.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 2,
        available: |f| Available::when(f.can_add, "a workbook is about one vehicle; change this one"),
    },
    Action {
        act: Do::Remove,
        name: "remove",
        label: "remove",
        help: "Remove the record; a word has to be typed, and it can be undone.",
        holds: HERE,
        keys: &[Key::Char('D')],
        hint: 3,
        available: |f| Available::when(f.on_record, "the list is empty"),
    },
];
