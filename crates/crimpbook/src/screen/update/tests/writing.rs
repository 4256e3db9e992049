//! Switches, states, behaviours and rules, written on States by keys alone.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::*,
    rules::{Class, RuleProof, Verdict, shown},
};

use super::{Bench, Where, bench};
use crate::screen::{
    form::Form,
    model::{over::Over, states::Shows},
};

fn form(bench: &Bench) -> &Form {
    match bench.model.over.last() {
        Some(Over::Form(form)) => form,
        other => panic!("no form: {other:?}\n{}", bench.screen(80, 24)),
    }
}

/// Goes to fields by the cursor keys and types into them.
pub(super) fn fill(bench: &mut Bench, fields: &[(&str, &str)]) {
    for (name, text) in fields {
        let mut moves = 0;
        while form(bench).field().unwrap().name != *name {
            bench.press("<Down>");
            moves += 1;
            assert!(moves < 40, "no field {name}");
        }
        bench.press("<End>");
        while !form(bench).field().unwrap().editor.is_empty() {
            bench.press("<Back>");
        }
        bench.type_text(text);
    }
}

/// Fills in a form and takes it; gives the why where one is asked for.
fn enter(bench: &mut Bench, fields: &[(&str, &str)]) {
    fill(bench, fields);
    bench.press("<PgDn>");
    if bench.model.place_of_keys() == Where::Line {
        bench.type_text("permit instead of inhibit").press("<Enter>");
    }
    assert!(bench.model.over.is_empty(), "{}", bench.screen(80, 24));
}

fn get<'b, R: Row>(bench: &'b Bench, label: &str) -> &'b R {
    let book = bench.book();
    book.get(book.index().labelled::<R>(label).unwrap()).unwrap()
}

/// On States, at a heading of what is written.
fn at_heading(bench: &mut Bench, times: usize) {
    bench.press("gt");
    if bench.model.states.shows != Shows::Written {
        bench.press("w");
    }
    assert_eq!(bench.model.place, Where::States);
    bench.press("<Home>");
    for _ in 0..times {
        bench.press("<Right>");
    }
}

#[test]
fn a_rule_is_typed_with_completion_and_its_error_is_pointed_at() {
    let mut bench = bench();
    at_heading(&mut bench, 3);
    bench.press("a");
    enter(
        &mut bench,
        &[
            ("label", "charge_lead"),
            ("kind", "lead"),
            ("positions", "out, in"),
        ],
    );
    at_heading(&mut bench, 0);
    bench.press("a");
    fill(
        &mut bench,
        &[("words", "never forward with the lead in"), ("never", "nev")],
    );
    bench
        .press("<Right>")
        .type_text("ch")
        .press("<Right>")
        .type_text("i")
        .press("<Right>")
        .type_text("up");
    bench.press("<Enter>");
    let screen = bench.screen(80, 24);
    let lines: Vec<&str> = screen.lines().collect();
    let typed = lines
        .iter()
        .position(|l| l.contains("never charge_lead is up"))
        .unwrap();
    let column = |line: &str, what: &str| line.split(what).next().unwrap().chars().count();
    assert_eq!(
        column(lines[typed + 1], "^"),
        column(lines[typed], "up"),
        "{screen}"
    );
    assert!(
        screen.contains("at character 22, `up`: expected a position of charge_lead"),
        "{screen}"
    );
    bench
        .press("<Del><Del>")
        .type_text("in and MC-A4")
        .press("<PgDn>");
    assert!(bench.model.over.is_empty(), "{}", bench.screen(80, 24));
    let rule: &Rule = get(&bench, "I1");
    assert!(rule.text.starts_with("never @switch:"), "{}", rule.text);
    assert_eq!(
        shown(bench.book(), &rule.text),
        "never charge_lead is in and MC-A4"
    );
}

#[test]
fn new_names_and_positions_keep_what_is_written() {
    let mut bench = bench();
    at_heading(&mut bench, 3);
    bench.press("a");
    enter(
        &mut bench,
        &[("label", "lead"), ("kind", "lead"), ("positions", "out, in")],
    );
    at_heading(&mut bench, 1);
    bench.press("a");
    enter(
        &mut bench,
        &[
            ("unit", "MC"),
            ("label", "MC.ready"),
            ("when", "lead is out and not MC-A4"),
        ],
    );
    bench.press("/lead<Enter>e");
    enter(
        &mut bench,
        &[("label", "charge_lead"), ("positions", "out, plugged")],
    );
    bench.press("/mc.ready<Enter>");
    assert!(
        bench
            .screen(80, 24)
            .contains("MC.ready := charge_lead is out and not MC-A4"),
        "{}",
        bench.screen(80, 24)
    );
    bench.press("/charge_lead<Enter>D");
    bench.shows("charge_lead: cannot be removed: expression MC.ready");
    assert!(bench.model.over.is_empty(), "said before a word is typed");
    assert_eq!(bench.book().all::<Switch>().len(), 1);
    bench.press("/mc.ready<Enter>Dremove<Enter>/charge_lead<Enter>Dremove<Enter>");
    assert!(
        bench.book().all::<Switch>().is_empty(),
        "{}",
        bench.screen(80, 24)
    );
    bench.press("uu");
    assert_eq!(
        (
            bench.book().all::<Switch>().len(),
            bench.book().all::<Expression>().len()
        ),
        (1, 1)
    );
}

#[test]
fn a_state_is_written_as_positions_of_switches() {
    let mut bench = Bench::demo();
    at_heading(&mut bench, 4);
    bench.press("a");
    fill(
        &mut bench,
        &[
            ("label", "DRIVE, HOT"),
            ("switches", "key is run and selector is sideways"),
            ("like", "DRIVE"),
        ],
    );
    bench.press("<PgDn>");
    bench.shows("`sideways`: expected a position of");
    fill(
        &mut bench,
        &[
            ("switches", "key is run and selector is forward"),
            ("parts", "[K1 coil] is computed and [K3 coil] is [assumed on]"),
            ("supply", "13.5"),
        ],
    );
    bench.press("<PgDn>");
    assert!(bench.model.over.is_empty(), "{}", bench.screen(80, 24));
    let state: &State = get(&bench, "DRIVE, HOT");
    let like: &State = get(&bench, "DRIVE");
    assert_eq!((state.supply_v, state.order), (Some(13.5), 14));
    let at: Vec<&str> = state.switches.iter().map(|at| at.position.as_str()).collect();
    assert_eq!(at, ["run", "forward"]);
    assert_eq!(state.parts.len(), like.parts.len() - 1);
    let k3 = get::<Part>(&bench, "K3 coil").id;
    assert!(state.parts.iter().any(|at| at.part == k3 && at.assumed));
}

fn opens(book: &Book, label: &str) -> (Vec<String>, Vec<String>) {
    let see = Snapshot::new(Arc::new(book.clone()));
    let rule = book.index().labelled::<Rule>(label).unwrap();
    let proof = see.proof();
    let answer: &RuleProof = proof.of_rule(rule).unwrap();
    let Verdict::Proven { without_fault, .. } = &answer.verdict else {
        panic!("{label} is not proven")
    };
    assert_eq!(*without_fault, None, "{label} holds without a fault");
    let words = |class: Class| {
        let broken = answer.broken_by(class).iter();
        broken
            .map(|b| proof.faults[b.fault].words.clone())
            .collect::<Vec<_>>()
    };
    (words(Class::Open), words(Class::Supply))
}

/// The mend of I1: 12 V through a contact that is closed only while the lead is out, into an input with a pull-down.
#[test]
fn a_builder_makes_a_permit_of_the_inhibit_and_no_open_breaks_the_rule_any_more() {
    let mut bench = Bench::demo();
    let (open, supply) = opens(bench.book(), "I1");
    assert!(open.iter().any(|w| w == "W54 off") && supply.iter().any(|w| w == "W54 touching supply"));
    // A switch at the inlet with two contacts of its own.
    bench.press("gpa");
    enter(
        &mut bench,
        &[("label", "LP"), ("name", "permit switch at the inlet")],
    );
    bench.press("gp<Right>a");
    enter(&mut bench, &[("unit", "LP"), ("label", "LP-A"), ("count", "2")]);
    at_heading(&mut bench, 2);
    bench.press("a");
    fill(&mut bench, &[("unit", "LP"), ("kind", "contact")]);
    bench.press("<Enter>");
    enter(
        &mut bench,
        &[
            ("label", "permit contact"),
            ("end1", "LP-A1"),
            ("end2", "LP-A2"),
            ("driver", "charge_lead is in"),
            ("form", "closed at rest"),
            ("ohm", "0.02"),
        ],
    );
    // Fed from the key rail, through it to MC-A19.
    bench.press("gp/w54<Enter>e");
    enter(&mut bench, &[("from", "LP-A2")]);
    bench.press("gp/w06<Enter>a");
    enter(
        &mut bench,
        &[
            ("from", "PB-A12"),
            ("to", "LP-A1"),
            ("size", "0.5"),
            ("length", "3.6"),
        ],
    );
    // The input is pulled down and read the other way round.
    bench.press("/mc-a19<Enter>e");
    enter(
        &mut bench,
        &[
            ("on_above", "5.5"),
            ("off_below", "2"),
            ("on_below", ""),
            ("off_above", ""),
            ("pull", "ground"),
        ],
    );
    let pull = get::<Part>(&bench, "MC-A19 pull").id;
    bench.press("gp");
    crate::screen::update::go_to(&mut bench.model, Where::Parts);
    super::super::parts::show(&mut bench.model, Key::of(pull));
    bench.press("e");
    enter(&mut bench, &[("end1", "MC-A4")]);
    bench.press("/mc.inhibit<Enter>e");
    enter(&mut bench, &[("when", "not MC-A19")]);
    let (open, supply) = opens(bench.book(), "I1");
    assert_eq!(open, [""; 0], "no open breaks it");
    assert!(supply.iter().any(|w| w == "W54 touching supply"), "{supply:?}");
}
