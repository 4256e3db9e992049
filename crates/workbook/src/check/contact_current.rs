//! A contact that carries more than it may, fewer amperes where many beside it are loaded; and strong currents beside signals.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{list, number},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, ContactFamily, Id, Kind, SignalKind, View, face::Cell},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "contact-current",
    what: "no contact carries more than it may for long, and less where more than half of the plug is loaded",
    inputs: "the most current of each contact family, operating states",
    source: "the contact's own figure, as its maker gives it; 80 % of it where more than half of a plug's contacts carry over 20 %: common practice, no source",
    rests_on: &[(Kind::Cavity, &["contact"]), (Kind::ContactFamily, &["most_a"])],
    reads: &[(Kind::ContactFamily, &["most_a"])],
    find,
};

pub(super) static BESIDE: Check = Check {
    name: "current-beside-signal",
    what: "no cavity with 5 A or more lies beside one of a sensor or a bus",
    inputs: "faces of connectors, kinds of cavities, operating states",
    source: "common practice, no source",
    rests_on: &[(Kind::Connector, &["face"]), (Kind::Cavity, &["kind"])],
    reads: &[(Kind::Connector, &["face"])],
    find: beside,
};

/// Up to here every contact that is crimped on a wire bears it, A (our own).
const ALWAYS_A: f64 = 1.0;
/// A contact counts as loaded above this share of what it may carry.
const LOADED: f64 = 0.2;
/// What is left of its current where more than half are loaded.
const LEFT: f64 = 0.8;
/// A strong current, A.
const STRONG_A: f64 = 5.0;
/// Two cavities lie beside each other up to this distance, squared, in quarter pitches.
const NEAR: i32 = 5;

/// A contact that carries something: its cavity and family, its largest running current, A, and the state it flows in.
type Loaded<'a> = (&'a Cavity, &'a ContactFamily, f64, String);

/// The largest running current of each contact, A, and the state it flows in.
fn currents(see: &Snapshot) -> Vec<(Id<Cavity>, f64, String)> {
    let running: Vec<_> = see.states().iter().filter(|of| !of.stands.starts()).collect();
    let contacts = see.wiring().contacts.iter().enumerate();
    contacts
        .filter_map(|(at, run)| {
            let most = running
                .iter()
                .map(|of| (of.operated.contact_a(at).abs(), of.state))
                .max_by(|a, b| a.0.total_cmp(&b.0))?;
            (most.0 > 0.0).then(|| (run.cavity, most.0, see.book().label_of(most.1)))
        })
        .collect()
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut plugs: BTreeMap<Id<Connector>, Vec<Loaded>> = BTreeMap::new();
    for (id, current_a, state) in currents(see) {
        let Some(cavity) = book.get(id) else { continue };
        let Some(family) = cavity.contact.and_then(|id| book.get(id)) else {
            continue;
        };
        if family.most_a.is_none() && current_a > ALWAYS_A {
            let ask = Ask::of(family.id, &fields::CONTACT_FAMILY_MOST_A);
            out.cannot(
                CHECK.name,
                family.id,
                "the most current of a single contact",
                [ask],
            );
        }
        let plug = plugs.entry(cavity.connector).or_default();
        plug.push((cavity, family, current_a, state));
    }
    for (connector, contacts) in plugs {
        let cavities = book.index().cavities_of.get(&connector).map_or(0, Vec::len);
        let loaded = |(_, family, current_a, _): &&Loaded| {
            family.most_a.is_some_and(|most_a| *current_a > LOADED * most_a)
        };
        let loaded = contacts.iter().filter(loaded).count();
        let crowded = loaded * 2 > cavities && cavities > 1;
        let left = if crowded { LEFT } else { 1.0 };
        for (cavity, family, current_a, state) in contacts {
            let Some(most_a) = family.most_a.map(|a| a * left).filter(|most| current_a > *most) else {
                continue;
            };
            let why = if crowded {
                format!(" with {loaded} of {cavities} contacts loaded")
            } else {
                String::new()
            };
            let sentence = format!(
                "{} carries {} A in {state}; its contact {} bears {} A{why}.",
                super::common::words::cavity(book, cavity),
                number(current_a),
                family.label,
                number(most_a),
            );
            out.find(
                Finding::new(CHECK.name, Level::Warning, cavity.id, sentence)
                    .with([family.id])
                    .figure(Figure::against("current", current_a, most_a, "A"))
                    .matters("A contact that runs hot loses its spring, then its grip, then melts the plug.")
                    .mend(Mend::words(
                        "share the current between two cavities, or a larger contact",
                    ))
                    .source(CHECK.source),
            );
        }
    }
}

fn beside(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut strong: BTreeMap<Id<Connector>, Vec<(&Cavity, f64)>> = BTreeMap::new();
    for (id, current_a, _) in currents(see).into_iter().filter(|(_, a, _)| *a >= STRONG_A) {
        if let Some(cavity) = book.get(id) {
            strong
                .entry(cavity.connector)
                .or_default()
                .push((cavity, current_a));
        }
    }
    for (connector, strong) in strong {
        let label = book.label_of(connector);
        let cavities = book.cavities_of(connector);
        let mut weak = cavities
            .iter()
            .filter(|c| c.kind.is_some_and(SignalKind::is_sensitive))
            .peekable();
        if weak.peek().is_none() {
            continue;
        }
        if book.get(connector).is_some_and(|c| c.face.is_empty()) {
            out.cannot(BESIDE.name, connector, "its face", []);
            continue;
        }
        let cells = book.face_of(connector).cells(View::MatingSide);
        let cell = |c: &Cavity| {
            cells
                .iter()
                .find(|cell| cell.number.eq_ignore_ascii_case(&c.number))
        };
        let near = |one: &Cell, other: &Cell| {
            let (x, y) = (one.x_half - other.x_half, one.y_half - other.y_half);
            x * x + y * y <= NEAR
        };
        let weak: Vec<&&Cavity> = weak.collect();
        for (cavity, current_a) in strong {
            let Some(here) = cell(cavity) else { continue };
            let touched: BTreeSet<&str> = weak
                .iter()
                .filter(|c| cell(c).is_some_and(|there| near(here, there)))
                .map(|c| c.number.as_str())
                .collect();
            if touched.is_empty() {
                continue;
            }
            let touched: Vec<String> = touched.into_iter().map(|n| format!("{label}{n}")).collect();
            let sentence = format!(
                "{} carries {} A beside {}.",
                super::common::words::cavity(book, cavity),
                number(current_a),
                list(&touched)
            );
            out.find(
                Finding::new(BESIDE.name, Level::Note, cavity.id, sentence)
                    .figure(Figure::against("current", current_a, STRONG_A, "A"))
                    .matters(
                        "What the strong wire switches is seen on its neighbour, and its warmth as well.",
                    )
                    .source(BESIDE.source),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// So many loads of 9 A, each on its own cavity of a plug of three.
    fn bench(loads: usize, most_a: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let family = bench.contact_family("L", 1.0, 2.5);
        bench.edit(family, |f: &mut ContactFamily| f.most_a = most_a);
        for number in ["1", "2", "3"] {
            let cavity = bench.cavity("PB-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.contact = Some(family));
        }
        for n in 1..=loads {
            let (out, at) = (format!("PB-A{n}"), format!("VP-A{n}"));
            bench.resistor(&format!("feed {n}"), 0.001, &["BP", &out]);
            bench.wire(&format!("W{n}"), &out, &at, 2.5, 1.0);
            bench.load(&format!("pump {n}"), 9.0, &[&at, "BN"]);
        }
        bench
    }

    fn found(bench: &Bench, check: &str) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of(check).map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn nine_amperes_are_too_much_for_a_contact_of_eight() {
        assert_eq!(
            found(&bench(1, Some(8.0)), "contact-current"),
            ["PB-A1 carries 9 A in DRIVE; its contact L bears 8 A."]
        );
        assert_eq!(found(&bench(1, Some(10.0)), "contact-current"), [""; 0]);
    }

    /// 80 % of 10 A are 8 A.
    #[test]
    fn with_more_than_half_of_a_plug_loaded_each_bears_less() {
        let found = found(&bench(2, Some(10.0)), "contact-current");
        assert_eq!(
            found.first().map(String::as_str),
            Some("PB-A1 carries 9 A in DRIVE; its contact L bears 8 A with 2 of 3 contacts loaded.")
        );
    }

    #[test]
    fn what_a_contact_bears_is_asked_for_only_where_it_matters() {
        assert_eq!(
            bench(1, None).missing_for("contact-current"),
            ["the most current of a single contact"]
        );
        assert_eq!(bench(0, None).missing_for("contact-current"), [""; 0]);
    }

    #[test]
    fn a_pump_beside_a_sensor_is_noted() {
        let beside = |kind, face: &str| {
            let mut bench = bench(1, Some(20.0));
            let (cavity, connector) = (bench.cavity("PB-A", "2"), bench.connector("PB-A"));
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
            bench.edit(connector, |c: &mut Connector| face.clone_into(&mut c.face));
            bench
        };
        let rows = "rows 3, from upper left, seen from mating side";
        assert_eq!(
            found(&beside(SignalKind::AnalogueIn, rows), "current-beside-signal"),
            ["PB-A1 carries 9 A beside PB-A2."]
        );
        assert_eq!(
            found(&beside(SignalKind::LogicSupply, rows), "current-beside-signal"),
            [""; 0]
        );
        let missing = beside(SignalKind::AnalogueIn, "").missing_for("current-beside-signal");
        assert!(missing.contains(&"its face".to_owned()), "{missing:?}");
    }
}
