//! What the next run is to know of how somebody works.

use super::{model::sieve::Sieves, theme::Scheme};

/// Colours, the mouse, and the lists of the workbook.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Habits {
    /// The colours chosen last.
    pub scheme: Scheme,
    /// Whether the mouse is listened to.
    pub mouse: bool,
    /// The orders and words of lists.
    pub lists: Sieves,
}
