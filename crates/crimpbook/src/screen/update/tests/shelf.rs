//! Drums, parts in stock, house colours and terminal numbers on Parts.

use crimpbook_workbook::{log::EntryKind, model::*};

use super::{bench, writing::fill};
use crate::screen::{action::Where, testkit::Bench};

/// Parts, with the list so many places before the first one.
fn listed(bench: &mut Bench, places: usize) {
    bench.press("gp");
    bench.model.parts.kind = 0;
    for _ in 0..places {
        bench.press("<Left>");
    }
}

/// Opens a form, fills it and takes it.
fn enter(bench: &mut Bench, fields: &[(&str, &str)]) {
    bench.press("a");
    fill(bench, fields);
    bench.press("<PgDn>");
}

/// The small book with a drum, a house colour, a part in stock and two terminal numbers.
pub(crate) fn stocked() -> Bench {
    let mut bench = bench();
    listed(&mut bench, 6);
    enter(
        &mut bench,
        &[("size", "0.5"), ("colour", "YE"), ("stock", "25 m")],
    );
    enter(
        &mut bench,
        &[("size", "0.75"), ("colour", "RD"), ("stock", "8 m")],
    );
    listed(&mut bench, 4);
    enter(&mut bench, &[("purpose", "ground"), ("colour", "BK")]);
    listed(&mut bench, 5);
    enter(
        &mut bench,
        &[
            ("label", "fuse 5 A blade tan"),
            ("have", "1"),
            ("ordered", "10"),
            ("here", "4"),
        ],
    );
    listed(&mut bench, 3);
    enter(&mut bench, &[("at", "SP1"), ("number", "30")]);
    enter(&mut bench, &[("at", "DI-A2"), ("number", "15")]);
    bench
}

#[test]
fn the_shelf_is_kept_without_a_why_and_is_no_change_of_the_plan() {
    let bench = stocked();
    let book = bench.book();
    let drum = book
        .index()
        .labelled::<Drum>("D1")
        .map(|id| book.get(id).unwrap());
    let drum = drum.unwrap();
    assert_eq!((drum.area_mm2, drum.stock_m), (0.5, 25.0));
    assert_eq!(drum.colour, "YE".parse().ok());
    assert!(book.index().labelled::<Drum>("D2").is_some(), "numbers go on");
    let line = book.all::<StockLine>().values().next().unwrap();
    assert_eq!((line.have, line.ordered, line.here), (1.0, 10.0, 4.0));
    let house = book.all::<ColourUse>().values().next().unwrap();
    assert_eq!(
        (house.purpose, house.colour),
        (WireUse::Ground, "BK".parse().ok())
    );
    let kinds: Vec<EntryKind> = bench
        .session
        .heads()
        .iter()
        .rev()
        .take(6)
        .map(|h| h.kind)
        .collect();
    let (numbers, shelf) = kinds.split_at(2);
    assert_eq!(numbers, [EntryKind::Design; 2]);
    assert_eq!(shelf, [EntryKind::Progress; 4]);
}

#[test]
fn a_terminal_number_leads_the_finder_to_its_place() {
    let mut bench = stocked();
    bench.press("go/").type_text("terminal 15");
    let shown = bench.screen(80, 24);
    assert!(shown.contains("15 at DI-A2"), "{shown}");
    bench.press("<Enter>");
    assert_eq!(bench.model.place, Where::Face);
    assert!(bench.screen(80, 24).contains("DI-A2"));
}

#[test]
fn what_cannot_lie_on_a_shelf_is_refused_in_a_sentence() {
    let mut bench = bench();
    listed(&mut bench, 6);
    enter(&mut bench, &[("size", "0.5"), ("colour", "YE")]);
    assert!(bench.screen(80, 24).contains("the length in stock is needed"));
    let mut bench = stocked();
    listed(&mut bench, 5);
    enter(
        &mut bench,
        &[("label", "ring lug 1.5 mm²"), ("ordered", "5"), ("here", "6")],
    );
    let shown = bench.screen(120, 40);
    assert!(shown.contains("6 come of 5 ordered"), "{shown}");
    let mut bench = stocked();
    listed(&mut bench, 3);
    enter(&mut bench, &[("at", "DI-A3"), ("number", "fifteen")]);
    assert!(bench.screen(120, 40).contains("15, 31b or 87a"));
}

#[test]
fn a_wire_is_offered_what_lies_on_the_shelf() {
    let mut bench = stocked();
    bench.press("gp/w45<Enter>e");
    fill(&mut bench, &[("colour", "")]);
    let shown = bench.screen(80, 24);
    assert!(shown.contains("RD"), "{shown}");
    assert!(!shown.contains("YE"), "that drum is of another size: {shown}");
}

/// A list that was looked at before is the list as it is now.
#[test]
fn what_is_entered_stands_in_the_list_at_once() {
    let mut bench = bench();
    listed(&mut bench, 6);
    assert!(bench.screen(80, 24).contains("None yet"));
    enter(
        &mut bench,
        &[("size", "0.5"), ("colour", "YE"), ("stock", "25 m")],
    );
    let shown = bench.screen(80, 24);
    assert!(shown.contains("D1") && !shown.contains("None yet"), "{shown}");
}

#[test]
fn the_face_shows_the_terminal_number_of_the_net() {
    let mut bench = stocked();
    bench.press("gf/di-a2<Enter>");
    let screen = bench.screen(120, 40);
    assert!(screen.contains("terminal (DIN 72552) 15"), "{screen}");
}
