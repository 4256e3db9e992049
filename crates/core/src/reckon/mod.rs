//! Sums a builder does by hand at the car: pedals, regeneration, dividers, precharging. Typical figures that have no
//! published source are common practice and say so where they stand.

mod broken_wire;
mod divider;
mod dual_track;
mod pedal;
mod precharge;
mod regeneration;
mod shape;

pub use broken_wire::{Caught, FaultWindow, InsidePull, OpenReading, Sensor, SensorWire, open_reading};
pub use divider::Divider;
pub use dual_track::{DualTrack, StandsStill, Track, dual_track};
pub use pedal::{
    DEAD_HIGH_SHARE, DEAD_LOW_SHARE, FAULT_MARGIN_V, LEAST_SPAN_V, Pedal, WindowTrouble, demand,
};
pub use precharge::{MOST_COMPUTED_V, Precharge};
pub use regeneration::Regeneration;
pub use shape::{exponent_through, shaped};
