//! A book, keys, a book.

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
