//! A rule that the wiring breaks.

use super::{Cause, Check, Figure, Finding, Level, Out, common::words::list, disable_released};
use crate::book::InOrder;
use crate::{
    Book,
    analysis::Snapshot,
    model::{Key, Kind, Rule},
    rules::{Broken, Class, ClassVerdict, Example, Proof, RuleProof, Verdict},
};

pub(super) static CHECK: Check = Check {
    name: "rule-broken",
    what: "every rule holds in all combinations of the switches, and with each single open or wire to chassis or supply",
    inputs: "rules and units' behaviour as expressions, free switches, the whole network; worked out by crimpbook rules and on the States screen",
    source: "complete over the combinations of switches, on the wiring as drawn at the usual supply; what a wire's loss may do: common practice, no source",
    rests_on: &[(Kind::Rule, &["text", "rests_on"])],
    reads: &[],
    find,
};

/// So many faults are named of a class.
const NAMED: usize = 4;

fn find(see: &Snapshot, out: &mut Out) {
    // How many rules wait for their proof stands in the report itself.
    let Some(proof) = see.proof_at_hand() else { return };
    let book = see.book();
    for answer in &proof.rules {
        let Some(rule) = book.get(answer.rule) else {
            continue;
        };
        match &answer.verdict {
            // What rests on a setting, firmware or time is said where rules are listed: no wiring can show it.
            Verdict::RestsOn(_) => {}
            Verdict::Cannot(why) => out.cannot(CHECK.name, rule.id, missing(why), []),
            Verdict::Proven {
                without_fault,
                classes,
            } => {
                if let Some((many, example)) = without_fault {
                    out.find(always(book, proof, rule, *many, example));
                }
                if classes.iter().any(|class| !class.unproven.is_empty()) {
                    let why = "what proves it with some faults: too many contacts and outputs decide at once, or which fuse opens is not sure";
                    out.cannot(CHECK.name, rule.id, why.to_owned(), []);
                }
                for class in classes.iter().filter(|class| !class.broken.is_empty()) {
                    out.find(by_faults(book, proof, answer, rule, class));
                }
            }
        }
    }
}

/// A rule that breaks with a wire of which another check says that its loss lets go what it was laid for, hangs under that.
pub(super) fn hang_under_causes(findings: &mut [Finding]) {
    let lets_go: Vec<(Cause, Vec<Key>)> = findings
        .iter()
        .filter(|f| f.check == disable_released::CHECK.name && f.level != Level::Note)
        .filter_map(|f| {
            let (check, (place, wires)) = (f.check, f.places.split_first()?);
            Some((Cause { check, place: *place }, wires.to_vec()))
        })
        .collect();
    let rules = findings
        .iter_mut()
        .filter(|f| f.check == CHECK.name && f.level != Level::Note);
    for rule in rules {
        let breaks = |wires: &[Key]| rule.places.iter().skip(1).any(|place| wires.contains(place));
        rule.follows_from = lets_go
            .iter()
            .find(|(_, wires)| breaks(wires))
            .map(|(cause, _)| *cause);
    }
}

/// Why a rule is not proven, as what is missing.
fn missing(why: &str) -> String {
    match why.split_once("missing ") {
        Some(("", what)) => what.to_owned(),
        Some((of, what)) => format!("{what}, for {}", of.trim_end_matches([':', ' '])),
        None => format!("what proves it: {why}"),
    }
}

fn always(book: &Book, proof: &Proof, rule: &Rule, many: u64, example: &Example) -> Finding {
    let sentence = format!(
        "{} ({}) is broken without any fault, as with {}.",
        rule.label,
        rule.words,
        example.words(book)
    );
    #[expect(clippy::cast_precision_loss, reason = "at most 2 to the 24")]
    let (many, all) = (many as f64, proof.combinations as f64);
    Finding::new(CHECK.name, Level::Stop, rule.id, sentence)
        .figure(Figure::against("combinations that break it", many, 0.0, ""))
        .figure(Figure::plain("combinations in all", all, ""))
        .matters("What must never happen happens as soon as somebody moves the switches so.")
        .source(CHECK.source)
}

fn by_faults(book: &Book, proof: &Proof, answer: &RuleProof, rule: &Rule, class: &ClassVerdict) -> Finding {
    let fault = |broken: &Broken| proof.faults.get(broken.fault);
    let unnoticed = |broken: &&Broken| {
        let wires = proof
            .unnoticed
            .iter()
            .filter(|one| one.rules.contains(&answer.rule));
        let mut wires = wires.map(|one| Key::of(one.wire));
        fault(broken).is_some_and(|f| f.class == Class::Open && wires.any(|wire| wire == f.at))
    };
    // What nobody would notice speaks first.
    let mut broken: Vec<&Broken> = class.broken.iter().collect();
    broken.order_by(|one| !unnoticed(one));
    let hidden = class.broken.iter().any(|one| unnoticed(&one));
    let level = match class.class {
        Class::Open if hidden => Level::Stop,
        Class::Open => Level::Warning,
        Class::Chassis | Class::Supply | Class::Stuck => Level::Note,
    };
    let mut names: Vec<String> = broken
        .iter()
        .take(NAMED)
        .filter_map(|one| Some(fault(one)?.told(book)))
        .collect();
    if let Some(more) = broken.len().checked_sub(NAMED).filter(|more| *more > 0) {
        names.push(format!("{more} more"));
    }
    let example = broken
        .first()
        .map_or_else(String::new, |one| one.example.words(book));
    let unseen = if hidden {
        ", and nobody would notice before"
    } else {
        ""
    };
    let sentence = format!(
        "{} ({}) is broken by {}{unseen}: {example}.",
        rule.label,
        rule.words,
        list(&names),
    );
    #[expect(clippy::cast_precision_loss, reason = "faults of one vehicle")]
    let (many, tried) = (class.broken.len() as f64, class.tried as f64);
    let mut finding = Finding::new(CHECK.name, level, rule.id, sentence)
        .figure(Figure::against("faults that break it", many, 0.0, ""))
        .figure(Figure::plain("faults tried", tried, ""))
        .matters("One fault by itself defeats what the rule is there for.")
        .source(CHECK.source);
    finding
        .places
        .extend(broken.iter().take(NAMED).filter_map(|one| Some(fault(one)?.at)));
    finding
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{analysis::Snapshot, model::*, testing::Bench};

    /// A switch that feeds a coil, and a unit whose input sees the same.
    fn bench(rule: &str) -> Bench {
        let mut bench = Bench::new();
        bench.battery();
        let switch = bench.switch("run", &["off", "on"]);
        bench.state("OFF");
        let operated_in = vec!["on".to_owned()];
        let contact = Bench::contact(ContactForm::NormallyOpen, Driver::Switch { switch, operated_in });
        bench.part("run contact", contact, &["BP", "S-A1"]);
        bench.wire("W1", "S-A1", "K-A1", 0.5, 1.0);
        bench.part("coil", Bench::coil(90.0, 8.0), &["K-A1", "BN"]);
        bench.wire("W2", "S-A1", "MC-A1", 0.5, 1.0);
        bench.resistor("pull", 10_000.0, &["MC-A1", "BN"]);
        let input = bench.cavity("MC-A", "1");
        bench.edit(input, |c: &mut Cavity| {
            c.kind = Some(SignalKind::DigitalInHigh);
            (c.limits.on_above_v, c.limits.off_below_v) = (Some(8.0), Some(2.0));
        });
        bench.wire("W3", "MC-A2", "BN", 0.5, 1.0);
        let ground = bench.cavity("MC-A", "2");
        bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        bench.expression("MC", "MC.told", "MC-A1");
        bench.rule("I1", rule);
        bench
    }

    fn found(rule: &str) -> Vec<(Level, String)> {
        let see: Snapshot = bench(rule).snapshot();
        let before = run_without_mends(&see);
        assert_eq!((before.unproven, before.of("rule-broken").count()), (1, 0));
        see.proof();
        let report = run_without_mends(&see);
        assert_eq!(report.unproven, 0);
        let found = report.of("rule-broken");
        found.map(|f| (f.level, f.sentence.clone())).collect()
    }

    #[test]
    fn a_rule_that_a_switch_breaks_is_a_stop() {
        let found = found("never run is on and coil is on");
        assert_eq!(found[0].0, Level::Stop);
        assert!(
            found[0]
                .1
                .contains("is broken without any fault, as with run on → coil"),
            "{found:?}"
        );
    }

    /// The unit is told nothing any more once W2 is off; a short to supply merely tells it too much.
    #[test]
    fn a_rule_that_one_open_wire_breaks_is_found_with_the_wire() {
        let found = found("never run is on and not MC.told");
        assert!(
            found
                .iter()
                .all(|(_, words)| !words.contains("without any fault")),
            "{found:?}"
        );
        let open = found.iter().find(|(_, words)| words.contains("W2 off"));
        let open = open.unwrap_or_else(|| panic!("{found:?}"));
        assert!(matches!(open.0, Level::Stop | Level::Warning), "{found:?}");
    }

    #[test]
    fn what_only_a_short_breaks_is_a_note() {
        let found = found("never run is off and coil is on");
        assert!(!found.is_empty());
        assert!(found.iter().all(|(level, _)| *level == Level::Note), "{found:?}");
    }

    #[test]
    fn a_rule_that_holds_is_silent() {
        assert_eq!(found("never run is off and run is on"), []);
    }

    /// Without battery negative nothing has volts, so that nothing can be proven.
    #[test]
    fn a_rule_that_cannot_be_proven_says_so() {
        let mut bench = bench("never run is on and coil is on");
        let battery = bench.named::<Part>("battery");
        bench.edit(battery, |p: &mut Part| p.ends.clear());
        let see = bench.snapshot();
        see.proof();
        let report = run_without_mends(&see);
        assert_eq!(report.of("rule-broken").count(), 0);
        let missing = report
            .cannot_check
            .iter()
            .find(|c| c.checks.contains(&"rule-broken"));
        assert_eq!(missing.unwrap().missing, "which stud is battery negative");
    }

    #[test]
    fn what_keeps_a_rule_from_being_proven_reads_as_something_missing() {
        assert_eq!(
            super::missing("missing the rule as an expression"),
            "the rule as an expression"
        );
        assert_eq!(
            super::missing("MC.told: missing the ground of MC"),
            "the ground of MC, for MC.told"
        );
        assert_eq!(
            super::missing("30 switches are free"),
            "what proves it: 30 switches are free"
        );
    }

    /// What was listed before stays as it was, mends and all.
    #[test]
    fn proving_adds_to_a_report_and_takes_nothing_away() {
        let see = bench("never run is on and coil is on").snapshot();
        let before = super::super::run(&see);
        let after = super::super::prove(&see, &before);
        assert!(after.of("rule-broken").count() > 0 && after.unproven == 0);
        let kept: Vec<_> = after
            .all()
            .filter(|f| f.check != "rule-broken")
            .cloned()
            .collect();
        assert_eq!(kept, before.all().cloned().collect::<Vec<_>>());
        assert_eq!(after.cannot_check, before.cannot_check);
        assert_eq!(after, super::super::prove(&see, &after));
    }
}
