//! Settings and trials: what a setting was at each time and why, what a trial was driven with, what changed between two,
//! and the steps of the first run.

mod driven;
mod first_run;
mod past;
#[cfg(test)]
mod tests;

pub use driven::{Turned, as_driven, before, changed_for, trials_in_order, turned};
pub use first_run::{gone_through, open_steps};
pub use past::{AsLeft, Left, Moment, Past};
