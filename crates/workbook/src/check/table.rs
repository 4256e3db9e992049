//! The table of checks.

use super::{
    Out, alike_plugs, back_feed, can_lines, can_terminators, coil_pull_in, coil_reversed, coil_suppression,
    common_cause, contact_current, contact_plating, contact_size, contact_wetting, disable_released,
    driven_by_chassis, drop_over_limit, drum_short, floating_input, fuse_above_wire, fuse_breaking,
    fuse_does_not_open, fuse_inrush, fuse_never_opens, fuse_running, fuse_selectivity, good_to_know,
    ground_not_wired, ground_through_unit, input_level, kind_mismatch, lingering_signal, load_drop,
    near_traction, open_wire_demand, output_overload, pair_split, phantom_supply, plan_contradicts,
    precharge_time, return_capacity, rule_broken, seal_size, sensor_elsewhere, sensor_ohms,
    sensor_return_lift, setting_contradicts, setting_hold, setting_limits, setting_sensor, splice_crowded,
    splice_placed, standby_draw, switched_fed_direct, test_void, two_drivers, undecided_cavity, unfused_wire,
    unplugged_cavity, view_not_stated, wire_ends, wire_hot,
};
use crate::{
    analysis::{Reads, Snapshot},
    model::Kind,
};

/// One check: what `crimpbook check --explain` tells of it, and the function.
#[derive(Debug)]
pub struct Check {
    /// Stable name.
    pub name: &'static str,
    /// What it says, in one line.
    pub what: &'static str,
    /// What it needs to know.
    pub inputs: &'static str,
    /// Where its limits come from, with how that is known.
    pub source: &'static str,
    /// Fields of its places that an acceptance rests on.
    pub rests_on: &'static [(Kind, &'static [&'static str])],
    /// Fields that it reads beside the plan (`analysis/touched.rs`), and measures of wires where it rests on no figure of a state:
    /// where only others change, what it said before holds.
    pub(crate) reads: Reads,
    /// Finds.
    pub find: fn(&Snapshot, &mut Out),
}

/// Every check. Findings of one level stand in this order.
pub static CHECKS: &[&Check] = &[
    &rule_broken::CHECK,
    &undecided_cavity::CHECK,
    &fuse_above_wire::CHECK,
    &sensor_elsewhere::CHECK,
    &sensor_return_lift::CHECK,
    &disable_released::CHECK,
    &lingering_signal::CHECK,
    &open_wire_demand::CHECK,
    &setting_contradicts::CHECK,
    &setting_sensor::CHECK,
    &setting_hold::CHECK,
    &setting_limits::CHECK,
    &floating_input::CHECK,
    &coil_suppression::CHECK,
    &coil_reversed::CHECK,
    &kind_mismatch::CHECK,
    &two_drivers::CHECK,
    &input_level::CHECK,
    &back_feed::CHECK,
    &switched_fed_direct::CHECK,
    &output_overload::CHECK,
    &unfused_wire::CHECK,
    &wire_hot::CHECK,
    &fuse_does_not_open::CHECK,
    &fuse_breaking::CHECK,
    &contact_size::CHECK,
    &plan_contradicts::DECISION,
    &wire_ends::CHECK,
    &ground_not_wired::CHECK,
    &can_lines::RATE,
    &precharge_time::CHECK,
    &drop_over_limit::CHECK,
    &load_drop::CHECK,
    &coil_pull_in::CHECK,
    &common_cause::CHECK,
    &can_terminators::CHECK,
    &can_lines::LENGTHS,
    &pair_split::CHECK,
    &ground_through_unit::CHECK,
    &return_capacity::CHECK,
    &phantom_supply::CHECK,
    &fuse_running::CHECK,
    &fuse_inrush::CHECK,
    &fuse_selectivity::CHECK,
    &fuse_never_opens::CHECK,
    &driven_by_chassis::CHECK,
    &plan_contradicts::FUSE,
    &contact_current::CHECK,
    &contact_wetting::CHECK,
    &contact_plating::CHECK,
    &standby_draw::CHECK,
    &unplugged_cavity::CHECK,
    &seal_size::CHECK,
    &view_not_stated::CHECK,
    &splice_crowded::CHECK,
    &splice_placed::SLEEVE,
    &splice_placed::PLACE,
    &near_traction::CHECK,
    &alike_plugs::CHECK,
    &test_void::CHECK,
    &sensor_ohms::CHECK,
    &plan_contradicts::COLOUR,
    &can_lines::STAGES,
    &contact_current::BESIDE,
    &good_to_know::COLOUR,
    &good_to_know::PAGE,
    &good_to_know::DEAD,
    &drum_short::CHECK,
];

/// Checks that ask for no figure of a state, in their order: after an edit of a large book they are through at once.
pub(super) const OF_THE_PLAN: &[&str] = &[
    "undecided-cavity",
    "lingering-signal",
    "setting-sensor-type",
    "setting-limits",
    "coil-suppression",
    "kind-mismatch",
    "two-drivers",
    "switched-fed-direct",
    "contact-size",
    "decision-against-wires",
    "wire-ends",
    "ground-not-wired",
    "can-rate",
    "precharge-time",
    "can-terminators",
    "can-lengths",
    "pair-split",
    "contact-plating",
    "unplugged-cavity",
    "seal-size",
    "view-not-stated",
    "splice-crowded",
    "splice-sleeve",
    "splice-placed",
    "near-traction",
    "alike-plugs",
    "test-void",
    "sensor-ohms",
    "reserved-colour",
    "can-stages",
    "colour-twice",
    "page-missing",
    "dead-battery",
    "drum-short",
];

/// The check with this stable name.
pub fn check_named(name: &str) -> Option<&'static Check> {
    CHECKS.iter().copied().find(|c| c.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain_unique_and_explained() {
        let mut seen = std::collections::BTreeSet::new();
        for check in CHECKS {
            assert!(seen.insert(check.name), "{} is there twice", check.name);
            assert!(
                check.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
                "{}",
                check.name
            );
            for text in [check.what, check.inputs, check.source] {
                assert!(!text.is_empty(), "{}", check.name);
            }
            assert!(std::ptr::eq(check_named(check.name).unwrap(), *check));
        }
    }
}
