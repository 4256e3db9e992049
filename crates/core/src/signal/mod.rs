//! Signals: what reaches an input of what was sent.

mod can;
mod potentiometer;

pub use can::{CanStage, TERMINATOR_OHM, can_stage, pair_resistance_ohm};
pub use potentiometer::{loaded_share, loading_error, worst_loading_error};
