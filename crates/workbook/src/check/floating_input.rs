//! An input that nothing holds.

use super::{
    Check, Finding, Level, Mend, Out,
    common::words::{cavity as named, list},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Decision, Kind, PullTo, SignalKind},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "floating-input",
    what: "no digital input without a pull of its own is left open, nor floats in any operating state",
    inputs: "kinds of cavities, pulls of inputs, decisions, operating states",
    source: "common practice, no source",
    rests_on: &[(Kind::Cavity, &["decision", "kind", "limits"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for cavity in book.all::<Cavity>().values() {
        let input = matches!(
            cavity.kind,
            Some(
                SignalKind::DigitalInHigh
                    | SignalKind::DigitalInLow
                    | SignalKind::DigitalInBare
                    | SignalKind::PwmIn
            )
        );
        let bare = match cavity.limits.pull {
            Some(pull) => pull.to == PullTo::Nothing,
            None => cavity.kind == Some(SignalKind::DigitalInBare),
        };
        // What the manual names and nobody wires may be an input; which it is must be known.
        if cavity.kind.is_none()
            && !cavity.name.is_empty()
            && matches!(cavity.decision, Decision::Blank | Decision::Reserved)
            && let Some(unit) = see.unit_of(cavity.id)
        {
            let missing = format!("the kind of {}, which is left open", named(book, cavity));
            out.cannot(
                CHECK.name,
                unit,
                missing,
                [Ask::of(cavity.id, &fields::CAVITY_KIND)],
            );
        }
        if !input || !bare {
            continue;
        }
        let finding = match cavity.decision {
            Decision::Blank | Decision::Reserved => {
                let sentence = format!(
                    "{} floats: it is {}, and has no pull inside.",
                    named(book, cavity),
                    cavity.decision.words()
                );
                Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
            }
            Decision::Wired | Decision::Bridged { .. } => {
                let floats = |of: &&crate::analysis::StateResult| {
                    see.cavity_volts(of, cavity.id).own_ground_v.is_none()
                };
                let states: Vec<String> = see
                    .states()
                    .iter()
                    .filter(floats)
                    .map(|of| book.label_of(of.state))
                    .collect();
                if states.is_empty() {
                    continue;
                }
                let sentence = format!(
                    "{} floats in {}: nothing holds it there, and it has no pull inside.",
                    named(book, cavity),
                    list(&states)
                );
                Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
            }
            // An undecided one is a finding already; one that is not ours is held, or not, by another's loom.
            Decision::Undecided | Decision::NotOurs => continue,
        };
        out.find(
            finding
                .matters(
                    "It reads whatever damp and its neighbours make of it, and may change while driving.",
                )
                .mend(Mend::words(
                    "give it a defined level: a bridge in the plug to a supply or ground, or a pull resistor",
                ))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn input(pull: Option<PullTo>, decision: Decision) -> (Bench, Id<Cavity>) {
        let mut bench = Bench::new();
        let cavity = bench.cavity("MC-A", "18");
        bench.edit(cavity, |c: &mut Cavity| {
            c.name = "ECONOMY".to_owned();
            c.kind = Some(SignalKind::DigitalInBare);
            c.decision = decision;
            c.limits.pull = pull.map(|to| Pull { to, ohm: None });
        });
        (bench, cavity)
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("floating-input").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_bare_input_left_blank_floats() {
        for pull in [None, Some(PullTo::Nothing)] {
            assert_eq!(
                found(&input(pull, Decision::Blank).0),
                ["MC-A18 (ECONOMY) floats: it is blank, and has no pull inside."]
            );
        }
        assert_eq!(found(&input(Some(PullTo::Ground), Decision::Blank).0), [""; 0]);
        assert_eq!(found(&input(None, Decision::NotOurs).0), [""; 0]);
    }

    #[test]
    fn a_wired_one_floats_in_the_states_in_which_its_switch_is_open() {
        let (mut bench, _) = input(None, Decision::Wired);
        let (closed, open) = (bench.state("ECO"), bench.state("NORMAL"));
        bench.battery();
        let ground = bench.cavity("MC-A", "4");
        bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
        bench.wire("W18", "DI-A1", "MC-A18", 0.5, 1.0);
        let contact = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
        let switch = bench.part("eco", contact, &["BP", "DI-A1"]);
        bench.set(closed, switch, PartPosition::On);
        bench.set(open, switch, PartPosition::Off);
        assert!(found(&bench)[0].starts_with("MC-A18 (ECONOMY) floats in NORMAL"));
        bench.set(open, switch, PartPosition::On);
        bench.edit(open, |s: &mut State| {
            s.parts.remove(0);
        });
        assert_eq!(found(&bench), [""; 0]);
    }
    #[test]
    fn a_named_cavity_left_open_is_asked_what_it_is() {
        let (mut bench, cavity) = input(None, Decision::Blank);
        bench.edit(cavity, |c: &mut Cavity| c.kind = None);
        assert_eq!(
            bench.missing_for("floating-input"),
            ["the kind of MC-A18 (ECONOMY), which is left open"]
        );
        bench.edit(cavity, |c: &mut Cavity| c.name.clear());
        assert_eq!(bench.missing_for("floating-input"), [""; 0]);
    }
}
