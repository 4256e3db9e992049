//! Why the door refuses an edit, in sentences.

use crate::model::Key;

/// An edit was refused; nothing was changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The record is not as the edit expects it.
    #[error("{what} has changed since you looked: nothing was written; look again and repeat")]
    MovedOn {
        /// The record in words.
        what: String,
        /// The record.
        key: Key,
    },
    /// A why is needed.
    #[error("{what} {because}: say why")]
    WhyNeeded {
        /// The record in words.
        what: String,
        /// When one is needed (`changes after release B`).
        because: String,
    },
    /// Something is not right with a record.
    #[error("{what}: {problem}")]
    NotValid {
        /// The record in words.
        what: String,
        /// The record.
        key: Option<Key>,
        /// What is wrong and what to do.
        problem: String,
    },
    /// Nothing to undo or redo, or it is not one's own, or a release stands between.
    #[error("{0}")]
    CannotUndo(String),
}

/// The problem of a label that another record has.
pub const LABEL_TAKEN: &str = "the label is taken; choose another";

impl Refusal {
    /// The record it is about, if it is about one.
    pub fn key(self) -> Option<Key> {
        match self {
            Self::MovedOn { key, .. } => Some(key),
            Self::NotValid { key, .. } => key,
            _ => None,
        }
    }

    /// Something is wrong with a record.
    pub fn invalid(what: impl Into<String>, key: Option<Key>, problem: impl Into<String>) -> Self {
        Self::NotValid {
            what: what.into(),
            key,
            problem: problem.into(),
        }
    }
}
