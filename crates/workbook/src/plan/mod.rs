//! The build plan: which steps each wire, connector and junction takes, in which order, and how far they are.
//!
//! Steps and their order are common practice, no source; the contact maker's sheet wins.

mod colours;
mod drums;
mod order;
mod passes;
mod progress;
pub(crate) mod rests;
mod steps;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_passes;
mod tick;

pub use colours::{Proposal, colours_for, propose, take_colours, wire_use};
pub use drums::{FromDrum, Left, from_drums, in_stock_m};
pub use order::{CutGroup, cut_list, ends_in_order};
pub use passes::{Pass, Piece, in_passes, of_piece, piece_of, together};
pub use progress::{Progress, Standing, Task, all_steps, task, tasks};
pub use rests::{Fact, changed_facts, differs_from, facts, rests};
pub use steps::{
    StepOf, TURNS_PER_M, cut_m, of_connector, of_junction, of_pair, of_shield, of_wire, pair_of, pairs,
    twist_share,
};
pub use tick::{Answer, answer, find, take_back};
