//! Behaviour of the solver as a caller sees it.

mod again;
mod bending;
mod faults;

mod islands;
mod linear;
mod moments;
mod properties;
mod recipe;
mod refused;
mod relays;
mod thevenin;
