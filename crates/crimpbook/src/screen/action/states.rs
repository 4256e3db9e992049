//! What holds on States.

use super::{Action, Available, Do, Where};
use crate::screen::keys::Key;

pub(super) const ROWS: &[Action] = &[Action {
    act: Do::Rules,
    name: "rules",
    label: "rules",
    help: "Whether each rule holds, and which single faults break it; again goes back.",
    holds: &[Where::States],
    keys: &[Key::Char('r')],
    hint: 1,
    available: |f| Available::when(f.computed, "the figures are being computed"),
}];
