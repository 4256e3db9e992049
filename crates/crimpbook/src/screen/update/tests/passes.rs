//! Build in passes: one key an item.

use crimpbook_workbook::{
    Book,
    log::EntryKind,
    model::{Connector, Outcome, Step, StepDone},
};

use crate::screen::{
    model::build::{self, Item},
    testkit::{Bench, small},
};

fn bench() -> Bench {
    Bench::over(small::book())
}

fn said(book: &Book) -> Vec<(Step, Outcome)> {
    let mut all: Vec<&StepDone> = book
        .all::<StepDone>()
        .values()
        .filter(|s| s.who == "Ann")
        .collect();
    all.sort_by_key(|s| s.id);
    all.iter().map(|s| (s.step, s.outcome)).collect()
}

#[test]
fn one_key_does_the_steps_in_sight_and_goes_on() {
    let mut bench = bench();
    bench.press("gb44<Enter>");
    let screen = bench.screen(80, 24);
    assert!(screen.contains("one key for: CUT, LABEL BOTH ENDS"), "{screen}");
    assert!(screen.contains("1500 mm, up to 20 mm longer"), "{screen}");
    assert!(screen.contains("at both ends, DI-A3 and MC-A4"), "{screen}");
    bench.press("<Space>");
    assert_eq!(
        said(bench.book()),
        [(Step::Cut, Outcome::Done), (Step::Label, Outcome::Done)]
    );
    let head = bench.session.heads().last().unwrap();
    assert_eq!(
        (head.kind, head.title.as_str()),
        (EntryKind::Progress, "W44: cut, label both ends done"),
        "one entry, which one key takes back"
    );
    bench.press("u");
    assert!(said(bench.book()).is_empty());
    let hand = build::at_hand(&bench.model).unwrap();
    assert_eq!(build::label(bench.book(), hand.item), "W44");
    assert!(hand.together);
}

#[test]
fn one_step_of_an_item_can_be_looked_at_and_answered_alone() {
    let mut bench = bench();
    bench.press("gb44<Enter><Right>");
    bench.shows("step 2 of 2: LABEL BOTH ENDS");
    bench.press("<Space>");
    assert_eq!(said(bench.book()), [(Step::Label, Outcome::Done)]);
    // What is left of the item is still at hand.
    bench.shows("one key for: CUT");
}

#[test]
fn what_failed_together_is_done_again_together_and_never_skipped() {
    let mut bench = bench();
    bench
        .press("gb44<Enter>x")
        .type_text("too short")
        .press("<Enter>");
    let all = said(bench.book());
    assert!(
        all.len() == 2 && all.iter().all(|s| s.1 == Outcome::Failed),
        "{all:?}"
    );
    bench.press("s");
    assert!(said(bench.book()).iter().all(|s| s.1 == Outcome::Failed));
    bench.press("<Space>");
    assert!(said(bench.book()).iter().all(|s| s.1 == Outcome::Done));
}

#[test]
fn where_a_connector_is_set_so_every_step_has_its_own_key() {
    let mut bench = bench();
    let connector = bench.book().index().labelled::<Connector>("MC-A").unwrap();
    let mut single = bench.book().get(connector).unwrap().clone();
    let before = single.clone();
    single.single_steps = true;
    let change = crimpbook_workbook::edit::Change::replace(before, single);
    let edit = crimpbook_workbook::edit::Edit::new(EntryKind::Design, "single steps", vec![change]);
    bench.session.edit(edit).unwrap();
    let mut bench = bench.restart();
    bench.press("gb44<Enter><Space>");
    assert_eq!(said(bench.book()), [(Step::Cut, Outcome::Done)]);
    bench.shows("step 2 of 2: LABEL BOTH ENDS");
}

/// The letters of a colour mean its base, its word every wire that has it somewhere.
#[test]
fn letters_of_a_colour_bring_up_no_wire_that_has_it_as_a_tracer() {
    let wires = |filter: &str| {
        let mut bench = Bench::demo();
        bench.press("gbf").type_text(filter).press("<Enter>");
        let mut colours: Vec<String> = build::items(&bench.model)
            .iter()
            .filter_map(|item| match item {
                Item::Piece(piece) => piece.of.wire(),
                _ => None,
            })
            .filter_map(|wire| Some(bench.book().get(wire)?.colour?.to_string()))
            .collect();
        colours.sort();
        colours.dedup();
        colours
    };
    assert!(
        wires("rd").iter().all(|c| c.starts_with("RD")),
        "{:?}",
        wires("rd")
    );
    assert!(
        wires("red").iter().any(|c| c.ends_with("/RD")),
        "{:?}",
        wires("red")
    );
    assert_eq!(wires("GN/WH"), ["GN/WH"]);
}

#[test]
fn two_people_work_on_two_connectors() {
    for (filter, connector) in [("insert mc-a", "MC-A"), ("insert di-a", "DI-A")] {
        let mut bench = bench();
        bench.press("gbf").type_text(filter).press("<Enter>");
        let items = build::items(&bench.model);
        assert!(!items.is_empty());
        for item in items {
            let Item::Piece(piece) = item else {
                panic!("{item:?}")
            };
            let place = bench.book().built_name(piece.of);
            assert!(place.contains(&format!(" at {connector}")), "{place}");
        }
    }
}

#[test]
fn a_pause_in_the_middle_of_an_item_lands_on_its_step() {
    let mut bench = bench();
    bench.press("gb44<Enter><Right>p");
    let mut bench = bench.restart();
    bench.press("gb");
    bench.shows("step 2 of 2: LABEL BOTH ENDS");
    let hand = build::at_hand(&bench.model).unwrap();
    assert_eq!(build::label(bench.book(), hand.item), "W44");
}
