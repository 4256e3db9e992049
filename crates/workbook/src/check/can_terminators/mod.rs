//! A CAN bus with too few or too many terminators, or with its wires swapped.

#[cfg(test)]
mod tests;

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        facts::{Fact, ask},
        words::{list, number},
    },
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Kind, Part, Unit},
};

pub(super) static CHECK: Check = Check {
    name: "can-terminators",
    what: "each CAN bus has two terminators, at its ends, and H and L do not meet",
    inputs: "kinds of cavities, terminators, wires with their lengths",
    source: "ISO 11898-2: 120 Ω at each end, 60 Ω across the pair (read in a reprint)",
    rests_on: &[(Kind::Part, &["kind", "ends"]), (Kind::Cavity, &["kind"])],
    reads: &[(Kind::Wire, &["length_m"])],
    find,
};

/// Across the pair with two terminators, Ω.
const RIGHT_OHM: f64 = 60.0;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for bus in see.buses() {
        if let Some((high, low)) = bus.crossed {
            let sentence = format!(
                "{} and {} are joined: H on L of one CAN bus.",
                book.cavity_name(high),
                book.cavity_name(low)
            );
            out.find(
                Finding::new(CHECK.name, Level::Stop, high, sentence)
                    .with([low])
                    .matters("Nothing on this bus understands anything.")
                    .mend(Mend::words("swap the two wires at one end"))
                    .source(CHECK.source),
            );
        }
        let units: Vec<String> = bus.units.iter().map(|u| book.label_of::<Unit>(*u)).collect();
        let owners: Vec<String> = bus.terminators.iter().map(|p| owner(see, *p)).collect();
        match bus.terminators.len() {
            2 => {}
            0 => {
                let Some(first) = bus.cavities.first() else {
                    continue;
                };
                let sentence = format!("CAN of {}: no terminator at all; two make 60 Ω.", list(&units));
                out.find(finding(
                    Level::Stop,
                    *first,
                    sentence,
                    None,
                    "a terminator at each end of the trunk",
                ));
            }
            1 => {
                let Some(first) = bus.terminators.first() else {
                    continue;
                };
                let sentence = format!(
                    "CAN of {}: one terminator ({}); two make 60 Ω.",
                    list(&units),
                    list(&owners)
                );
                let mend = "a second one, at the other end of the trunk";
                out.find(finding_at_part(Level::Warning, *first, sentence, bus.ohm, mend));
            }
            count => {
                // Which of them stand at the ends is told by the lengths of what lies between.
                let wires = bus
                    .wires(see)
                    .into_iter()
                    .filter_map(|id| see.wiring().wire_at(id));
                ask(see, CHECK.name, wires, &[Fact::Length], out);
                let surplus = bus.surplus(see);
                let Some(first) = surplus.first().or(bus.terminators.first()) else {
                    continue;
                };
                let sentence = format!(
                    "CAN at {}: {count} terminators make {} Ω; 2 make 60 Ω ({}).",
                    owner(see, *first),
                    number(bus.ohm),
                    list(&owners),
                );
                let mend = format!("take the one at {} out", owner(see, *first));
                let others = bus.terminators.iter().copied().filter(|p| p != first);
                out.find(finding_at_part(Level::Warning, *first, sentence, bus.ohm, &mend).with(others));
            }
        }
    }
}

fn owner(see: &Snapshot, part: crate::model::Id<Part>) -> String {
    let unit = see.book().get(part).map(|p: &Part| p.unit);
    unit.map_or_else(|| "?".to_owned(), |unit| see.book().label_of(unit))
}

fn finding(
    level: Level,
    at: crate::model::Id<Cavity>,
    sentence: String,
    ohm: Option<f64>,
    mend: &str,
) -> Finding {
    dress(Finding::new(CHECK.name, level, at, sentence), ohm, mend)
}

fn finding_at_part(
    level: Level,
    at: crate::model::Id<Part>,
    sentence: String,
    ohm: f64,
    mend: &str,
) -> Finding {
    dress(Finding::new(CHECK.name, level, at, sentence), Some(ohm), mend)
}

fn dress(mut finding: Finding, ohm: Option<f64>, mend: &str) -> Finding {
    if let Some(ohm) = ohm {
        finding = finding.figure(Figure::against("across H and L", ohm, RIGHT_OHM, "Ω"));
    }
    finding
        .matters("Messages are lost now and then, more of them with length, cold and another unit; nothing shows why.")
        .mend(Mend::words(mend))
        .source(CHECK.source)
}

/// Used by the tests of the parts.
#[cfg(test)]
fn first_bus(see: &Snapshot) -> Option<&super::common::bus::Bus> {
    see.buses().first()
}
