//! What holds on the Build screen.

use super::Action;

pub(super) const ROWS: &[Action] = &[];
