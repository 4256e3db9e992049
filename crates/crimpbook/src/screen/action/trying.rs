//! What holds while edits are tried.

use super::{Action, Available, Do, PLACES, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Trying];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Try,
        name: "try-edits",
        label: "try edits",
        help: "Try edits first, keeping none; again: what they cost, keep, drop.",
        holds: PLACES,
        keys: &[Key::Char('W')],
        hint: 0,
        available: |f| Available::when(f.computed || f.trying, "the plan as it is is being computed"),
    },
    Action {
        act: Do::KeepTried,
        name: "keep-tried",
        label: "keep them",
        help: "Keep all that is tried as one change, with its why.",
        holds: HERE,
        keys: &[Key::Char('K')],
        hint: 1,
        available: |f| Available::when(f.tried, "nothing is tried yet"),
    },
    Action {
        act: Do::DropTried,
        name: "drop-tried",
        label: "drop them",
        help: "Drop all that is tried: the plan is as it was before.",
        holds: HERE,
        keys: &[Key::Char('D')],
        hint: 2,
        available: always,
    },
];
