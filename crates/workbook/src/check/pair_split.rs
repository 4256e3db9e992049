//! Wires that have to run as a pair and do not, and shields that are joined at both ends.

use super::{Check, Finding, Level, Mend, Out, common::words::list};
use crate::book::InOrder;
use crate::{
    analysis::Snapshot,
    model::{Cavity, End, Id, Kind, SignalKind, Terminal, Wire},
    signals::Net,
};
use std::collections::{BTreeMap, BTreeSet};

pub(super) static CHECK: Check = Check {
    name: "pair-split",
    what: "CAN and encoder wires run in pairs, both wires of a pair between the same two places, and a shield is joined at one end",
    inputs: "kinds of cavities, the pair of each wire, ends of wires",
    source: "common practice, no source",
    rests_on: &[(Kind::Wire, &["pair", "from", "to"])],
    reads: &[(Kind::Wire, &["pair", "length_m"])],
    find,
};

/// A wire shorter than this needs no partner, m (our own).
const SHORT_M: f64 = 0.05;

fn find(see: &Snapshot, out: &mut Out) {
    let mut pairs: BTreeMap<&str, Vec<&Wire>> = BTreeMap::new();
    for wire in see.book().all::<Wire>().values().filter(|w| !w.pair.is_empty()) {
        pairs.entry(wire.pair.as_str()).or_default().push(wire);
    }
    let bare = alone(see, out);
    for (name, wires) in pairs {
        split(see, name, &wires, &bare, out);
    }
    shields(see, out);
}

fn split(see: &Snapshot, name: &str, wires: &[&Wire], bare: &[(Id<Wire>, Id<Wire>)], out: &mut Out) {
    let book = see.book();
    let labels: Vec<String> = wires.iter().map(|w| w.label.clone()).collect();
    let what = match wires {
        [_] => "no partner".to_owned(),
        [one, other] => {
            let places = |w: &Wire| BTreeSet::from([place(see, w.from), place(see, w.to)]);
            if places(one) == places(other) {
                return;
            }
            let way = |w: &Wire| {
                format!(
                    "{} from {} to {}",
                    w.label,
                    book.end_name(w.from),
                    book.end_name(w.to)
                )
            };
            format!("two ways: {}, {}", way(one), way(other))
        }
        // A cable of several cores between the same two places is one.
        many => {
            let mut ways = many
                .iter()
                .map(|w| BTreeSet::from([place(see, w.from), place(see, w.to)]));
            let first = ways.next();
            if ways.all(|way| Some(way) == first) {
                return;
            }
            format!("{} wires that do not run together", many.len())
        }
    };
    let Some(first) = wires.first() else { return };
    let sentence = format!("{}: pair {name} has {what}.", list(&labels));
    let mut finding = finding(first.id, wires.iter().skip(1).map(|w| w.id).collect(), sentence);
    // The partner that is in no pair is the cause.
    let ways = |w: &Wire| BTreeSet::from([place(see, w.from), place(see, w.to)]);
    let partner = bare
        .iter()
        .find(|(id, _)| wires.len() == 1 && book.get(*id).is_some_and(|w| ways(w) == ways(first)));
    if let Some((_, said_at)) = partner {
        finding = finding.follows(CHECK.name, *said_at);
    }
    out.find(finding);
}

/// Where an end is, as far as a pair goes: the connector, or for a splice only that it is one near by.
fn place(see: &Snapshot, end: End) -> String {
    let book = see.book();
    match end {
        End::Cavity(id) => book
            .get(id)
            .map_or_else(String::new, |c: &Cavity| book.label_of(c.connector)),
        End::Junction(id) => {
            let junction = book.get(id);
            let zone = junction
                .and_then(|j| j.zone)
                .map_or_else(String::new, |z| book.label_of(z));
            format!("splice {zone}")
        }
        End::Free => "free".to_owned(),
    }
}

/// Wires of CAN and encoders that are in no pair, one finding for what belongs together; each with the place of its finding.
fn alone(see: &Snapshot, out: &mut Out) -> Vec<(Id<Wire>, Id<Wire>)> {
    let mut bare_wires = Vec::new();
    let book = see.book();
    let mut wires: BTreeMap<&str, Vec<&Wire>> = BTreeMap::new();
    for (_, net) in see.signals().nets.all() {
        let Some(what) = needs_pair(see, net) else {
            continue;
        };
        let bare = net.wires.iter().filter_map(|id| book.get::<Wire>(*id));
        let long = |w: &&Wire| w.pair.is_empty() && w.length_m.is_none_or(|m| m > SHORT_M);
        wires.entry(what).or_default().extend(bare.filter(long));
    }
    for (what, mut found) in wires {
        found.order_by(|w| crate::book::natural(&w.label));
        let Some(first) = found.first() else { continue };
        let labels: Vec<String> = found.iter().map(|w| w.label.clone()).collect();
        let verb = if labels.len() == 1 { "is" } else { "are" };
        let sentence = format!("{} {verb} {what} and in no pair.", list(&labels));
        out.find(finding(
            first.id,
            found.iter().skip(1).map(|w| w.id).collect(),
            sentence,
        ));
        bare_wires.extend(found.iter().map(|w| (w.id, first.id)));
    }
    bare_wires
}

fn needs_pair(see: &Snapshot, net: &Net) -> Option<&'static str> {
    let kinds: Vec<SignalKind> = net
        .cavities()
        .filter_map(|id| see.book().get(id).and_then(|c: &Cavity| c.kind))
        .collect();
    let any = |wanted: &[SignalKind]| kinds.iter().any(|k| wanted.contains(k));
    if any(&[SignalKind::CanHigh, SignalKind::CanLow]) {
        Some("CAN")
    } else if any(&[SignalKind::EncoderIn, SignalKind::EncoderOut]) {
        Some("of an encoder")
    } else {
        None
    }
}

fn finding(at: Id<Wire>, others: Vec<Id<Wire>>, sentence: String) -> Finding {
    Finding::new(CHECK.name, Level::Warning, at, sentence)
        .with(others)
        .matters("What the motor cables throw into one wire and not into the other is read as signal.")
        .mend(Mend::words("twist the two together, from plug to plug"))
        .source(CHECK.source)
}

/// Shields that are joined to ground at both ends.
fn shields(see: &Snapshot, out: &mut Out) {
    let (book, nets) = (see.book(), &see.signals().nets);
    for (_, net) in nets.all() {
        let shields: Vec<&Cavity> = net
            .cavities()
            .filter_map(|id| book.get(id))
            .filter(|c: &&Cavity| c.kind == Some(SignalKind::Shield))
            .collect();
        let Some(first) = shields.first().filter(|_| !net.wires.is_empty()) else {
            continue;
        };
        let units: BTreeSet<_> = shields.iter().filter_map(|c| see.unit_of(c.id)).collect();
        let studs = net.terminals.iter().filter(|t| is_ground_stud(see, t));
        let joined = units.len() + studs.count();
        if joined < 2 {
            continue;
        }
        let wires: Vec<String> = net.wires.iter().map(|w| book.label_of::<Wire>(*w)).collect();
        let sentence = format!(
            "{}: shield of {} is joined at {joined} places.",
            list(&wires),
            book.cavity_name(first.id)
        );
        out.find(
            Finding::new(CHECK.name, Level::Warning, first.id, sentence)
                .with(net.wires.iter().copied())
                .matters(
                    "A shield joined at both ends carries ground current, which is what it should keep away.",
                )
                .mend(Mend::words(
                    "join it at the controller only, unless its manual says otherwise",
                ))
                .source(CHECK.source),
        );
    }
}

fn is_ground_stud(see: &Snapshot, terminal: &Terminal) -> bool {
    let Terminal::Junction(id) = terminal else {
        return false;
    };
    see.book()
        .get(*id)
        .is_some_and(|j: &crate::model::Junction| j.kind == crate::model::JunctionKind::GroundStud)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn can(pairs: [&str; 2], low_to: &str) -> Vec<String> {
        let mut bench = Bench::new();
        for (kind, number, label, to, pair) in [
            (SignalKind::CanHigh, "28", "W61", "CH-A3", pairs[0]),
            (SignalKind::CanLow, "29", "W62", low_to, pairs[1]),
        ] {
            let from = format!("MC-A{number}");
            let wire = bench.wire(label, &from, to, 0.5, 1.2);
            bench.edit(wire, |w: &mut Wire| w.pair = pair.to_owned());
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        let report = run_without_mends(&bench.snapshot());
        report.of("pair-split").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn both_wires_of_a_bus_run_in_one_pair() {
        assert_eq!(can(["C3", "C3"], "CH-A4"), [""; 0]);
        assert_eq!(can(["", ""], "CH-A4"), ["W61 and W62 are CAN and in no pair."]);
        assert_eq!(
            can(["C3", "C3"], "BM-A4"),
            ["W61 and W62: pair C3 has two ways: W61 from MC-A28 to CH-A3, W62 from MC-A29 to BM-A4."]
        );
        assert_eq!(can(["C3", "C4"], "CH-A4").len(), 2, "a pair of one is none");
    }

    #[test]
    fn a_shield_is_joined_at_one_end() {
        let shield = |to: &str| {
            let mut bench = Bench::new();
            bench.wire("W73", "MC-B5", to, 0.5, 1.6);
            let cavity = bench.cavity("MC-B", "5");
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::Shield));
            let report = run_without_mends(&bench.snapshot());
            report.of("pair-split").count()
        };
        assert_eq!((shield("drain"), shield("G3")), (0, 1));
    }
}
