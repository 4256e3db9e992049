//! Behaviour of the solver as a caller sees it.

mod linear;
mod properties;
mod refused;
