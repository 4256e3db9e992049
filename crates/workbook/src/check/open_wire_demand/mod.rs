//! What a demand input reads with one of its sensor's wires off, and whether its unit notices.

mod cut;
#[cfg(test)]
mod tests;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        settings,
        track::{Track, tracks},
        words::number,
    },
    common_cause::{self, shares_return},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Kind, Part, PartKind, SettingRole, Wire},
    question::{Ask, fields},
};
use cut::{Cut, Reading};

pub(super) static CHECK: Check = Check {
    name: "open-wire-demand",
    what: "with any one wire of its sensor off, a demand input reads what its unit takes for a fault",
    inputs: "kinds of cavities, sensors and potentiometers, the pull of the input that reads them, its fault limits (settings in V linked to it, named low or high and fault) or a limit on how far two tracks may disagree (in %)",
    source: "V = Vs·Rp/(Rp + (1 − p)·R) for a potentiometer with its return off; an active sensor with its return off cannot be computed (4.25 V was met: common practice, no source)",
    rests_on: &[(Kind::Cavity, &["limits"]), (Kind::Part, &["kind", "ends"])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let all = tracks(see);
    for track in &all {
        let window = Window::of(see, track, &all);
        if window.low_v.is_none() && window.high_v.is_none() && window.partner.is_none() {
            if let Some(unit) = see.unit_of(track.reader) {
                let cavity = see.book().cavity_name(track.reader);
                out.cannot(
                    CHECK.name,
                    unit,
                    format!("the low and high fault limits of {cavity}, as settings in V"),
                    [],
                );
            }
            continue;
        }
        for cut in Cut::ALL {
            judge(see, track, &window, cut, out);
        }
    }
}

/// What a unit takes for a fault.
struct Window<'a> {
    low_v: Option<f64>,
    high_v: Option<f64>,
    /// A second track, and by how many % of its travel it may disagree.
    partner: Option<(&'a Track, f64)>,
}

impl<'a> Window<'a> {
    fn of(see: &Snapshot, track: &Track, all: &'a [Track]) -> Self {
        let book = see.book();
        let volts = |role| settings::volts(book, track.reader, role);
        let partner = settings::linked(book, track.reader)
            .filter(|s| settings::role(s) == Some(SettingRole::PedalDisagree) && settings::in_unit(s, &["%"]))
            .find_map(|s| {
                let percent = s.figure()?;
                let other = all
                    .iter()
                    .find(|o| o.reader != track.reader && s.cavities.contains(&o.reader))?;
                Some((other, percent))
            });
        Self {
            low_v: volts(SettingRole::PedalLowFault),
            high_v: volts(SettingRole::PedalHighFault),
            partner,
        }
    }

    /// Whether every voltage of a range is a fault by itself.
    fn catches(&self, least_v: f64, most_v: f64) -> bool {
        self.low_v.is_some_and(|low| most_v < low) || self.high_v.is_some_and(|high| least_v > high)
    }
}

fn judge(see: &Snapshot, track: &Track, window: &Window, cut: Cut, out: &mut Out) {
    let book = see.book();
    let Some(wire) = cut.wire(track) else { return };
    let cavity = book.cavity_name(track.reader);
    let sensor = book.label_of::<Part>(track.part);
    let (sentence, figure) = match cut::reading(see, track, cut) {
        Reading::Missing(what) => {
            if let Some(unit) = see.unit_of(track.reader) {
                let ask = |field| Ask::of(track.reader, field);
                out.cannot(
                    CHECK.name,
                    unit,
                    what,
                    [&fields::CAVITY_PULL, &fields::CAVITY_PULL_OHM].map(ask),
                );
            }
            return;
        }
        Reading::Range(least_v, most_v) => {
            if window.catches(least_v, most_v) || by_partner(see, track, window, cut, least_v, most_v) {
                return;
            }
            let limits = [("low", window.low_v), ("high", window.high_v)];
            let limits: Vec<String> = limits
                .iter()
                .map(|(word, limit)| {
                    limit.map_or_else(
                        || format!("no {word} fault limit"),
                        |v| format!("{word} fault {} V", number(v)),
                    )
                })
                .collect();
            let range = if most_v - least_v < 0.005 {
                format!("{} V", number(least_v))
            } else {
                format!("{} to {} V", number(least_v), number(most_v))
            };
            let text = format!("{cavity} reads {range} ({}): not caught.", limits.join(", "));
            (text, Some(most_v))
        }
        Reading::NotComputable
            if window
                .partner
                .is_some_and(|(other, _)| apart(see, track, other, cut)) =>
        {
            return;
        }
        Reading::NotComputable => (
            format!(
                "what {cavity} reads cannot be computed (4.25 V was met), and no second track with its own return would notice."
            ),
            None,
        ),
    };
    let sentence = format!(
        "{} open, {} of {sensor}: {sentence}",
        book.label_of::<Wire>(wire),
        cut.words()
    );
    let mut finding = Finding::new(CHECK.name, Level::Stop, track.reader, sentence)
        .with([wire])
        .matters("A broken wire is read as a demand: the motor runs, and nothing stops it.")
        .mend(Mend::words(match cut {
            Cut::Return => "a second track with a supply and return of its own, or a high fault limit below what the input reads then",
            _ => "a fault limit on that side, or a pull that brings the input beyond one",
        }))
        .source(CHECK.source);
    if let Some((other, _)) = window
        .partner
        .filter(|(other, _)| cut == Cut::Return && shares_return(see, track, other))
    {
        finding = finding.follows(common_cause::CHECK.name, track.part.min(other.part));
    }
    if let Some(volts) = figure {
        finding = finding.figure(Figure::plain("reads", volts, "V"));
    }
    out.find(finding);
}

/// Whether a second track shows it whatever the pedal does: the reading lies outside the travel by more than they may disagree.
fn by_partner(see: &Snapshot, track: &Track, window: &Window, cut: Cut, least_v: f64, most_v: f64) -> bool {
    let (Some((other, percent)), Some((rest_v, full_v))) = (window.partner, travel_v(see, track)) else {
        return false;
    };
    let share = |v: f64| (v - rest_v) / (full_v - rest_v) * 100.0;
    let (a, b) = (share(least_v), share(most_v));
    apart(see, track, other, cut) && (a.max(b) < -percent || a.min(b) > 100.0 + percent)
}

/// Rest and full of an input, V: as its settings or limits say, else as the sensor gives on 5 V.
fn travel_v(see: &Snapshot, track: &Track) -> Option<(f64, f64)> {
    let limits = see.book().get(track.reader).map(|c: &Cavity| c.limits)?;
    let set = |role| settings::volts(see.book(), track.reader, role);
    let rest_v = set(SettingRole::PedalRest).or(limits.rest_v);
    let full_v = set(SettingRole::PedalFull).or(limits.full_v);
    let given = track.supply_v(see);
    let rest_v = rest_v.or(given.map(|v| v * track.share.0))?;
    let full_v = full_v.or(given.map(|v| v * (track.share.0 + track.share.1)))?;
    ((full_v - rest_v).abs() > 0.1).then_some((rest_v, full_v))
}

/// Whether a second track goes on as it was with this wire of the first one off.
fn apart(see: &Snapshot, one: &Track, other: &Track, cut: Cut) -> bool {
    let nets = &see.signals().nets;
    match cut {
        Cut::Signal => true,
        Cut::Supply => nets.at(&one.high_end) != nets.at(&other.high_end),
        Cut::Return => nets.at(&one.low_end) != nets.at(&other.low_end),
    }
}

/// Whether a sensor works by itself and not as a plain resistance.
fn is_active(see: &Snapshot, part: Id<Part>) -> bool {
    matches!(
        see.book().get(part).map(|p: &Part| &p.kind),
        Some(PartKind::Ratiometric { .. })
    )
}
