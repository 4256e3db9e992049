//! Fuses as bands of operating time, and whether a fuse and what lies beneath it belong together.
//!
//! A fuse is never a single line: its standard promises that it opens not before and not after certain times. The
//! promises at hand are from memory; every verdict carries what it rests on in `basis`.

mod band;
mod cold;
mod far_end;
mod fuse_in_hand;
mod grade;
mod margin;
mod overload;
mod running;
mod selectivity;
mod wire_below;

pub use band::{Band, Gate};
pub use cold::{ColdResistance, cold_resistance};
pub use far_end::{FarEnd, FarEndOutcome, far_end};
pub use fuse_in_hand::{Fuse, Melting};
pub use grade::Grade;
pub use margin::Margin;
pub use overload::{Overload, WireOverload, overload};
pub use running::{CONTINUOUS_SHARE, Inrush, Running, inrush, running};
pub use selectivity::{Selectivity, selectivity};
pub use wire_below::WireBelow;

use crate::tables::Source;

/// Adds what is not there yet; the order of first mention is kept.
fn add_sources(basis: &mut Vec<Source>, more: &[Source]) {
    for source in more {
        if !basis.contains(source) {
            basis.push(source.clone());
        }
    }
}
