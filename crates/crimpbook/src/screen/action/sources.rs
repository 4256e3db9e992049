//! What holds on the Sources screen.

use super::Action;

pub(super) const ROWS: &[Action] = &[];
