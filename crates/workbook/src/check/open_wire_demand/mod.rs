//! What a demand input reads with one of its sensor's wires off, and whether its unit notices.

mod cut;
#[cfg(test)]
mod tests;

use crimpbook_core::reckon::{Caught, FaultWindow, OpenReading, SensorWire};

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
    model::{Cavity, Kind, Part, SettingRole, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "open-wire-demand",
    what: "with any one wire of its sensor off, a demand input reads what its unit takes for a fault",
    inputs: "kinds of cavities, sensors and potentiometers, the pull of the input that reads them, its fault limits (settings in V linked to it, named low or high and fault) or a limit on how far two tracks may disagree (in %)",
    source: "V = Vs·Rp/(Rp + (1 − p)·R) for a potentiometer with its return off; an active sensor with its return off cannot be computed (4.25 V was met: common practice, no source)",
    rests_on: &[(Kind::Cavity, &["limits"]), (Kind::Part, &["kind", "ends"])],
    reads: &[(Kind::Setting, &[])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let all = tracks(see);
    for track in &all {
        let window = Window::of(see, track, &all);
        if window.limits == FaultWindow::default() && window.partner.is_none() {
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
        for cut in SensorWire::ALL {
            judge(see, track, &window, cut, out);
        }
    }
}

/// What a unit takes for a fault.
struct Window<'a> {
    limits: FaultWindow,
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
            limits: FaultWindow {
                low_v: volts(SettingRole::PedalLowFault),
                high_v: volts(SettingRole::PedalHighFault),
            },
            partner,
        }
    }
}

fn judge(see: &Snapshot, track: &Track, window: &Window, cut: SensorWire, out: &mut Out) {
    let book = see.book();
    let Some(wire) = cut::wire(track, cut) else { return };
    let cavity = book.cavity_name(track.reader);
    let sensor = book.label_of::<Part>(track.part);
    let (sentence, figure) = match cut::reading(see, track, cut) {
        Err(what) => {
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
        Ok(read @ OpenReading::Range(least_v, most_v)) => {
            if window.limits.catches(read) == Caught::Yes
                || by_partner(see, track, window, cut, least_v, most_v)
            {
                return;
            }
            let limits = [("low", window.limits.low_v), ("high", window.limits.high_v)];
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
        Ok(OpenReading::CannotTell)
            if window
                .partner
                .is_some_and(|(other, _)| apart(see, track, other, cut)) =>
        {
            return;
        }
        Ok(OpenReading::CannotTell) => (
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
            SensorWire::Return => "a second track with a supply and return of its own, or a high fault limit below what the input reads then",
            _ => "a fault limit on that side, or a pull that brings the input beyond one",
        }))
        .source(CHECK.source);
    if let Some((other, _)) = window
        .partner
        .filter(|(other, _)| cut == SensorWire::Return && shares_return(see, track, other))
    {
        finding = finding.follows(common_cause::CHECK.name, track.part.min(other.part));
    }
    if let Some(volts) = figure {
        finding = finding.figure(Figure::plain("reads", volts, "V"));
    }
    out.find(finding);
}

/// Whether a second track shows it whatever the pedal does: the reading lies outside the travel by more than they may disagree.
fn by_partner(
    see: &Snapshot,
    track: &Track,
    window: &Window,
    cut: SensorWire,
    least_v: f64,
    most_v: f64,
) -> bool {
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
fn apart(see: &Snapshot, one: &Track, other: &Track, cut: SensorWire) -> bool {
    let nets = &see.signals().nets;
    match cut {
        SensorWire::Signal => true,
        SensorWire::Supply => nets.at(&one.high_end) != nets.at(&other.high_end),
        SensorWire::Return => nets.at(&one.low_end) != nets.at(&other.low_end),
    }
}
