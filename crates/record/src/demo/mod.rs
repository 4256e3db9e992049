//! The invented vehicle that comes with the program, and the story of its first year.
//!
//! `demo/marrowby-pipit.json` is the workbook as it was made; `demo/story.json` tells what was then changed, built and
//! measured. Both are played through the one door, so that the demonstration's log is a true log.

mod error;
mod patch;
mod play;
mod steps;
mod story;
#[cfg(test)]
mod tests;

pub use error::StoryError;
pub use play::play;
pub use story::{Beat, Story, Tick, TickSteps};

use crimpbook_workbook::{log::Entry, model::IdMaker};

/// The vehicle as interchange JSON.
pub const VEHICLE: &str = include_str!("../../../../demo/marrowby-pipit.json");
/// Its story; see [`Story`].
pub const STORY: &str = include_str!("../../../../demo/story.json");
/// Seed of the ids that the story's entries and build steps get: every demonstration workbook is the same.
const SEED: u128 = 0x9137;

/// The entries of the demonstration workbook, from its creation to the end of the story.
///
/// # Errors
/// [`StoryError`] names the beat that cannot be played.
pub fn entries() -> Result<Vec<Entry>, StoryError> {
    let records = crate::json::read(VEHICLE)?.records;
    let story: Story = Story::read(STORY)?;
    play(&records, &story, &mut IdMaker::new(SEED))
}
