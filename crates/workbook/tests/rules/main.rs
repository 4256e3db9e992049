//! Rules of the invented vehicle, proven, against an enumeration that solves the whole circuit anew for each combination and fault.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on fails"
)]

mod apart;
mod demo;
mod fuses;
mod relay;
mod systems;
mod whole;
