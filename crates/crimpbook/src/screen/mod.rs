//! The terminal screens: state, update, draw.
//!
//! A key becomes an action through one table ([`action`]); [`update`] is pure and gives effects; [`run`] has them done
//! and takes the answers in as messages; [`view`] reads the model and changes nothing.

pub mod action;
mod ask;
pub mod computed;
mod editor;
pub mod effect;
pub mod figures;
mod form;
pub mod habits;
pub mod hits;
pub mod keys;
pub mod model;
mod open;
mod pen;
pub mod reading;
pub mod run;
pub mod start;
mod terminal;
pub mod text;
pub mod theme;
pub mod update;
pub mod view;

pub use open::{Around, choose, open};

#[cfg(test)]
pub(crate) mod testkit;
