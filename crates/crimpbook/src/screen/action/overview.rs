//! What holds on the Overview.

use super::{Action, Do, Where, always};
use crate::screen::keys::Key;

pub(super) const ROWS: &[Action] = &[Action {
    act: Do::Open,
    name: "open",
    label: "open",
    help: "Open what the cursor is on, or go to it.",
    holds: &[Where::Overview, Where::Log, Where::Sources],
    keys: &[Key::Enter],
    hint: 1,
    available: always,
}];
