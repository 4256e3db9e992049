//! A book, keys, a book.

mod any_keys;
mod asking;
mod meter;
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
fn a_cavity_is_decided_with_its_why_and_the_cursor_moves_on() {
    let mut bench = on_face("mc-a5");
    bench.press("db").type_text("no reverse").press("<Enter>");
    assert_eq!(cavity(bench.book(), "MC-A5").decision, Decision::Blank);
    assert_eq!(cavity(bench.book(), "MC-A5").why, "no reverse");
    assert_eq!(bench.session.heads().last().unwrap().why, "no reverse");
    let at = crate::screen::model::face::cavity(&bench.model).unwrap();
    assert_eq!(at.number, "6");
}

#[test]
fn a_marked_run_is_decided_at_once_and_undone_at_once() {
    let mut bench = on_face("mc-a10");
    bench.press("vlldr").type_text("later").press("<Enter>");
    for name in ["MC-A10", "MC-A11", "MC-A12"] {
        assert_eq!(cavity(bench.book(), name).decision, Decision::Reserved, "{name}");
    }
    assert_eq!(bench.session.heads().len(), 1);
    let mut bench = bench.restart();
    bench.press("u");
    for name in ["MC-A10", "MC-A11", "MC-A12"] {
        assert_eq!(cavity(bench.book(), name).decision, Decision::Undecided, "{name}");
    }
    bench.press("U");
    assert_eq!(cavity(bench.book(), "MC-A11").decision, Decision::Reserved);
}

#[test]
fn the_last_decision_is_repeated_with_its_why() {
    let mut bench = on_face("mc-a10");
    bench.press("db").type_text("spare").press("<Enter>..");
    assert_eq!(cavity(bench.book(), "MC-A12").decision, Decision::Blank);
    let heads = bench.session.heads();
    assert!(heads.len() == 3 && heads.iter().all(|h| h.why == "spare"));
}

#[test]
fn an_earlier_why_is_one_key_away() {
    let mut bench = on_face("mc-a10");
    bench.press("db").type_text("spare").press("<Enter>dr<Up><Enter>");
    assert_eq!(bench.session.heads().last().unwrap().why, "spare");
}

#[test]
fn the_cursor_walks_as_the_cavities_lie_and_mirrors_with_the_face() {
    let mut bench = on_face("mc-a2");
    let number = |bench: &Bench| {
        crate::screen::model::face::cavity(&bench.model)
            .unwrap()
            .number
            .clone()
    };
    bench.press("<Right>");
    assert_eq!(number(&bench), "3");
    bench.press("f<Right>");
    assert_eq!(number(&bench), "2", "from the other side right is left");
    bench.press("f<Up>");
    assert_eq!(number(&bench), "8", "numbers run upwards from the lower left");
}

#[test]
fn two_cavities_are_bridged_and_the_one_with_a_wire_stays_wired() {
    let mut bench = on_face("mc-a10");
    bench.press("<Space>").press("/mc-a3<Enter>");
    assert!(
        bench.model.face.marks.is_empty(),
        "going elsewhere drops the marks"
    );
    let mut bench = on_face("mc-a10");
    bench
        .press("<Space><Home><Right><Right>b")
        .type_text("same ground")
        .press("<Enter>");
    let ground = cavity(bench.book(), "MC-A3");
    assert_eq!(ground.decision, Decision::Wired);
    assert_eq!(
        cavity(bench.book(), "MC-A10").decision,
        Decision::Bridged { to: ground.id }
    );
}

#[test]
fn a_wire_is_added_from_a_cavity_and_decides_it() {
    let mut bench = on_face("mc-a5");
    bench
        .press("w<Down><Down>")
        .type_text("di-a4")
        .press("<Down><Down>");
    bench
        .type_text("16awg")
        .press("<Down>")
        .type_text("green/white")
        .press("<Down>");
    bench.type_text("8 ft").press("<PgDn>");
    let made = wire(bench.book(), "W46");
    assert_eq!(bench.book().end_name(made.from), "DI-A4");
    assert_eq!(bench.book().end_name(made.to), "MC-A5");
    assert_eq!(made.size_written, "AWG 16");
    assert_eq!(made.colour.unwrap().to_string(), "GN/WH");
    assert!((made.length_m.unwrap() - 2.4384).abs() < 1e-9);
    assert_eq!(cavity(bench.book(), "MC-A5").decision, Decision::Wired);
}

#[test]
fn what_cannot_be_read_is_said_under_its_field_and_nothing_is_written() {
    let mut bench = on_face("mc-a5");
    bench
        .press("w<Down><Down><Down><Down>")
        .type_text("16")
        .press("<PgDn>");
    assert!(bench.session.heads().is_empty());
    let screen = bench.screen(80, 24);
    assert!(screen.contains("! ") && screen.contains("AWG"), "{screen}");
    bench.press("<Esc>");
    assert!(matches!(bench.model.over.last(), Some(Over::Leaving)));
}

#[test]
fn after_a_release_a_change_asks_for_its_why_and_keeps_the_form() {
    let mut bench = bench();
    bench.press("glR").type_text("first build").press("<Enter>");
    bench.press(
        "gp/w44<Enter><Enter><Down><Down><Down><Down><Back><Back><Back><Back><Back><Back><Back><Back>",
    );
    bench.type_text("0.5").press("<PgDn>");
    assert!(
        (wire(bench.book(), "W44").area_mm2.unwrap() - 0.35).abs() < 1e-9,
        "not yet"
    );
    assert!(bench.screen(80, 24).contains("say why"));
    bench.type_text("fuse F6 stays").press("<Enter>");
    assert!((wire(bench.book(), "W44").area_mm2.unwrap() - 0.5).abs() < 1e-9);
    assert!(bench.model.over.is_empty());
    let head = bench.session.heads().last().unwrap();
    assert_eq!(
        (head.title.as_str(), head.why.as_str()),
        ("W44: size 0.35 mm² → 0.5 mm²", "fuse F6 stays")
    );
}

#[test]
fn a_pair_is_two_wires_in_one_edit() {
    let mut bench = on_face("mc-a10");
    bench
        .press("t<Down><Down><Down>")
        .type_text("free")
        .press("<Down><Down>")
        .type_text("ye");
    bench
        .press("<Down><Down><Down><Down>")
        .type_text("gn")
        .press("<Down>")
        .type_text("0.5")
        .press("<PgDn>");
    let (one, two) = (wire(bench.book(), "W46"), wire(bench.book(), "W47"));
    assert_eq!((one.pair.as_str(), two.pair.as_str()), ("P1", "P1"));
    assert_eq!(bench.book().end_name(one.to), "MC-A10");
    assert_eq!(bench.book().end_name(two.to), "MC-A11");
    assert_eq!(bench.session.heads().len(), 1);
}

#[test]
fn a_wire_like_the_last_one_moves_both_ends_on() {
    let mut bench = on_face("mc-a5");
    bench
        .press("w<Down><Down>")
        .type_text("sp1")
        .press("<Down><Down>")
        .type_text("0.5")
        .press("<PgDn>");
    bench.press("/mc-a10<Enter>n");
    let made = wire(bench.book(), "W47");
    assert_eq!(bench.book().end_name(made.from), "SP1");
    assert_eq!(bench.book().end_name(made.to), "MC-A10");
    assert_eq!(made.area_mm2, Some(0.5));
}

#[test]
fn a_unit_and_a_connector_with_a_face_are_entered_from_nothing() {
    let mut bench = Bench::over(Book::default());
    bench
        .press("<Enter>")
        .type_text("MC")
        .press("<Down>")
        .type_text("motor controller")
        .press("<PgDn>");
    bench.press("gfa<Enter>").type_text("MC-A").press("<Enter>");
    bench
        .type_text("rows 6 6, from upper left, mark at 1, seen from wire side")
        .press("<PgDn>");
    assert_eq!(bench.book().all::<Cavity>().len(), 12);
    assert_eq!(bench.model.place, Where::Face);
    assert!(bench.screen(80, 24).contains("WIRE SIDE"));
}

#[test]
fn removing_needs_the_word_and_can_be_undone() {
    let mut bench = bench();
    bench.press("gp/w44<Enter>D").type_text("yes").press("<Enter>");
    assert!(bench.book().index().labelled::<Wire>("W44").is_some());
    bench
        .press("<Back><Back><Back>")
        .type_text("remove")
        .press("<Enter>");
    assert!(bench.book().index().labelled::<Wire>("W44").is_none());
    bench.press("u");
    assert!(bench.book().index().labelled::<Wire>("W44").is_some());
}

fn steps(book: &Book) -> Vec<(Step, Outcome)> {
    let mut all: Vec<StepDone> = book.all::<StepDone>().values().cloned().collect();
    all.retain(|s| s.who == "Ann");
    all.sort_by_key(|s| s.id);
    all.iter().map(|s| (s.step, s.outcome)).collect()
}

#[test]
fn space_ticks_and_goes_on_and_the_place_is_kept_over_a_restart() {
    let mut bench = bench();
    bench.press("gb44<Enter><Space><Space><Space>");
    assert_eq!(
        steps(bench.book()),
        [
            (Step::Cut, Outcome::Done),
            (Step::Label, Outcome::Done),
            (Step::Seal, Outcome::Done)
        ]
    );
    let mut bench = bench.restart();
    bench.press("gb");
    let screen = bench.screen(80, 24);
    assert!(screen.contains("STRIP at DI-A3"), "{screen}");
}

#[test]
fn a_failure_keeps_its_note_and_its_place() {
    let mut bench = bench();
    bench
        .press("gb44<Enter>x")
        .type_text("drum end was dirty")
        .press("<Enter>");
    assert_eq!(steps(bench.book()), [(Step::Cut, Outcome::Failed)]);
    assert!(
        bench
            .screen(80, 24)
            .contains("FAILED just now, by Ann: drum end was dirty")
    );
    bench.press("<Space>");
    assert_eq!(steps(bench.book()), [(Step::Cut, Outcome::Done)]);
}

#[test]
fn undo_lands_where_the_tick_was() {
    let mut bench = bench();
    bench.press("gb44<Enter><Space>45<Enter><Space>uu");
    assert!(steps(bench.book()).is_empty());
    assert!(bench.screen(80, 24).contains("CUT"));
    let at = crate::screen::model::build::at_hand(&bench.model).unwrap();
    let label = crate::screen::model::build::label(bench.book(), at.item);
    assert_eq!(label, "W44");
}

#[test]
fn stray_keys_remove_nothing() {
    let mut bench = bench();
    bench.press("gb44<Enter><Space>");
    let before = bench.book().clone();
    for key in "acdeijklmqrtwyzABCDEFGHIJKLMNOPQRSTVWXYZ.,;:!*+-"
        .chars()
        .filter(|c| *c != 'q')
    {
        bench.press(&key.to_string()).press("<Esc><Esc>gb");
    }
    assert_eq!(bench.book(), &before);
}

#[test]
fn a_pause_is_where_the_next_start_lands() {
    let mut bench = bench();
    bench.press("gb3<Enter>");
    bench.press("p");
    assert_eq!(bench.model.place, Where::Overview);
    let mut bench = bench.restart();
    bench.press("gb");
    let at = crate::screen::model::build::at_hand(&bench.model).unwrap();
    assert_eq!(crate::screen::model::build::label(bench.book(), at.item), "W3");
}

#[test]
fn only_the_wires_asked_for_are_built() {
    let mut bench = bench();
    bench.press("gbf").type_text("rd 0.5").press("<Enter>");
    let items = crate::screen::model::build::items(&bench.model);
    let labels: Vec<String> = items
        .iter()
        .map(|i| crate::screen::model::build::label(bench.book(), *i))
        .collect();
    assert_eq!(labels, ["W1"]);
    bench
        .press("f<Back><Back><Back><Back><Back><Back>")
        .type_text("gn")
        .press("<Enter>");
    assert_eq!(crate::screen::model::build::items(&bench.model).len(), 1);
    bench.press("f<Back><Back>").type_text("mauve").press("<Enter>");
    assert_eq!(
        bench.model.build.filter, "gn",
        "a filter that finds nothing is not taken"
    );
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
fn two_points_of_the_log_are_compared() {
    let mut bench = on_face("mc-a10");
    bench
        .press("db")
        .type_text("spare")
        .press("<Enter>")
        .press("<Left>dr")
        .type_text("pump later")
        .press("<Enter>");
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare")
        .press("<Enter>");
    // The newest entry is on top: from the first entry to the last, only what stays of the changes after it.
    bench.press("gl<End>d<Home>d");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("what changed") && screen.contains("cavity MC-A11"),
        "{screen}"
    );
    assert!(
        screen.contains("blank → reserved"),
        "MC-A10 was blank after the first entry: {screen}"
    );
    bench.press("<Esc>");
    assert!(bench.model.log.detail.is_none());
}

#[test]
fn the_log_compares_with_another_workbook() {
    let mut bench = Bench::over(small::book());
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare for now")
        .press("<Enter>glw")
        .type_text("nowhere")
        .press("<Enter>");
    assert!(bench.screen(80, 24).contains("nowhere is not there"));
    bench.press("<Esc>yw").type_text("small").press("<Enter>");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("from small to this workbook") && screen.contains("cavity MC-A11"),
        "{screen}"
    );
    assert!(screen.contains("→ blank"), "{screen}");
    bench.press("<Esc>");
    assert!(bench.model.log.detail.is_none());
}

#[test]
fn a_comparison_on_the_log_has_its_whys() {
    let mut bench = Bench::over(small::book());
    bench
        .press("/mc-a10<Enter>db")
        .type_text("first")
        .press("<Enter>");
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare for now")
        .press("<Enter>gl<End>d<Home>d");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("why") && screen.contains("spare for now ("),
        "{screen}"
    );
}

#[test]
fn the_workbooks_own_page_is_edited_like_any_record() {
    let mut bench = Bench::demo();
    let about = bench.book().all::<About>().values().next().unwrap().clone();
    bench.press("gp<Left>");
    let screen = bench.screen(80, 24);
    assert!(screen.contains("wires of class 105 °C"), "{screen}");
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
