//! What is wrong with an expression, and where.

use std::fmt;

/// Where reading stopped and what could have stood there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyntaxError {
    /// Characters before the place.
    pub at: usize,
    /// What stands there; empty at the end.
    pub found: String,
    /// What could have stood there.
    pub expected: String,
}

impl SyntaxError {
    /// The text with a pointer below the place.
    #[must_use]
    pub fn pointed(&self, text: &str) -> String {
        let line: String = text
            .chars()
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        format!("{line}\n{}^", " ".repeat(self.at))
    }
}

impl fmt::Display for SyntaxError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { at, found, expected } = self;
        if found.is_empty() {
            write!(f, "at the end: expected {expected}")
        } else {
            write!(f, "at character {}, `{found}`: expected {expected}", at + 1)
        }
    }
}

impl std::error::Error for SyntaxError {}
