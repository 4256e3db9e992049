//! At the car: steps done, failed, taken back and left.

use super::*;

fn steps(book: &Book) -> Vec<(Step, Outcome)> {
    let mut all: Vec<StepDone> = book.all::<StepDone>().values().cloned().collect();
    all.retain(|s| s.who == "Ann");
    all.sort_by_key(|s| s.id);
    all.iter().map(|s| (s.step, s.outcome)).collect()
}

#[test]
fn space_ticks_and_goes_on_and_the_place_is_kept_over_a_restart() {
    let mut bench = bench();
    bench.press("gbo44<Enter><Space><Space><Space>");
    assert_eq!(
        steps(bench.book()),
        [
            (Step::Cut, Outcome::Done),
            (Step::Label, Outcome::Done),
            (Step::Seal, Outcome::Done)
        ]
    );
    // Started again, the order is that of the passes; the wire and what is next of it are the same.
    let mut bench = bench.restart();
    bench.press("gb");
    let screen = bench.screen(80, 24);
    assert!(screen.contains("one key for: STRIP, CRIMP at DI-A3"), "{screen}");
    assert!(screen.contains("You were here: W44, strip is next"), "{screen}");
    bench.press("o");
    bench.shows("STRIP at DI-A3");
}

#[test]
fn a_failure_keeps_its_note_and_its_place() {
    let mut bench = bench();
    bench
        .press("gbo44<Enter>x")
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
    bench.press("gbo44<Enter><Space>45<Enter><Space>uu");
    assert!(steps(bench.book()).is_empty());
    assert!(bench.screen(80, 24).contains("CUT"));
    let at = crate::screen::model::build::at_hand(&bench.model).unwrap();
    let label = crate::screen::model::build::label(bench.book(), at.item);
    assert_eq!(label, "W44");
}

#[test]
fn stray_keys_remove_nothing() {
    let mut bench = bench();
    bench.press("gbo44<Enter><Space>");
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
    bench.press("gbof").type_text("rd 0.5").press("<Enter>");
    let items = crate::screen::model::build::items(&bench.model);
    let labels: Vec<String> = items
        .iter()
        .map(|i| crate::screen::model::build::label(bench.book(), *i))
        .collect();
    assert_eq!(labels, ["W1"]);
    bench
        .press("f<Back><Back><Back><Back><Back><Back>")
        .type_text("wh")
        .press("<Enter>");
    assert_eq!(crate::screen::model::build::items(&bench.model).len(), 1);
    bench.press("f<Back><Back>").type_text("mauve").press("<Enter>");
    assert_eq!(
        bench.model.build.filter, "wh",
        "a filter that finds nothing is not taken"
    );
}
