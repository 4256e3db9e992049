//! Lists in another order, and held to some words.

use super::*;
use crate::screen::model::Model;
use crate::screen::{
    action::Where,
    model::sieve::{List, Sieve, list_of},
    update::go_to,
};

/// The first words of the lines below the heads, on the demo's screen.
fn names(bench: &Bench, skip: usize) -> Vec<String> {
    let screen = bench.screen(80, 24);
    let lines = screen.lines().skip(skip).map(|line| line.trim_start_matches('▸'));
    lines
        .filter_map(|line| line.split_whitespace().next().map(str::to_owned))
        .collect()
}

#[test]
fn wires_come_by_size_and_turned_round_and_the_cursor_stays_on_its_wire() {
    let mut bench = Bench::demo();
    bench.press("gp/w76<Enter>");
    bench.press("O");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("─ by size ─") && screen.contains("▸ W76"),
        "{screen}"
    );
    bench.press("<Home>");
    let thinnest = names(&bench, 4);
    bench.press("V<Home>");
    assert!(bench.screen(80, 24).contains("by size, turned round"));
    assert_ne!(names(&bench, 4), thinnest);
    // Round all orders, and as it came.
    bench.press("OOOOOO");
    assert!(bench.model.sieves.0.is_empty());
    // It holds for wires alone.
    bench.press("O<Left><Left>");
    assert!(!bench.screen(80, 24).contains("by size"));
}

#[test]
fn only_rows_with_some_words_are_listed_until_esc_or_a_way_to_another_row() {
    let mut bench = Bench::demo();
    bench
        .press("gp/w76<Enter>F")
        .type_text("rd mc-a")
        .press("<Enter>");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("only \"rd mc-a\": ") && !screen.contains("W76"),
        "{screen}"
    );
    assert!(screen.contains("W04"), "{screen}");
    // What is typed takes the place of the words, and a move of the cursor keeps them. Words that no row has change nothing,
    // and what was typed stays.
    bench.press("F").type_text("w04").press("<Enter>");
    bench.shows("only \"w04\"");
    bench.press("F").type_text("rd mc-a").press("<Enter>F<End>");
    bench.type_text(" nothing").press("<Enter>");
    bench.shows("no row here has all of \"rd mc-a nothing\"");
    bench.press("<Esc>y");
    assert!(bench.screen(80, 24).contains("only \"rd mc-a\""));
    // Going to a wire that is not among them shows it.
    bench.press("/w76<Enter>");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("▸ W76") && !screen.contains("only \""),
        "{screen}"
    );
    bench.press("F").type_text("rd").press("<Enter><Esc>");
    assert!(bench.screen(80, 24).contains("every row again"));
    assert!(bench.model.sieves.0.is_empty());
}

#[test]
fn every_list_takes_words_and_every_order_it_has() {
    for place in Where::ALL.iter().filter(|place| place.is_screen()) {
        let mut bench = Bench::demo();
        bench.press("");
        go_to(&mut bench.model, *place);
        let Some(list) = list_of(&bench.model).filter(|list| *list != List::Build) else {
            assert!(
                matches!(place, Where::Face | Where::Protection | Where::Build),
                "{}",
                place.words()
            );
            continue;
        };
        bench.press("<Down><Down>");
        for at in 1..list.orders().len() {
            bench.press("O");
            assert_eq!(bench.model.sieves.of(list).by, at);
            bench.press("V<Down>");
            bench.shows("turned round");
        }
        bench.press("F").type_text("a").press("<Enter>");
        if bench.model.over.is_empty() {
            assert_eq!(bench.model.sieves.of(list).words, "a", "{}", place.words());
            bench.press("<Esc>");
        } else {
            // No row begins so: that is said, and the line stays.
            assert!(
                bench.screen(80, 24).contains("no row here has"),
                "{}",
                place.words()
            );
        }
    }
}

fn habits(lists: crate::screen::model::sieve::Sieves) -> crate::screen::habits::Habits {
    crate::screen::habits::Habits {
        lists,
        ..Default::default()
    }
}

#[test]
fn what_a_list_was_left_with_comes_back_and_what_cannot_be_is_left_out() {
    let mut bench = Bench::demo();
    bench.press("gpO").press("gbOf").type_text("rd").press("<Enter>");
    let left = bench.model.lists_left();
    assert_eq!(left.of(List::Build).words, "rd");
    // It is remembered when it changes: a program that is killed has no end to do so at.
    assert_eq!(bench.remembered.map(|habits| habits.lists), Some(left.clone()));
    let mut bench = Bench::demo();
    bench.model.take_habits(habits(left));
    bench.press("gp");
    assert!(bench.screen(80, 24).contains("by what it is"));
    bench.press("gb");
    assert!(bench.screen(80, 24).contains("only rd"));
    // Words of a loom that is another by now would leave nothing to build.
    let mut old = bench.model.lists_left();
    let words = "nothing so called".to_owned();
    old.set(
        List::Build,
        Sieve {
            words,
            ..Sieve::default()
        },
    );
    old.set(
        List::Settings,
        Sieve {
            by: 99,
            ..Sieve::default()
        },
    );
    let mut bench = Bench::demo();
    bench.model.take_habits(habits(old));
    bench.press("gb");
    assert!(bench.model.build.filter.is_empty() && bench.screen(80, 24).contains("wires done"));
    bench.press("ge");
    assert!(!bench.screen(80, 24).contains("turned"));
}

#[test]
fn an_edit_that_moves_its_row_takes_the_cursor_along() {
    let mut bench = Bench::demo();
    bench.press("ge/regen_coast<Enter>OO");
    assert!(bench.screen(80, 24).contains("by value"));
    bench.press("v39<Enter>to see<Enter>");
    assert!(bench.model.over.is_empty(), "{}", bench.screen(80, 24));
    bench.shows("▸ REGEN_COAST_MAX");
}

#[test]
fn a_list_in_an_order_is_gone_through_once_and_not_at_every_frame() {
    use crate::screen::{
        computed::Computed,
        effect::{Effect, Msg},
        keys::Input,
        model::sieve::ARRANGED,
        testkit::keys,
        update::update,
    };
    let mut bench = Bench::demo();
    bench.press("");
    let model = &mut bench.model;
    let computed = std::sync::Arc::new(Computed::of(model.book.clone()));
    // Keys as the loop takes them in, with what the worker answers, and nothing that starts anything anew.
    let strike = |model: &mut Model, typed: &str| {
        for key in keys(typed) {
            for effect in update(model, Msg::Input(Input::Key(key))) {
                if let Effect::Ask(generation, of, question) = effect
                    && let Some(see) = &of.snapshot
                {
                    let answer = std::sync::Arc::new(question.answer(see));
                    update(model, Msg::Answered(generation, question, answer));
                }
            }
        }
    };
    update(model, Msg::Checked(model.findings.generation, computed));
    let shown = |model: &Model| {
        let area = ratatui::layout::Rect::new(0, 0, 80, 24);
        let mut buffer = ratatui::buffer::Buffer::empty(area);
        crate::screen::view::draw(model, area, &mut buffer);
        ARRANGED.get()
    };
    for (list, go) in [
        (List::Sources, "gs"),
        (List::Log, "gl"),
        (List::Trials, "gd"),
        (List::Settings, "ge"),
        (List::FarEnds, "grf"),
        (List::Parts(crimpbook_workbook::model::Kind::Unit), "gp"),
    ] {
        strike(model, go);
        assert_eq!(list_of(model), Some(list));
        let before = shown(model);
        strike(model, "OFa<Enter>");
        if !model.over.is_empty() {
            // No row begins so; what was typed is let go.
            strike(model, "<Esc>y");
        }
        let arranged = shown(model);
        assert!(
            arranged > before,
            "{}: an order goes through the rows",
            list.name()
        );
        for key in ["<Down>", "<Down>", "<End>", "<Up>", "<PgUp>"] {
            strike(model, key);
            assert_eq!(shown(model), arranged, "{} after {key}", list.name());
        }
        // Another order is another matter.
        strike(model, "V");
        assert!(shown(model) > arranged, "{}", list.name());
    }
}

#[test]
fn an_arranged_log_shows_what_was_just_done() {
    let mut bench = Bench::demo();
    bench.press("glO").press("gpaQZ<PgDn>");
    bench.press("glF").type_text("qz").press("<Enter>");
    bench.shows("unit QZ entered");
    bench.press("u");
    let told = bench.screen(80, 24);
    assert!(
        told.contains("change   unit QZ") && told.contains("undo     undo: unit QZ"),
        "{told}"
    );
}
