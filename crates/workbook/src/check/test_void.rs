//! What was measured or built and no longer counts, since something it rested on was changed.

use std::collections::{BTreeMap, BTreeSet};

use super::{Check, Figure, Finding, Level, Mend, Out};
use crate::{
    analysis::Snapshot,
    model::{
        Built, Cavity, Connector, End, Id, Junction, Key, Kind, Reading, State, StepDone, SwitchPosition,
        TestKind, Wire,
    },
};

pub(super) static CHECK: Check = Check {
    name: "test-void",
    what: "no reading or built step rests on what was changed afterwards",
    inputs: "readings and built steps with what they rested on; what was never read or built is no matter of this check",
    source: "the workbook's own log",
    rests_on: &[],
    reads: &[(Kind::Reading, &[]), (Kind::StepDone, &[])],
    find,
};

/// What one test is known by.
type Test<'a> = (
    Option<TestKind>,
    Id<Cavity>,
    End,
    Option<Id<State>>,
    Option<&'a SwitchPosition>,
);

#[derive(Default)]
struct Void {
    /// Where there is something to be built again, before where there is something to be measured again.
    places: BTreeSet<(bool, Key)>,
    readings: usize,
    steps: usize,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut last: BTreeMap<Test<'_>, &Reading> = BTreeMap::new();
    for reading in book.all::<Reading>().values() {
        let test = (
            reading.test,
            reading.at_cavity,
            reading.against,
            reading.state,
            reading.held.as_ref(),
        );
        let later = |known: &&Reading| (reading.taken, reading.id) > (known.taken, known.id);
        if last.get(&test).is_none_or(later) {
            last.insert(test, reading);
        }
    }
    // One change, one finding.
    let mut void: BTreeMap<&str, Void> = BTreeMap::new();
    for reading in last.values() {
        let Some(why) = &reading.lapsed else { continue };
        if let Some(connector) = book.get(reading.at_cavity).map(|c: &Cavity| c.connector) {
            let void = void.entry(why).or_default();
            void.readings += 1;
            void.places.insert((true, Key::of::<Connector>(connector)));
        }
    }
    for step in book.all::<StepDone>().values() {
        let Some(why) = &step.redo else { continue };
        let place = match step.of {
            Built::Wire(wire) | Built::End { wire, .. } => Key::of::<Wire>(wire),
            Built::Connector(id) => Key::of::<Connector>(id),
            Built::Junction(id) => Key::of::<Junction>(id),
        };
        let void = void.entry(why).or_default();
        void.steps += 1;
        void.places.insert((false, place));
    }
    for (why, void) in void {
        let Some((_, first)) = void.places.first() else {
            continue;
        };
        let label = book
            .tables()
            .get_ref(*first)
            .map_or_else(String::new, |record| record.label().to_owned());
        let counted = |n: usize, one: &str, more: &str, again: &str| match n {
            0 => None,
            1 => Some(format!("1 {one} {again}")),
            n => Some(format!("{n} {more} {again}")),
        };
        let parts = [
            counted(void.steps, "built step", "built steps", "to be done again"),
            counted(void.readings, "reading", "readings", "to be measured again"),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        let why = why.strip_prefix(&format!("{label}: ")).unwrap_or(why);
        let sentence = format!("{label}: {}: {}.", parts.join(" and "), why.trim_end_matches('.'));
        let mut finding = Finding::new(CHECK.name, Level::Warning, Id::<Wire>::from_bits(0), sentence);
        finding.places = void.places.iter().map(|(_, place)| *place).collect();
        out.find(
            finding
                .figure(Figure::plain(
                    "to do again",
                    (void.readings + void.steps) as f64,
                    "",
                ))
                .matters("What was right then was another wire: nobody has looked at this one.")
                .mend(Mend::words(
                    "build or measure it again; a new reading takes its place",
                ))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(lapsed: Option<&str>, redo: Option<&str>, read_again: bool) -> Bench {
        let mut bench = Bench::new();
        let wire = bench.wire("W44", "MC-A16", "XA-A1", 0.5, 1.0);
        let cavity = bench.cavity("MC-A", "16");
        let taken: chrono::DateTime<chrono::Utc> = "2025-01-12T10:00:00Z".parse().unwrap();
        let reading = |nth: u128, lapsed: Option<&str>| Reading {
            id: Id::from_bits(900 + nth),
            test: Some(TestKind::Through),
            at_cavity: cavity,
            against: End::Free,
            state: None,
            held: None,
            value: Some(0.1),
            measure: "Ω".to_owned(),
            expected_least: None,
            expected_most: None,
            current_a: None,
            leads_ohm: None,
            taken: taken + chrono::Duration::hours(nth as i64),
            who: "A.".to_owned(),
            meter: String::new(),
            note: String::new(),
            rested_on: Vec::new(),
            lapsed: lapsed.map(str::to_owned),
        };
        bench.put(reading(1, lapsed));
        if read_again {
            bench.put(reading(2, None));
        }
        bench.put(StepDone {
            id: Id::from_bits(800),
            of: Built::Wire(wire),
            step: Step::Cut,
            outcome: Outcome::Done,
            at: taken,
            who: "A.".to_owned(),
            note: String::new(),
            rested_on: Vec::new(),
            redo: redo.map(str::to_owned),
        });
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("test-void").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_reading_that_lapsed_and_a_step_to_be_redone_are_found() {
        assert_eq!(
            found(&bench(Some("W44: length 1 m → 2 m"), None, false)),
            ["MC-A: 1 reading to be measured again: W44: length 1 m → 2 m."]
        );
        assert_eq!(
            found(&bench(None, Some("its length changed"), false)),
            ["W44: 1 built step to be done again: its length changed."]
        );
    }

    #[test]
    fn what_still_counts_or_was_read_again_is_silent() {
        assert_eq!(found(&bench(None, None, false)), [""; 0]);
        assert_eq!(found(&bench(Some("W44: length"), None, true)), [""; 0]);
    }
}
