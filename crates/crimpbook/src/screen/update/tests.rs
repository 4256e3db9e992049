//! A book, keys, a book.

mod any_keys;
mod asking;
mod build;
mod face;
mod hunt;
mod lists;
mod log;
pub(crate) mod merging;
mod meter;
mod passes;
mod pointer;
mod service;
pub(crate) mod shelf;
mod trail;
mod tuning;
mod writing;

use crimpbook_workbook::{Book, model::*};

use crate::screen::{
    action::Where,
    model::over::Over,
    testkit::{Bench, small},
};

fn bench() -> Bench {
    Bench::over(small::book())
}

#[test]
fn screens_change_by_menu_and_by_tab() {
    let mut bench = bench();
    bench.press("gl");
    assert_eq!(bench.model.place, Where::Log);
    bench.press("<Tab>");
    assert_eq!(bench.model.place, Where::Parts);
    bench.press("<Tab><BackTab><BackTab>");
    assert_eq!(bench.model.place, Where::Log);
}

#[test]
fn typed_text_is_never_lost_by_esc_without_asking() {
    let mut bench = bench();
    bench.press("glR");
    bench.type_text("first build");
    bench.press("<Esc>");
    assert!(matches!(bench.model.over.last(), Some(Over::Leaving)));
    bench.press("n<Enter>");
    assert_eq!(bench.book().revision(), Some("A"));
    assert_eq!(bench.session.heads().last().unwrap().why, "first build");
}

#[test]
fn leaving_typed_text_on_purpose_writes_nothing() {
    let mut bench = bench();
    bench.press("glR");
    bench.type_text("first build");
    bench.press("<Esc>y");
    assert!(bench.model.over.is_empty());
    assert_eq!(bench.book().revision(), None);
}

#[test]
fn a_release_needs_its_why() {
    let mut bench = bench();
    bench.press("glR<Enter>");
    assert_eq!(bench.book().revision(), None);
    assert!(bench.screen(80, 24).contains("a why is needed"));
}

#[test]
fn what_is_not_available_says_why() {
    let mut bench = bench();
    bench.press("u");
    assert!(bench.screen(80, 24).contains("nothing of yours to undo"));
}

#[test]
fn pasted_text_is_one_edit_and_control_characters_are_refused() {
    let mut bench = bench();
    bench.press("/").paste("fo\u{7}rw\r\n");
    let Some(Over::Find(find)) = bench.model.over.last() else {
        panic!("the finder is open")
    };
    assert_eq!(find.editor.text(), "forw");
    assert!(bench.screen(80, 24).contains("control characters"));
}

#[test]
fn actions_are_found_by_name() {
    let mut bench = bench();
    bench.press("gl/ticks<Enter>");
    assert!(bench.model.log.ticks);
}

#[test]
fn a_release_is_not_undone() {
    let mut bench = bench();
    bench.press("glR");
    bench.type_text("first build");
    bench.press("<Enter>");
    let mut bench = bench.restart();
    bench.press("u");
    assert!(bench.screen(80, 24).contains("since the last release"));
}

fn cavity(book: &Book, name: &str) -> Cavity {
    book.get(book.find_cavity(name).unwrap()).unwrap().clone()
}

fn wire(book: &Book, label: &str) -> Wire {
    book.get(book.index().labelled::<Wire>(label).unwrap())
        .unwrap()
        .clone()
}

/// On the Face of MC-A, cursor on the cavity named.
fn on_face(name: &str) -> Bench {
    let mut bench = bench();
    bench.press("/").type_text(name).press("<Enter>");
    assert_eq!(bench.model.place, Where::Face, "{name}");
    bench
}

#[test]
fn a_source_is_weighed_and_chosen_and_its_wire_is_added() {
    let mut bench = bench();
    bench.press("gso");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("MC-A5") && screen.contains("needs a signal"),
        "{screen}"
    );
    bench
        .press("/mc-a5<Enter>a")
        .type_text("di-a4")
        .press("<Enter>")
        .type_text("reverse contact");
    bench.press("<Enter>").type_text("in reach").press("<Enter>");
    bench
        .press("<Right>y")
        .type_text("nothing else gives it")
        .press("<Enter>");
    let made = wire(bench.book(), "W46");
    assert_eq!(bench.book().end_name(made.from), "DI-A4");
    assert_eq!(bench.book().end_name(made.to), "MC-A5");
    let candidate = bench.book().all::<Candidate>().values().next().unwrap();
    assert_eq!(
        (candidate.verdict, candidate.why.as_str()),
        (Verdict::Chosen, "in reach; chosen: nothing else gives it")
    );
}

#[test]
fn a_refused_source_stays_with_its_why() {
    let mut bench = bench();
    bench
        .press("gsoa")
        .type_text("di-a3")
        .press("<PgDn><Right>n")
        .type_text("too slow")
        .press("<Enter>");
    let candidate = bench.book().all::<Candidate>().values().next().unwrap();
    assert_eq!(
        (candidate.verdict, candidate.why.as_str()),
        (Verdict::Refused, "too slow")
    );
    assert!(bench.screen(80, 24).contains("refused"));
}

#[test]
fn a_finding_is_accepted_with_a_why_and_that_is_taken_back() {
    let mut bench = bench();
    bench.press("").press("<Down><Down><Down>a<Enter>");
    assert!(bench.book().all::<Acceptance>().is_empty(), "it needs its why");
    bench.type_text("the branch is short").press("<Enter>");
    let acceptance = bench.book().all::<Acceptance>().values().next().unwrap().clone();
    assert_eq!(
        (acceptance.check.as_str(), acceptance.why.as_str()),
        ("fuse-above-wire", "the branch is short")
    );
    assert_eq!(acceptance.figure, Some(168.0));
    assert!(
        bench
            .screen(80, 24)
            .contains("accepted by Ann: the branch is short")
    );
    bench.press("a");
    assert!(bench.book().all::<Acceptance>().is_empty());
}

#[test]
fn a_mend_is_made_by_one_key_with_its_why() {
    let mut bench = bench();
    bench.press("").press("<Down><Down><Down>m<Enter>");
    assert_eq!(wire(bench.book(), "W44").area_mm2, Some(0.5));
    assert!(
        bench
            .session
            .heads()
            .last()
            .unwrap()
            .why
            .starts_with("F6 10 A is too much")
    );
    bench.press("u");
    assert_eq!(wire(bench.book(), "W44").area_mm2, Some(0.35));
}

#[test]
fn cavity_after_cavity_is_described_by_typing_on() {
    let mut bench = on_face("mc-a10");
    bench
        .press("i")
        .type_text("PUMP RELAY, low-side")
        .press("<Enter>")
        .type_text("SPEED, open-coll")
        .press("<Enter>");
    bench.press("<Esc>");
    let (ten, eleven) = (cavity(bench.book(), "MC-A10"), cavity(bench.book(), "MC-A11"));
    assert_eq!(
        (ten.name.as_str(), ten.kind),
        ("PUMP RELAY", Some(SignalKind::LowSideOut))
    );
    assert_eq!(
        (eleven.name.as_str(), eleven.kind),
        ("SPEED", Some(SignalKind::OpenCollector))
    );
    bench.press("i").type_text("X, switch").press("<Enter>");
    assert!(
        bench
            .screen(80, 24)
            .contains("switch may be \"switch contact, feed\"")
    );
}

#[test]
fn pasted_rows_describe_many_cavities_in_one_edit() {
    let mut bench = on_face("mc-a10");
    bench.paste("cavity\tname\tkind\tpage\n10\tPUMP RELAY\tlow-side output\t14\n11\tSPEED\topen-collector output\t15\n");
    assert!(bench.screen(80, 24).contains("changes: 0 new, 2 changed"));
    bench.press("<Enter>").press("<Enter>");
    let (ten, eleven) = (cavity(bench.book(), "MC-A10"), cavity(bench.book(), "MC-A11"));
    assert_eq!((ten.name.as_str(), ten.page.as_str()), ("PUMP RELAY", "14"));
    assert_eq!(eleven.kind, Some(SignalKind::OpenCollector));
    assert_eq!(bench.session.heads().len(), 1);
    bench.paste("10;A\n99;B");
    assert!(bench.screen(80, 24).contains("line 2: MC-A has no cavity \"99\""));
    bench.press("<Esc>");
    assert_eq!(bench.session.heads().len(), 1);
}

#[test]
fn the_workbooks_own_page_is_edited_like_any_record() {
    let mut bench = Bench::demo();
    let about = bench.book().all::<About>().values().next().unwrap().clone();
    bench.press("gp<Left>");
    bench.shows("wires of class 105 °C");
    bench
        .press("<Enter><Down><Down><Back><Back><Back><Back><Back><Back>")
        .type_text("9 V")
        .press("<Down><Down><Down><Down><Down><Back><Back><Back>")
        .type_text("xl")
        .press("<PgDn>");
    let after = bench.book().all::<About>().values().next().unwrap().clone();
    assert_eq!((after.supply.least_v, after.insulation.as_str()), (9.0, "XLPE"));
    let same = About {
        supply: about.supply,
        insulation: about.insulation.clone(),
        ..after
    };
    assert_eq!(same, about, "nothing else of it changes");
}
