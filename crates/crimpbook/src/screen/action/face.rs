//! What holds on the Face screen.

use super::Action;

pub(super) const ROWS: &[Action] = &[];
