//! What holds on States.

use super::{Action, Available, Do, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::States];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Rules,
        name: "rules",
        label: "rules",
        help: "Whether each rule holds, and which single faults break it; again goes back.",
        holds: HERE,
        keys: &[Key::Char('r')],
        hint: 1,
        available: |f| Available::when(f.computed, "the figures are being computed"),
    },
    Action {
        act: Do::Written,
        name: "written",
        label: "list",
        help: "Rules, behaviours, what moves, switches and states as a list to change.",
        holds: HERE,
        keys: &[Key::Char('w')],
        hint: 3,
        available: always,
    },
    Action {
        act: Do::Edit,
        name: "change-here",
        label: "change",
        help: "Change the state, the rule or whatever is under the cursor.",
        holds: HERE,
        keys: &[Key::Char('e')],
        hint: 3,
        available: |f| Available::when(f.on_record, "the cursor is on nothing that can be changed"),
    },
    Action {
        act: Do::Add,
        name: "add-here",
        label: "add",
        help: "Add a state; among the rules a rule; in the list one of its kind.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 4,
        available: always,
    },
    Action {
        act: Do::Remove,
        name: "remove-here",
        label: "remove",
        help: "Remove it; a word has to be typed. What something else names stays.",
        holds: HERE,
        keys: &[Key::Char('D')],
        hint: 5,
        available: |f| Available::when(f.on_record, "the cursor is on nothing that can be removed"),
    },
];
