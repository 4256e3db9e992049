//! A contact that carries too little to stay clean.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{list, number},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Driver, Id, Kind, Part, PartKind, Terminal, Unit},
    question::{Ask, fields},
};
use std::collections::BTreeMap;

pub(super) static CHECK: Check = Check {
    name: "contact-wetting",
    what: "each contact that switches a small current is made for one so small",
    inputs: "the least current of each contact, operating states in which it is closed",
    source: "the least current of the contact's maker; asked for below 5 mA: common practice, no source",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

/// Below this a contact has to be made for it, A.
const SMALL_A: f64 = 0.005;
/// A contact that carries no more than this in any state is never closed there, A.
const NEVER_A: f64 = 1e-6;

/// Contacts of one switch or coil that carry too little.
struct Dry<'a> {
    contacts: Vec<&'a Part>,
    current_a: f64,
    least_a: f64,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut unknown: BTreeMap<Id<Unit>, Vec<&Part>> = BTreeMap::new();
    let mut dry: BTreeMap<String, Dry> = BTreeMap::new();
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = book.get(run.part) else { continue };
        let PartKind::Contact { least_a, driver, .. } = &part.kind else {
            continue;
        };
        let carried = see.states().iter().map(|of| of.operated.part_a(at).abs());
        let current_a = carried.fold(0.0, f64::max);
        if current_a <= NEVER_A {
            continue;
        }
        match least_a.or_else(|| of_cavities(see, part)) {
            Some(least_a) if current_a < least_a => {
                let key = match driver {
                    Driver::Switch { switch, .. } => format!("switch {switch}"),
                    Driver::Coil { part } => format!("coil {part}"),
                    Driver::StateOnly => format!("part {}", part.id),
                };
                let entry = dry.entry(key).or_insert(Dry {
                    contacts: Vec::new(),
                    current_a,
                    least_a,
                });
                entry.contacts.push(part);
                entry.current_a = entry.current_a.min(current_a);
                entry.least_a = entry.least_a.max(least_a);
            }
            None if current_a < SMALL_A => {
                unknown.entry(part.unit).or_default().push(part);
            }
            _ => {}
        }
    }
    for dry in dry.into_values() {
        say(see, &dry, out);
    }
    for (unit, contacts) in unknown {
        let labels: Vec<String> = contacts.iter().map(|p| p.label.clone()).collect();
        let asks = contacts.iter().map(|p| Ask::of(p.id, &fields::CONTACT_LEAST_A));
        out.cannot(
            CHECK.name,
            unit,
            format!("the least current of {}", list(&labels)),
            asks,
        );
    }
}

fn say(see: &Snapshot, dry: &Dry, out: &mut Out) {
    let Some(first) = dry.contacts.first() else { return };
    let labels: Vec<String> = dry.contacts.iter().map(|p| p.label.clone()).collect();
    let (carries, wants) = if labels.len() == 1 {
        ("carries", "wants")
    } else {
        ("carry", "want")
    };
    let sentence = format!(
        "{} of {} {carries} {} mA and {wants} {} mA at least to stay clean.",
        list(&labels),
        see.book().label_of(first.unit),
        number(dry.current_a * 1000.0),
        number(dry.least_a * 1000.0),
    );
    out.find(
        Finding::new(CHECK.name, Level::Warning, first.id, sentence)
            .with(dry.contacts.iter().skip(1).map(|p| p.id))
            .figure(Figure::against("current", dry.current_a * 1000.0, dry.least_a * 1000.0, "mA"))
            .matters("A film grows on the contact that so little current never breaks: it fails now and then, in winter first.")
            .mend(Mend::words("a wetting resistor from the contact to ground, or a contact with gold"))
            .source(CHECK.source),
    );
}

/// The largest least current that the manual states at the contact's own cavities, A.
fn of_cavities(see: &Snapshot, part: &Part) -> Option<f64> {
    let at = |end: &Terminal| match end {
        Terminal::Cavity(id) => see.book().get(*id).and_then(|c: &Cavity| c.limits.least_a),
        _ => None,
    };
    part.ends.iter().filter_map(at).reduce(f64::max)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// A switch that feeds an input of 10 kΩ, 1.26 mA, and a wetting resistor of 1 kΩ if there is one.
    fn bench(least_a: Option<f64>, wetted: bool) -> Bench {
        let mut bench = Bench::new();
        let state = bench.state("DRIVE");
        bench.battery();
        let mut kind = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
        if let PartKind::Contact { least_a: least, .. } = &mut kind {
            *least = least_a;
        }
        let contact = bench.part("selector", kind, &["BP", "DI-A5"]);
        bench.set(state, contact, PartPosition::On);
        bench.wire("W47", "DI-A5", "MC-A14", 0.5, 2.6);
        bench.resistor("pull", 10_000.0, &["MC-A14", "BN"]);
        if wetted {
            bench.resistor("wetting", 1000.0, &["MC-A14", "BN"]);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("contact-wetting").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_milliampere_does_not_keep_a_power_contact_clean_and_a_resistor_helps() {
        assert_eq!(
            found(&bench(Some(0.005), false)),
            ["selector of DI carries 1.26 mA and wants 5 mA at least to stay clean."]
        );
        assert_eq!(found(&bench(Some(0.005), true)), [""; 0]);
        assert_eq!(found(&bench(Some(0.001), false)), [""; 0], "gold");
    }

    #[test]
    fn a_contact_of_which_nothing_is_told_is_asked_for_only_where_the_current_is_small() {
        let asked = |wetted| {
            let report = run_without_mends(&bench(None, wetted).snapshot());
            assert_eq!(report.of("contact-wetting").count(), 0);
            report
                .cannot_check
                .iter()
                .any(|c| c.missing == "the least current of selector")
        };
        assert!(asked(false) && !asked(true));
    }
}
