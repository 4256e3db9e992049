//! Placeholder.
pub mod network;
