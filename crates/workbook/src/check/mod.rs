//! Checks: what the program computes about the plan and has an opinion on.
//!
//! To add one: copy the smallest neighbour, name it in [`CHECKS`]. A check never passes because an input was missing:
//! it then says what is missing, at the unit or load that the fact belongs to.

mod accept;
mod cannot;
mod common;
mod finding;
mod mends;
mod needs;
mod report;
mod rule_broken;
mod run;
mod safer;
mod said;
mod table;

mod alike_plugs;
mod back_feed;
mod can_lines;
mod can_terminators;
mod coil_pull_in;
mod coil_reversed;
mod coil_suppression;
mod common_cause;
mod contact_current;
mod contact_plating;
mod contact_size;
mod contact_wetting;
mod disable_released;
mod driven_by_chassis;
mod drop_over_limit;
mod drum_short;
mod floating_input;
mod fuse_above_wire;
mod fuse_breaking;
mod fuse_does_not_open;
mod fuse_inrush;
mod fuse_never_opens;
mod fuse_running;
mod fuse_selectivity;
mod good_to_know;
mod ground_not_wired;
mod ground_through_unit;
mod input_level;
mod kind_mismatch;
mod lingering_signal;
mod load_drop;
mod near_traction;
mod open_wire_demand;
mod output_overload;
mod pair_split;
mod phantom_supply;
mod plan_contradicts;
mod precharge_time;
mod return_capacity;
mod seal_size;
mod sensor_elsewhere;
mod sensor_ohms;
mod sensor_return_lift;
mod setting_contradicts;
mod setting_hold;
mod setting_limits;
mod setting_sensor;
mod splice_crowded;
mod splice_placed;
mod standby_draw;
mod switched_fed_direct;
mod test_void;
mod two_drivers;
mod undecided_cavity;
mod unfused_wire;
mod unplugged_cavity;
mod view_not_stated;
mod wire_ends;
mod wire_hot;

#[cfg(test)]
mod tests_at_once;
#[cfg(test)]
mod tests_reads;
#[cfg(test)]
mod trade_facts;

pub(crate) use accept::input_changed;
pub use accept::{Accepted, rests_of};
pub use cannot::CannotCheck;
pub(crate) use common::{
    bus::{Bus, buses},
    settings, track,
};
pub use common::{
    sensors::{SensorError, sensor_errors},
    words,
};
pub use finding::{Cause, Figure, Finding, Level, Mend};
pub use mends::{Proposals, mend_of};
pub(crate) use precharge_time::{given as precharge_given, outputs as precharge_outputs};
pub use report::Report;
pub use run::{Out, list_at_once, prove, run, run_in_two, run_proven, run_while, run_without_mends};
pub(crate) use said::Said;
pub use table::{CHECKS, Check, check_named};
