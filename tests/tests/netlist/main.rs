//! The solver against a general circuit simulator, on figures that the simulator found and that are kept beside their
//! decks, so that the test runs without it. `tests/data/netlist/regenerate.sh` makes them anew.
//!
//! - `demo`: the demonstration vehicle as exported, in every operating state and with faults. These decks hold the solver.
//! - `generated`: two generated networks of 200 wires as exported, without and with faults.
//! - `by_hand`: DRIVE and BRAKE of the demonstration vehicle, written by hand from its plan. These hold the derivation too:
//!   which parts there are, how they hang together, and what every one has in ohms.
//!
//! With `CRIMPBOOK_WRITE_DECKS=1` the first two write their decks, and the third the wires' temperatures, instead of comparing.

mod by_hand;
mod demo;
mod generated;
#[path = "../../../crates/core/benches/generated/mod.rs"]
mod generator;
mod kept;
