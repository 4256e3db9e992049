//! Checks: what the program computes about the plan and has an opinion on.
//!
//! To add one: copy the smallest neighbour, name it in [`CHECKS`]. A check never passes because an input was missing:
//! it then says what is missing, at the unit or load that the fact belongs to.

mod accept;
mod cannot;
mod finding;
mod report;
mod run;
mod table;

mod undecided_cavity;

pub use accept::{Accepted, rests_of};
pub use cannot::CannotCheck;
pub use finding::{Cause, Figure, Finding, Level, Mend};
pub use report::Report;
pub use run::{Out, run};
pub use table::{CHECKS, Check, check_named};
