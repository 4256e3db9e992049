//! Why a story cannot be played.

use crimpbook_workbook::edit::Refusal;

/// A vehicle or story that cannot be played.
#[derive(Debug, thiserror::Error)]
pub enum StoryError {
    /// The vehicle cannot be read.
    #[error("the vehicle: {0}")]
    Vehicle(#[from] crate::json::ReadError),
    /// The story cannot be read.
    #[error("the story, at {path}: {problem}")]
    Story {
        /// Where in the story (`[3].tick`).
        path: String,
        /// What is wrong.
        problem: String,
    },
    /// The door refused a beat.
    #[error("beat \"{title}\": {refusal}")]
    Refused {
        /// Title of the beat.
        title: String,
        /// Why.
        refusal: Refusal,
    },
    /// A beat says something that cannot be.
    #[error("beat \"{title}\": {problem}")]
    Beat {
        /// Title of the beat.
        title: String,
        /// What is wrong.
        problem: String,
    },
}
