//! A cavity that nobody has decided.

use super::{Check, Finding, Level, Out};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, Decision, Kind},
};

pub(super) static CHECK: Check = Check {
    name: "undecided-cavity",
    what: "every cavity has a decision: wired, bridged, blank, reserved or not ours",
    inputs: "the decision of each cavity",
    source: "common practice, no source",
    rests_on: &[(Kind::Cavity, &["decision", "kind"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for connector in book.all::<Connector>().values() {
        let cavities: Vec<&Cavity> = book
            .index()
            .cavities_of
            .get(&connector.id)
            .into_iter()
            .flatten()
            .filter_map(|id| book.get(*id))
            .collect();
        let open: Vec<&Cavity> = cavities
            .iter()
            .copied()
            .filter(|c| c.decision == Decision::Undecided)
            .collect();
        // What gives a signal can wait; an input that is left to chance can start the vehicle.
        let level = if open.iter().any(|c| c.kind.is_none_or(|k| !k.is_source())) {
            Level::Stop
        } else {
            Level::Warning
        };
        let decided = cavities.len() - open.len();
        let finding = match open.as_slice() {
            [] => continue,
            [one] => {
                let named = if one.name.is_empty() {
                    String::new()
                } else {
                    format!(" ({})", one.name)
                };
                let sentence = format!(
                    "{}{named} is undecided; {decided} of {} cavities of {} are decided.",
                    book.cavity_name(one.id),
                    cavities.len(),
                    connector.label,
                );
                Finding::new(CHECK.name, level, one.id, sentence)
            }
            several => {
                let numbers: Vec<&str> = several.iter().take(12).map(|c| c.number.as_str()).collect();
                let more = if several.len() > numbers.len() {
                    ", …"
                } else {
                    ""
                };
                let sentence = format!(
                    "{}: {} of {} cavities are undecided ({}{more}).",
                    connector.label,
                    several.len(),
                    cavities.len(),
                    numbers.join(", "),
                );
                Finding::new(CHECK.name, level, connector.id, sentence).with(several.iter().map(|c| c.id))
            }
        };
        out.find(
            finding
                .matters("A cavity that is forgotten is found when the housing is locked; an input left open may read anything.")
                .mend(super::Mend::words("decide it, with its why; blank and plugged is a decision too"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run};
    use crate::{
        model::{Cavity, Decision, SignalKind},
        testing::Bench,
    };

    fn decided(decision: Decision, kind: Option<SignalKind>) -> Bench {
        let mut bench = Bench::new();
        let cavity = bench.cavity("MC-A", "27");
        bench.edit(cavity, |c: &mut Cavity| {
            c.decision = decision;
            c.kind = kind;
        });
        bench
    }

    fn levels(bench: &Bench) -> Vec<(Level, String)> {
        let report = run(&bench.snapshot());
        report
            .of("undecided-cavity")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn an_output_is_a_warning_an_input_a_stop() {
        let output = levels(&decided(Decision::Undecided, Some(SignalKind::HighSideOut)));
        assert_eq!(
            output,
            [(
                Level::Warning,
                "MC-A27 is undecided; 0 of 1 cavities of MC-A are decided.".to_owned()
            )]
        );
        let input = levels(&decided(Decision::Undecided, Some(SignalKind::DigitalInBare)));
        assert_eq!(input.first().map(|f| f.0), Some(Level::Stop));
        let unknown = levels(&decided(Decision::Undecided, None));
        assert_eq!(unknown.first().map(|f| f.0), Some(Level::Stop));
    }

    #[test]
    fn any_decision_will_do() {
        for decision in [Decision::Blank, Decision::Reserved, Decision::NotOurs] {
            assert_eq!(levels(&decided(decision, None)), []);
        }
    }

    #[test]
    fn many_in_one_connector_are_one_finding() {
        let mut bench = Bench::new();
        for number in 1..=20 {
            bench.cavity("MC-A", &number.to_string());
        }
        let found = levels(&bench);
        assert_eq!(found.len(), 1);
        assert!(
            found[0]
                .1
                .starts_with("MC-A: 20 of 20 cavities are undecided (1, 2, 3,"),
            "{}",
            found[0].1
        );
    }
}
