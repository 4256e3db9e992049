//! From the workbook to the DC network of core, and back.
//!
//! [`Wiring`] is what does not depend on the state: nodes, wires, contacts, chassis, where inside parts hang. A cavity is
//! two nodes, the unit's side and the wire's side, joined by its contact pair. [`Stand`] says how each part stands in an
//! operating state; [`operate`] builds the network for it, solves, and settles what is not linear: relays that follow
//! their coils, current limits, diodes, power loads.

mod ground;
mod number;
mod ohms;
mod operate;
mod pulls;
mod stamp;
mod stand;
mod standing;
#[cfg(test)]
mod tests;
mod upset;
mod wires;
mod wiring;

pub use ground::unit_grounds;
pub use number::{Node, Nodes};
pub use ohms::{contact_ohm, core_kind, fuse_ohm, joint_ohm};
pub(crate) use operate::economisers;
pub use operate::{Given, Operated, Ready, Trouble, operate, operate_upset};
pub(crate) use stamp::drops_out_v;
pub use stamp::{Link, What};
pub use stand::{Stand, Stands, never_told};
pub(crate) use standing::Standing;
pub use upset::Upset;
pub use wires::{WireRun, size_of, table_of};
pub use wiring::{ContactRun, PartRun, Wiring};
