//! Rules proven over every combination of switches, without a fault and with every single one.
//!
//! A switch is a choice, all combinations are one function over the choices ([`crimpbook_core::rule::Diagrams`]). What a unit reads, and
//! whether a coil is fed, is taken from the solved circuit: [`cone`] finds the few movers (contacts, outputs, switched sources) that
//! decide it, [`plant`] solves the circuit once for each of their positions, all other movers off, and [`run`] puts them together until
//! nothing changes. Between thresholds both are reckoned with, which counts against a rule.

mod cone;
mod fault;
mod footing;
mod graph;
mod hang;
mod many;
mod model;
mod names;
mod plant;
mod proof;
mod run;
mod sway;
#[cfg(test)]
mod tests;
mod tried;
mod unnoticed;
mod words;

pub use fault::{Class, Fault};
pub use footing::Footings;
pub(crate) use names::expr_of;
pub use names::{
    Meaning, completions, is_by_id, kept, known, meaning, named, says_position, shown, with_ids,
    with_positions,
};
pub use proof::{Broken, ClassVerdict, Example, MOST_FREE, Proof, RuleProof, Unnoticed, Verdict};
