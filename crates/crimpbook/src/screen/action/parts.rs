//! What holds on the Parts screen.

use super::Action;

pub(super) const ROWS: &[Action] = &[];
