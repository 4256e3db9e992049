//! Decisions and wires on the Face.

use super::*;

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
fn a_why_that_may_stay_empty_says_so() {
    let words = "blank. Why? (may stay empty)";
    let mut bench = on_face("mc-a5");
    bench.press("db").shows(words);
    bench.press("<Enter>");
    assert_eq!(cavity(bench.book(), "MC-A5").decision, Decision::Blank);
    let mut bench = Bench::demo();
    assert!(bench.book().revision().is_some(), "released");
    bench.press("/mc-a5<Enter>db").shows("blank. Why?");
    assert!(!bench.screen(80, 24).contains("may stay empty"));
    bench.press("<Enter>").shows("a why is needed here");
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
fn a_run_is_marked_beside_what_was_marked_one_by_one() {
    let mut bench = on_face("mc-a2");
    bench.press(" llvl");
    let mut marked: Vec<String> = crate::screen::model::face::chosen(&bench.model)
        .iter()
        .map(|c| c.number.clone())
        .collect();
    marked.sort();
    assert_eq!(marked, ["2", "4", "5"]);
    bench.press("h");
    assert_eq!(
        crate::screen::model::face::chosen(&bench.model).len(),
        2,
        "the run shrinks again"
    );
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
