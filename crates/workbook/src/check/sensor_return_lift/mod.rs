//! A sensor whose return is lifted by somebody else's current, so that its reader reads wrong.

#[cfg(test)]
mod tests;

use std::collections::HashMap;

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::wire_at,
        track::{Track, return_mend, tracks},
        words::number,
    },
    sensor_elsewhere,
};
use crate::{
    analysis::{Snapshot, StateResult, protect::By},
    circuit::Ready,
    model::{Id, Kind, Part, PartKind, PartPosition, State, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "sensor-return-lift",
    what: "the return of each sensor stands where its reader's own return stands, in every operating state",
    inputs: "kinds of cavities, sensors and potentiometers with their ends, the inputs that read them with rest and full, operating states, all wires on the way of the returns",
    source: "V(sensor's return) − V(reader's return) from the solved network; 1 % and 5 % of the span by common practice, no source",
    rests_on: &[
        (
            Kind::Wire,
            &["area_mm2", "size_written", "length_m", "from", "to"],
        ),
        (Kind::Part, &["kind", "ends"]),
        (Kind::Cavity, &["limits"]),
    ],
    reads: &[],
    find,
};

/// Lift in % of the span above which it is a warning, and a stop.
const WARNING_PERCENT: f64 = 1.0;
const STOP_PERCENT: f64 = 5.0;

fn find(see: &Snapshot, out: &mut Out) {
    let mut moments = Moments {
        known: HashMap::new(),
        ready: see.ready(),
    };
    for track in tracks(see) {
        let lifts = see.states().iter().filter_map(|of| Some((track.lift_v(of)?, of)));
        let Some((lift_v, state)) = lifts.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs())) else {
            // Without any state that is asked for on behalf of many checks.
            if !see.states().is_empty()
                && let Some(part) = see.book().get(track.part)
            {
                let missing = format!("an operating state in which {} is fed", part.label);
                out.cannot(CHECK.name, part.unit, missing, []);
            }
            continue;
        };
        let Some(span_v) = track.span_v(see) else {
            let asked = see.unit_of(track.reader);
            if let Some(unit) = asked {
                let missing = format!("rest and full volts of {}", see.book().cavity_name(track.reader));
                let asks = [&fields::CAVITY_REST_V, &fields::CAVITY_FULL_V].map(|f| Ask::of(track.reader, f));
                out.cannot(CHECK.name, unit, missing, asks);
            }
            continue;
        };
        let percent = lift_v.abs() / span_v * 100.0;
        if percent <= WARNING_PERCENT {
            continue;
        }
        let mut found = finding(see, &track, lift_v, span_v, state, &mut moments);
        if sensor_elsewhere::elsewhere(see, &track).is_some() {
            found = found.follows(sensor_elsewhere::CHECK.name, track.part);
        }
        out.find(found);
    }
}

fn finding(
    see: &Snapshot,
    track: &Track,
    lift_v: f64,
    span_v: f64,
    state: &StateResult,
    moments: &mut Moments,
) -> Finding {
    let book = see.book();
    let percent = lift_v.abs() / span_v * 100.0;
    let level = if percent > STOP_PERCENT {
        Level::Stop
    } else {
        Level::Warning
    };
    let culprit = culprit(see, track, state);
    let through = culprit.map_or_else(String::new, |(wire, _)| format!(" through {}", wire.label));
    let carries = culprit.map_or_else(String::new, |(wire, a)| {
        format!(", where {} carries {} A", wire.label, number(a))
    });
    let sentence = format!(
        "{}: return lifted by {} V{through} in {}{carries}: {} % of the {} V that {} reads from rest to full.",
        book.label_of(track.part),
        number(lift_v),
        book.label_of(state.state),
        number(percent),
        number(span_v),
        book.cavity_name(track.reader),
    );
    let share = |v: f64| v / span_v * 100.0;
    let (rest_v, full_v) = (track.error_v(lift_v, 0.0), track.error_v(lift_v, 1.0));
    let mut finding = Finding::new(CHECK.name, level, track.part, sentence)
        .with([track.reader])
        .with(culprit.map(|(wire, _)| wire.id))
        .figure(Figure::against(
            "lift of the return",
            percent,
            WARNING_PERCENT,
            "% of span",
        ))
        .figure(Figure::plain("lift of the return", lift_v, "V"))
        .figure(Figure::plain("reads wrong at rest by", rest_v, "V"))
        .figure(Figure::plain(
            "reads wrong at rest by",
            share(rest_v),
            "% of span",
        ))
        .figure(Figure::plain("reads wrong at full by", full_v, "V"))
        .figure(Figure::plain(
            "reads wrong at full by",
            share(full_v),
            "% of span",
        ))
        .matters(
            "The reader takes the lift for travel: a demand that nobody makes, or two tracks that disagree.",
        )
        .mend(return_mend(see, track))
        .source(CHECK.source);
    if let Some((volts, part)) = moments.worst(see, track, state) {
        let name = format!("lift while {} starts", book.label_of(part));
        finding = finding.figure(Figure::plain(name, volts, "V"));
    }
    finding
}

/// The wire on the way of the return that lifts it most, and its current, A.
fn culprit<'a>(see: &'a Snapshot, track: &Track, state: &StateResult) -> Option<(&'a Wire, f64)> {
    let path = see.edges().path(track.low, track.reader_return)?;
    let wires = path.iter().filter_map(|by| match by {
        By::Wire { at, .. } => Some(*at),
        _ => None,
    });
    let drop_v = |at: usize| {
        let ohm = see.wiring().wires.get(at).map_or(0.0, |run| run.wire_ohm(1.0));
        state.operated.wire_a(at).abs() * ohm
    };
    let at = wires.max_by(|a, b| drop_v(*a).total_cmp(&drop_v(*b)))?;
    Some((wire_at(see, at)?, state.operated.wire_a(at).abs()))
}

/// So many loads of a state are tried at their inrush, those that draw most then.
const TRIED: usize = 6;

/// States with a load at its inrush, each solved once for all tracks.
struct Moments {
    known: HashMap<Id<State>, Vec<(Id<Part>, StateResult)>>,
    ready: Ready,
}

impl Moments {
    /// The largest lift while one of the loads that run in this state is at its inrush.
    fn worst(&mut self, see: &Snapshot, track: &Track, state: &StateResult) -> Option<(f64, Id<Part>)> {
        let Self { known, ready } = self;
        let moments = known
            .entry(state.state)
            .or_insert_with(|| starting(see, state, ready));
        let lifts = moments
            .iter()
            .filter_map(|(part, of)| Some((track.lift_v(of)?, *part)));
        lifts.max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()))
    }
}

/// A state with one load after the other at its inrush.
fn starting(see: &Snapshot, state: &StateResult, ready: &mut Ready) -> Vec<(Id<Part>, StateResult)> {
    let parts = see.wiring().parts.iter().enumerate();
    let running = parts.filter(|(at, _)| state.operated.part_a(*at) > 0.1);
    let mut loads: Vec<(f64, Id<Part>)> = running
        .filter_map(|(_, run)| match see.book().get(run.part)?.kind {
            PartKind::Load {
                inrush_a: Some(inrush_a),
                ..
            } => Some((inrush_a, run.part)),
            _ => None,
        })
        .collect();
    loads.sort_by(|a, b| b.0.total_cmp(&a.0));
    loads.truncate(TRIED);
    let at_inrush = |(_, part): (f64, Id<Part>)| {
        let stands = state.stands.clone().with(part, PartPosition::Starting);
        Some((part, see.for_a_moment(state, stands, ready).ok()?))
    };
    loads.into_iter().filter_map(at_inrush).collect()
}
