//! What goes out comes back, and what is wrong is told with its place.

mod any;
mod assets;
mod holds;
mod mangled;
mod refusals;
mod round_trip;

pub(crate) use any::any_records;
