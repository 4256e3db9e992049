//! Small circuits.
