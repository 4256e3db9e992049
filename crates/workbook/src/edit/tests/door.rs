use super::super::testing::{apply, changed, design, stamp};
use crate::{
    edit::{Change, Edit, Refusal, invert},
    log::EntryKind,
    model::*,
    plan::{self, Answer, Standing},
    testing::Bench,
};

fn built() -> (crate::Book, Id<Wire>, Vec<plan::StepOf>) {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    let mut book = bench.book();
    let steps = plan::of_wire(&book, wire);
    let done = Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: stamp(0).at,
        who: "A.".to_owned(),
    };
    let edit = plan::answer(&book, &mut IdMaker::new(1), &steps, &done).unwrap();
    apply(&mut book, edit, 10);
    (book, wire, steps)
}

#[test]
fn a_before_that_no_longer_matches_is_refused() {
    let (mut book, wire, _) = built();
    let size = |area| changed(&book, wire, |w: &mut Wire| w.area_mm2 = Some(area));
    let (first, second) = (size(0.5), size(0.75));
    let as_prepared = book
        .prepare(Edit::design("b", vec![second.clone()]), stamp(3))
        .unwrap();
    apply(&mut book, Edit::design("a", vec![first]), 2);
    let state = book.clone();
    let refusal = design(&book, vec![second]).unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "wire W44 has changed since you looked: nothing was written; look again and repeat"
    );
    assert!(matches!(book.apply(&as_prepared), Err(Refusal::MovedOn { .. })));
    assert_eq!(book, state);
    // Making a record that is there, removing one that is not: the same.
    let row = book.get(wire).unwrap().clone();
    assert!(matches!(
        design(&book, vec![Change::make(row.clone())]),
        Err(Refusal::MovedOn { .. })
    ));
    let gone = Wire {
        id: Id::from_bits(5),
        ..row.clone()
    };
    assert!(matches!(
        design(&book, vec![Change::remove(gone.clone())]),
        Err(Refusal::MovedOn { .. })
    ));
    assert!(matches!(
        design(&book, vec![Change::replace(row, gone)]),
        Err(Refusal::NotValid { .. })
    ));
    let empty = Change {
        before: None,
        after: None,
    };
    assert!(matches!(
        design(&book, vec![empty]),
        Err(Refusal::NotValid { .. })
    ));
}

#[test]
fn after_a_release_a_change_of_a_wire_or_cavity_needs_its_why() {
    let (mut book, wire, _) = built();
    let note = |book: &crate::Book| changed(book, wire, |w: &mut Wire| w.note = "x".to_owned());
    assert!(design(&book, vec![note(&book)]).is_ok());
    let mut release = Edit::new(EntryKind::Release, "revision A released", Vec::new());
    release.revision = Some("A".to_owned());
    apply(&mut book, release, 2);
    assert_eq!(book.revision(), Some("A"));
    let refusal = design(&book, vec![note(&book)]).unwrap_err();
    assert_eq!(refusal.to_string(), "wire W44 changes after release A: say why");
    let blank = Edit::design("a", vec![note(&book)]).because("  ");
    assert!(book.prepare(blank, stamp(3)).is_err());
    let why = Edit::design("a", vec![note(&book)]).because("the manual says so");
    let entry = book.prepare(why, stamp(3)).unwrap();
    book.apply(&entry).unwrap();
    // Taking it back needs no new why, and ticks never do.
    assert!(book.prepare(invert(&entry), stamp(4)).is_ok());
    let page = book.all::<About>().values().next().unwrap().id;
    assert!(design(&book, vec![changed(&book, page, |a| a.purpose = "x".to_owned())]).is_ok());
}

#[test]
fn what_fell_back_comes_back_by_a_tick_and_not_by_undo() {
    let (mut book, wire, steps) = built();
    let bigger = changed(&book, wire, |w: &mut Wire| w.area_mm2 = Some(0.5));
    let change = apply(&mut book, Edit::design("W44: size", vec![bigger]), 2);
    assert_eq!(change.changes.len(), 1 + steps.len());
    let crimp = steps[4];
    let told = |book: &crate::Book| plan::find(book, crimp).unwrap().redo.clone().unwrap();
    assert_eq!(told(&book), "W44: size changed from 0.35 to 0.5 mm²");
    let undo = apply(&mut book, invert(&change), 3);
    assert_eq!(book.get(wire).unwrap().area_mm2, Some(0.35));
    assert_eq!(plan::task(&book, crimp).standing, Standing::Redo);
    assert_eq!(
        told(&book),
        "changed and put back since: look whether it is still as it was ticked"
    );
    let redo = apply(&mut book, invert(&undo), 4);
    assert_eq!(redo.kind, EntryKind::Redo);
    assert_eq!(told(&book), "W44: size changed from 0.35 to 0.5 mm²");
    let done = Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: stamp(0).at,
        who: "A.".to_owned(),
    };
    let again = plan::answer(&book, &mut IdMaker::new(9), &[crimp], &done).unwrap();
    let again = apply(&mut book, again, 5);
    assert_eq!(plan::task(&book, crimp).standing, Standing::Done);
    let size = plan::find(&book, crimp).unwrap().rested_on[0].value.clone();
    assert_eq!(size, "0.5 mm²");
    // The tick itself is undone and redone like anything else.
    let back = apply(&mut book, invert(&again), 6);
    assert_eq!(plan::task(&book, crimp).standing, Standing::Redo);
    apply(&mut book, invert(&back), 7);
    assert_eq!(plan::task(&book, crimp).standing, Standing::Done);
    // And the change that comes after it sends it back anew.
    apply(&mut book, invert(&redo), 8);
    assert_eq!(plan::task(&book, crimp).standing, Standing::Redo);
    assert_eq!(told(&book), "W44: size changed from 0.5 to 0.35 mm²");
}

#[test]
fn a_tick_is_undone_even_where_it_fell_back_since() {
    let (mut book, wire, steps) = built();
    let label = steps[1];
    let back = plan::take_back(&book, label).unwrap();
    apply(&mut book, back, 2);
    let done = Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: stamp(0).at,
        who: "A.".to_owned(),
    };
    let edit = plan::answer(&book, &mut IdMaker::new(9), &[label], &done).unwrap();
    let tick = apply(&mut book, edit, 3);
    let renamed = changed(&book, wire, |w: &mut Wire| w.label = "W440".to_owned());
    let change = apply(&mut book, Edit::design("renamed", vec![renamed]), 4);
    apply(&mut book, invert(&change), 5);
    apply(&mut book, invert(&tick), 6);
    assert_eq!(plan::task(&book, label).standing, Standing::Open);
}

#[test]
fn the_steps_of_a_wire_go_with_it_and_come_back_with_it() {
    let (mut book, wire, steps) = built();
    let as_it_was = book.clone();
    let gone = Change::remove(book.get(wire).unwrap().clone());
    let entry = apply(&mut book, Edit::design("W44 removed", vec![gone]), 2);
    assert_eq!(entry.changes.len(), 1 + steps.len());
    assert!(book.all::<StepDone>().is_empty());
    apply(&mut book, invert(&entry), 3);
    assert_eq!(book, as_it_was);
}

#[test]
fn an_undo_of_what_has_moved_on_is_refused_in_a_sentence() {
    let (mut book, wire, _) = built();
    let first = changed(&book, wire, |w: &mut Wire| w.note = "one".to_owned());
    let first = apply(&mut book, Edit::design("W44: note", vec![first]), 2);
    let second = changed(&book, wire, |w: &mut Wire| w.note = "two".to_owned());
    apply(&mut book, Edit::design("W44: note again", vec![second]), 3);
    let refusal = book.prepare(invert(&first), stamp(4)).unwrap_err();
    assert_eq!(
        refusal.to_string(),
        "cannot undo \"W44: note\": wire W44 has changed since; nothing was written; change it by hand"
    );
}

#[test]
fn a_step_that_fell_back_tells_what_was_built_beside_what_is_planned_now() {
    let (mut book, wire, steps) = built();
    let set = |book: &mut crate::Book, area_mm2: f64, length_m: f64, seq: u128| {
        let change = changed(book, wire, |w: &mut Wire| {
            w.area_mm2 = Some(area_mm2);
            w.length_m = Some(length_m);
        });
        apply(book, Edit::design("W44", vec![change]), seq);
    };
    let length_m = book.get(wire).unwrap().length_m.unwrap();
    set(&mut book, 0.5, length_m, 2);
    // Eight and a half feet are 2.5908 m, and no more digits than a tape shows are told.
    set(&mut book, 0.75, 8.5 * 0.3048, 3);
    assert_eq!(
        plan::find(&book, steps[4]).unwrap().redo.as_deref(),
        Some(
            format!("W44: size changed from 0.35 to 0.75 mm²; W44: length changed from {length_m} to 2.59 m")
                .as_str()
        )
    );
}
