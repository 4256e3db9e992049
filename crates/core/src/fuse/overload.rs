//! Overload: currents that are too much for a wire and too little to open its fuse soon.
//!
//! Below its first gate the standard promises no opening, so each wire may carry just under that for ever. From there
//! to the fault current the fuse's longest time is held against how long the wire bears the current.

use super::add_sources;
use super::fuse_in_hand::Fuse;
use super::grade::{EDGE, Grade, on_the_edge};
use super::margin::{Margin, Search, least_margin, stretches};
use super::wire_below::WireBelow;
use crate::heat::LimitUsed;
use crate::tables::Source;

/// The verdict on one wire.
#[derive(Debug, Clone, PartialEq)]
pub struct WireOverload {
    /// Its place in the list that was given.
    pub wire: usize,
    /// What it weighs.
    pub grade: Grade,
    /// A limit 3 % lower or higher would turn the verdict: never a stop.
    pub on_the_edge: bool,
    /// The current in A that it may carry for ever: just under the fuse's first gate, or what the load lets through.
    pub lasting_a: f64,
    /// The conductor in °C at that current; infinite if it finds no balance.
    pub lasting_c: f64,
    /// The limit that this temperature is held against: the class, or the overload limit where the class is passed.
    pub limit: LimitUsed,
    /// That limit in °C.
    pub limit_c: f64,
    /// Above the gate: where the margin is least. None: nothing above the gate can flow.
    pub margin: Option<Margin>,
}

/// The verdict on a fuse with the wires beneath it.
#[derive(Debug, Clone, PartialEq)]
pub struct Overload {
    /// The worst of its wires.
    pub grade: Grade,
    /// The current in A from which on the fuse is promised to open.
    pub opens_from_a: f64,
    /// The wires, hottest first.
    pub wires: Vec<WireOverload>,
    /// What it rests on.
    pub basis: Vec<Source>,
}

/// Holds the wires beneath a fuse against it. `prospective_a` is the fault current at the fuse; without it the
/// comparison ends at the fuse's last gate.
pub fn overload(fuse: &Fuse, wires: &[WireBelow], prospective_a: Option<f64>) -> Overload {
    let mut basis = fuse.band.basis().to_vec();
    for wire in wires {
        add_sources(&mut basis, &wire.basis);
    }
    let last_gate_a = fuse.band.corners().last().map_or(0.0, |m| m * fuse.rating_a);
    let most_a = prospective_a.filter(|a| a.is_finite()).unwrap_or(last_gate_a);
    let mut verdicts: Vec<WireOverload> = wires
        .iter()
        .enumerate()
        .map(|(at, wire)| judge(fuse, at, wire, most_a))
        .collect();
    verdicts.sort_by(|a, b| b.lasting_c.total_cmp(&a.lasting_c));
    let grade = verdicts.iter().map(|v| v.grade).max().unwrap_or(Grade::Good);
    Overload {
        grade,
        opens_from_a: fuse.opens_from_a(),
        wires: verdicts,
        basis,
    }
}

fn judge(fuse: &Fuse, at: usize, wire: &WireBelow, most_a: f64) -> WireOverload {
    let limits = &wire.limits;
    let lasting_a = fuse
        .opens_from_a()
        .min(wire.current_limited_a.unwrap_or(f64::INFINITY))
        .min(most_a);
    let mut verdict = WireOverload {
        wire: at,
        grade: Grade::CannotCheck,
        on_the_edge: false,
        lasting_a,
        lasting_c: f64::NAN,
        limit: LimitUsed::Class,
        limit_c: limits.class_c,
        margin: None,
    };
    if !fuse.is_sound() || !wire.is_sound() {
        return verdict;
    }
    verdict.lasting_c = wire.heat.steady(lasting_a).conductor_c();
    if verdict.lasting_c > limits.class_c * (1.0 + EDGE) {
        verdict.limit = LimitUsed::Overload;
        verdict.limit_c = limits.overload_c;
    }
    let lasting_edge = on_the_edge(verdict.lasting_c, verdict.limit_c);
    let warm = if wire.can_draw_overload {
        Grade::Warning
    } else {
        Grade::Note
    };
    let lasting_grade = if verdict.lasting_c > limits.overload_c {
        if lasting_edge { Grade::Warning } else { Grade::Stop }
    } else if verdict.lasting_c > limits.class_c {
        warm
    } else if lasting_edge {
        Grade::Note
    } else {
        Grade::Good
    };

    // A wire that is well beyond its limit below the gate needs no comparison above it.
    let highest_a = most_a.min(wire.current_limited_a.unwrap_or(f64::INFINITY));
    let mut margin_edge = false;
    let mut margin_grade = Grade::Good;
    if verdict.lasting_c <= limits.overload_c * (1.0 + EDGE) {
        let stretches = stretches(fuse, highest_a);
        verdict.margin = least_margin(&Search::new(fuse, wire, limits), &stretches);
        let hurt = verdict.margin.is_some_and(|m| m.ratio < 1.0);
        let narrowest = verdict.margin.map(|m| m.current_a);
        let hurt_with = |factor| {
            let limits = limits.scaled(factor);
            let search = Search::new(fuse, wire, &limits);
            narrowest
                .iter()
                .chain(stretches.iter().flatten())
                .any(|a| search.is_hurt(*a))
        };
        margin_edge = if hurt {
            !hurt_with(1.0 + EDGE)
        } else {
            hurt_with(1.0 - EDGE)
        };
        margin_grade = match (hurt, margin_edge) {
            (true, false) => Grade::Stop,
            (true, true) => Grade::Warning,
            (false, true) => Grade::Note,
            (false, false) => Grade::Good,
        };
    }
    verdict.grade = lasting_grade.max(margin_grade);
    verdict.on_the_edge = verdict.grade < Grade::Stop && (lasting_edge || margin_edge);
    verdict
}

#[cfg(test)]
#[path = "overload_tests.rs"]
mod tests;
