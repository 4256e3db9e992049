//! Missing facts, asked and answered by keys.

use crimpbook_workbook::model::*;

use super::bench;
use crate::screen::{action::Where, model::over::Over, testkit::Bench};

/// The Overview, its checks run, at the questions.
fn asked() -> Bench {
    let mut bench = bench();
    bench.press("").press("f");
    bench
}

fn limits(bench: &Bench) -> Limits {
    let cavity = bench.book().find_cavity("DI-A1").unwrap();
    bench.book().get(cavity).unwrap().limits
}

fn words(bench: &Bench) -> String {
    match bench.model.over.last() {
        Some(Over::Asking(asking)) => asking.question().map_or_else(String::new, |q| q.words.clone()),
        other => panic!("no questions: {other:?}"),
    }
}

#[test]
fn answers_are_taken_in_one_sitting_each_an_edit_that_is_undone_by_itself() {
    let mut bench = asked();
    assert_eq!(words(&bench), "most current, running of DI-A1");
    bench.type_text("150 mA");
    bench.press("<Enter>");
    assert_eq!(words(&bench), "most current for a moment of DI-A1");
    bench.type_text("2");
    bench.press("<Enter>");
    assert_eq!(words(&bench), "pull inside of DI-A1");
    bench.type_text("to g");
    bench.press("<Enter>");
    let told = limits(&bench);
    assert_eq!((told.most_a, told.peak_a), (Some(0.15), Some(2.0)));
    assert_eq!(told.pull.map(|p| p.to), Some(PullTo::Ground));
    assert!(bench.screen(80, 24).contains("Nothing is missing"));
    bench.press("<Esc>u");
    assert_eq!((limits(&bench).pull, limits(&bench).peak_a), (None, Some(2.0)));
    bench.press("uu");
    assert_eq!(limits(&bench), Limits::default());
}

#[test]
fn a_bad_answer_is_told_in_place_and_can_be_corrected() {
    let mut bench = asked();
    bench.type_text("5 V");
    bench.press("<Enter>");
    assert!(bench.screen(80, 24).contains("`V` is no unit of a current."));
    assert_eq!(limits(&bench), Limits::default());
    bench.press("<Back>");
    assert!(
        !bench.screen(80, 24).contains("no unit"),
        "said of the text before"
    );
    bench.type_text("A");
    bench.press("<Enter>");
    assert_eq!(limits(&bench).most_a, Some(5.0));
}

#[test]
fn what_the_door_refuses_is_told_in_place() {
    let mut bench = asked();
    bench.type_text("99000 A");
    bench.press("<Enter>");
    let shown = bench.screen(80, 24);
    assert!(
        shown.contains('!') && shown.contains("most current, running"),
        "{shown}"
    );
    assert_eq!(limits(&bench), Limits::default());
}

#[test]
fn a_question_is_skipped_and_comes_again_after_the_last() {
    let mut bench = asked();
    let first = words(&bench);
    bench.press("<Tab><Down>");
    assert_eq!(words(&bench), "pull inside of DI-A1");
    bench.press("<Tab>");
    assert_eq!(words(&bench), first);
    bench.press("<BackTab>");
    assert_eq!(words(&bench), "pull inside of DI-A1");
}

#[test]
fn typed_text_is_neither_skipped_nor_left_without_asking() {
    let mut bench = asked();
    bench.type_text("3");
    bench.press("<Tab>");
    assert!(bench.screen(80, 24).contains("is not taken yet"));
    bench.press("<Esc>");
    assert!(matches!(bench.model.over.last(), Some(Over::Leaving)));
    bench.press("n<Enter>");
    assert_eq!(limits(&bench).most_a, Some(3.0));
}

#[test]
fn the_place_is_shown_and_a_released_book_takes_answers_without_asking_why() {
    let mut bench = bench();
    bench.press("glR");
    bench.type_text("first build");
    bench.press("<Enter>gof");
    bench.type_text("1");
    bench.press("<Enter>");
    assert_eq!(limits(&bench).most_a, Some(1.0));
    assert_eq!(
        bench.session.heads().last().unwrap().why,
        "a fact that a check lacked"
    );
    bench.press("<PgDn>");
    assert_eq!(bench.model.place, Where::Face);
    assert!(bench.model.over.is_empty());
}

#[test]
fn where_nothing_is_missing_the_key_says_so() {
    let mut bench = Bench::over(Default::default());
    bench.press("").press("f");
    assert!(bench.model.over.is_empty());
    assert!(bench.screen(80, 24).contains("no fact is missing"));
}
