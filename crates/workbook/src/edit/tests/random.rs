use proptest::prelude::*;

use super::super::testing::stamp;
use crate::{
    Book,
    book::Index,
    edit::{Change, Edit, invert},
    log::{Entry, EntryKind},
    model::*,
    plan::{self, Answer},
    testing::Bench,
};

/// A book with something of most kinds.
pub(crate) fn bench() -> Book {
    let mut bench = Bench::new();
    for number in ["1", "2", "3", "4"] {
        bench.cavity("MC-A", number);
        bench.cavity("MC-B", number);
    }
    bench.wire("W1", "MC-A1", "SP1", 0.5, 2.0);
    bench.wire("W2", "SP1", "G2", 0.5, 2.0);
    bench.wire("W3", "MC-B1", "MC-B2", 1.0, 2.0);
    bench.contact_family("S", 0.35, 0.5);
    bench.zone("cabin", 40.0);
    bench.bundle("tunnel", Some(0.7));
    bench.chassis("G1", "G2", 0.002);
    bench.fuse_way("F1", 5.0, "BP", "MC-A3");
    bench.battery();
    let switch = bench.switch("key", &["off", "run"]);
    let driver = Driver::Switch {
        switch,
        operated_in: vec!["run".to_owned()],
    };
    bench.part(
        "key contact",
        Bench::contact(ContactForm::NormallyOpen, driver),
        &["MC-A4", "MC-B4"],
    );
    bench.state("DRIVE");
    bench.book()
}

/// What is done to a record: which one, and a number to vary it.
pub(crate) type Act = (usize, usize, u8);

/// The edit that an act means for this book; many are refused, which is part of the point.
pub(crate) fn edit(book: &Book, ids: &mut IdMaker, (kind, at, vary): Act) -> Edit {
    fn nth<R: Row>(book: &Book, at: usize) -> Option<R> {
        let table = book.all::<R>();
        table.values().nth(at.checked_rem(table.len())?).cloned()
    }
    fn change<R: Row>(row: Option<R>, vary: u8, alter: impl FnOnce(&mut R)) -> Vec<Change> {
        let Some(before) = row else { return Vec::new() };
        if vary.is_multiple_of(7) {
            return vec![Change::remove(before)];
        }
        let mut after = before.clone();
        alter(&mut after);
        vec![Change::replace(before, after)]
    }
    let end = || match vary % 4 {
        0 => End::Free,
        1 => nth::<Junction>(book, at).map_or(End::Free, |j| End::Junction(j.id)),
        _ => nth::<Cavity>(book, at + usize::from(vary)).map_or(End::Free, |c| End::Cavity(c.id)),
    };
    let figure = f64::from(vary) / 10.0;
    let changes = match kind % 11 {
        0 => change(nth::<Wire>(book, at), vary, |w| w.area_mm2 = Some(figure)),
        1 => change(nth::<Wire>(book, at), vary, |w| {
            if vary % 2 == 0 {
                w.from = end()
            } else {
                w.to = end()
            }
        }),
        2 => nth::<Wire>(book, at)
            .map(|w| {
                Change::make(Wire {
                    id: ids.make(),
                    label: format!("W{vary}"),
                    ..w
                })
            })
            .into_iter()
            .collect(),
        3 => change(nth::<Cavity>(book, at), vary, |c| {
            c.decision = match (vary % 5, nth::<Cavity>(book, at + 1)) {
                (0, Some(other)) => Decision::Bridged { to: other.id },
                (1, _) => Decision::Blank,
                (2, _) => Decision::Reserved,
                _ => Decision::Wired,
            };
        }),
        4 => change(nth::<Cavity>(book, at), vary, |c| {
            c.number = format!("{}", vary % 9)
        }),
        5 => change(nth::<Connector>(book, at), vary, |c| c.label = format!("X{vary}")),
        6 => change(nth::<Part>(book, at), vary, |p| p.label = format!("part {vary}")),
        7 => change(nth::<Junction>(book, at), vary, |j| j.note = format!("{vary}")),
        8 => change(nth::<Switch>(book, at), vary, |s| {
            s.positions.push(format!("p{vary}"))
        }),
        9 => change(nth::<ContactFamily>(book, at), vary, |c| {
            c.strip_mm = Some(figure)
        }),
        _ => {
            let steps: Vec<_> = plan::all_steps(book);
            let step = at.checked_rem(steps.len()).and_then(|at| steps.get(at));
            let answer = Answer {
                outcome: if vary.is_multiple_of(3) {
                    Outcome::Failed
                } else {
                    Outcome::Done
                },
                note: String::new(),
                at: stamp(0).at,
                who: "A.".to_owned(),
            };
            return step
                .and_then(|step| plan::answer(book, ids, &[*step], &answer).ok())
                .unwrap_or_else(|| Edit::design("nothing", Vec::new()));
        }
    };
    Edit::design("an act", changes)
}

/// The book without what says that a step has to be redone.
fn but_lapses(book: &Book) -> Tables {
    let mut tables = book.tables().clone();
    let ids: Vec<_> = tables.steps_done.keys().copied().collect();
    for id in ids {
        if let Some(step) = tables.steps_done.get_mut(&id) {
            step.redo = None;
        }
    }
    tables
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_edit_can_be_undone_and_the_indexes_follow(acts in prop::collection::vec((0..20usize, 0..30usize, any::<u8>()), 1..40)) {
        let mut book = bench();
        let mut ids = IdMaker::new(5);
        let mut history: Vec<(Tables, Entry)> = Vec::new();
        for (n, act) in acts.into_iter().enumerate() {
            let edit = edit(&book, &mut ids, act);
            let before = but_lapses(&book);
            let as_it_was = book.clone();
            match book.prepare(edit, stamp(n as u128 + 1)) {
                Err(refusal) => {
                    prop_assert_eq!(&book, &as_it_was);
                    prop_assert!(!refusal.to_string().contains('?'), "{}", refusal);
                }
                Ok(entry) => {
                    book.apply(&entry).unwrap();
                    history.push((before, entry));
                }
            }
            prop_assert_eq!(book.index(), &Index::of(book.tables()));
        }
        // All the way back, and all the way forward again.
        let end = but_lapses(&book);
        let mut undone = Vec::new();
        for (n, (before, entry)) in history.iter().rev().enumerate() {
            let undo = book.prepare(invert(entry), stamp(1000 + n as u128));
            let undo = undo.map_err(|r| TestCaseError::fail(r.to_string()))?;
            prop_assert_eq!(undo.kind, EntryKind::Undo);
            book.apply(&undo).unwrap();
            prop_assert!(&but_lapses(&book) == before, "undo of {:?}", entry);
            prop_assert_eq!(book.index(), &Index::of(book.tables()));
            undone.push(undo);
        }
        for (n, undo) in undone.iter().rev().enumerate() {
            let redo = book.prepare(invert(undo), stamp(2000 + n as u128));
            let redo = redo.map_err(|r| TestCaseError::fail(r.to_string()))?;
            prop_assert_eq!(redo.kind, EntryKind::Redo);
            book.apply(&redo).unwrap();
        }
        prop_assert!(but_lapses(&book) == end);
    }
}
