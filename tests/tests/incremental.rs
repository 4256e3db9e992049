//! What the checks say after an edit, with what the edit left as it was kept, is what they say from nothing.

use std::sync::Arc;

use crimpbook_record::demo;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{rests_of, run_without_mends},
    edit::{Change, Edit, Stamp, invert},
    log::Entry,
    model::*,
};
use proptest::{prelude::*, test_runner::TestCaseResult};

/// An edit of the demo: what is changed, and of which record by its place in its table.
#[derive(Debug, Clone)]
enum Act {
    Size(usize, f64),
    Length(usize, f64),
    Colour(usize),
    Free(usize),
    Gone(usize),
    Rating(usize, f64),
    Decision(usize, Decision),
    Words(usize),
    Plug(usize),
    Ambient(usize, f64),
    Wet(usize),
    Part(usize),
    Bundle(usize, f64),
    StateWords(usize),
    Supply(f64),
    Label(usize),
    Kind(usize),
    Pair(usize),
    Drum(usize),
    Accept(usize),
    Setting(usize),
    Undo,
}

fn acts() -> impl Strategy<Value = Act> {
    let at = 0..400usize;
    prop_oneof![
        (at.clone(), prop_oneof![Just(0.35), Just(0.75), Just(2.5)]).prop_map(|(n, x)| Act::Size(n, x)),
        (at.clone(), 0.1..9.0).prop_map(|(n, x)| Act::Length(n, x)),
        at.clone().prop_map(Act::Colour),
        at.clone().prop_map(Act::Free),
        at.clone().prop_map(Act::Gone),
        (at.clone(), prop_oneof![Just(5.0), Just(10.0), Just(15.0)]).prop_map(|(n, x)| Act::Rating(n, x)),
        (
            at.clone(),
            prop_oneof![Just(Decision::Blank), Just(Decision::Undecided)]
        )
            .prop_map(|(n, d)| Act::Decision(n, d)),
        at.clone().prop_map(Act::Words),
        at.clone().prop_map(Act::Plug),
        (at.clone(), 20.0..90.0).prop_map(|(n, x)| Act::Ambient(n, x)),
        at.clone().prop_map(Act::Wet),
        at.clone().prop_map(Act::Part),
        (at.clone(), 0.4..1.0).prop_map(|(n, x)| Act::Bundle(n, x)),
        at.clone().prop_map(Act::Label),
        at.clone().prop_map(Act::Kind),
        at.clone().prop_map(Act::Pair),
        at.clone().prop_map(Act::Drum),
        at.clone().prop_map(Act::Accept),
        at.clone().prop_map(Act::Setting),
        at.prop_map(Act::StateWords),
        (11.0..13.0).prop_map(Act::Supply),
        Just(Act::Undo),
    ]
}

/// A changed record; the one at this place of its table, counted round.
fn altered<R: Row>(book: &Book, at: usize, alter: impl FnOnce(&mut R)) -> Change {
    let all = book.all::<R>();
    let before = all.values().nth(at % all.len()).unwrap().clone();
    let mut after = before.clone();
    alter(&mut after);
    Change::replace(before, after)
}

fn edit(book: &Book, act: &Act, last: Option<&Entry>) -> Option<Edit> {
    let change = match *act {
        Act::Size(at, area) => altered::<Wire>(book, at, |w| w.area_mm2 = Some(area)),
        Act::Length(at, length) => altered::<Wire>(book, at, |w| w.length_m = Some(length)),
        Act::Colour(at) => altered::<Wire>(book, at, |w| w.colour = "PK/BK".parse().ok()),
        Act::Free(at) => altered::<Wire>(book, at, |w| w.to = End::Free),
        Act::Gone(at) => {
            let wire = book.all::<Wire>().keys().nth(at % book.all::<Wire>().len())?;
            return crimpbook_workbook::edit::make::remove(book, Key::of(*wire)).ok();
        }
        Act::Rating(at, rating) => altered::<Fuse>(book, at, |f| f.rating_a = rating),
        Act::Decision(at, decision) => altered::<Cavity>(book, at, |c| c.decision = decision),
        Act::Words(at) => altered::<Cavity>(book, at, |c| c.note.push('!')),
        Act::Plug(at) => altered::<Cavity>(book, at, |c| c.plug = !c.plug),
        Act::Ambient(at, ambient) => altered::<Zone>(book, at, |z| z.ambient_c = Some(ambient)),
        Act::Wet(at) => altered::<Zone>(book, at, |z| z.wet = !z.wet),
        Act::Part(at) => altered::<Part>(book, at, |p| p.note.push('!')),
        Act::Bundle(at, factor) => altered::<Bundle>(book, at, |b| b.factor = Some(factor)),
        Act::StateWords(at) => altered::<State>(book, at, |s| s.words.push('!')),
        Act::Supply(nominal) => altered::<About>(book, 0, |a| a.supply.nominal_v = nominal),
        Act::Label(at) => altered::<Wire>(book, at, |w| w.label.push('x')),
        Act::Kind(at) => altered::<Cavity>(book, at, |c| c.kind = Some(SignalKind::DigitalInBare)),
        Act::Pair(at) => altered::<Wire>(book, at, |w| w.pair.push('x')),
        Act::Setting(at) => altered::<Setting>(book, at, |s| s.value.push('1')),
        Act::Drum(at) => Change::make(Drum {
            id: Id::from_bits(at as u128 + 1),
            label: format!("D{at}"),
            area_mm2: 0.5,
            size_written: String::new(),
            insulation_class_c: None,
            colour: "RD".parse().ok(),
            stock_m: 0.5,
            note: String::new(),
        }),
        Act::Accept(at) => {
            let found = run_without_mends(&Snapshot::of(book)).findings;
            let finding = &found[at % found.len()];
            Change::make(Acceptance {
                id: Id::from_bits(at as u128 + 1),
                check: finding.check.to_owned(),
                places: finding.places.clone(),
                figure: finding.figure_value(),
                why: "seen".to_owned(),
                who: "A.".to_owned(),
                at: "2026-03-01T09:30:00Z".parse().ok()?,
                rested_on: rests_of(book, finding),
                lapsed: None,
            })
        }
        Act::Undo => return last.map(invert),
    };
    Some(Edit::design("an edit", vec![change]).because("to see what follows"))
}

/// The demo, and the last entry of its log.
fn demo_book() -> (Book, Entry) {
    let mut book = Book::default();
    let entries = demo::entries().unwrap();
    for entry in &entries {
        book.apply(entry).unwrap();
    }
    (book, entries.last().unwrap().clone())
}

/// Makes the edits one after the other and compares after each.
fn the_same_after_each((demo, told): &(Book, Entry), acts: &[Act]) -> TestCaseResult {
    let mut book = demo.clone();
    let mut last: Option<Entry> = None;
    let mut see = Snapshot::of(&book);
    run_without_mends(&see);
    for (nth, act) in (1_000_000u128..).zip(acts) {
        let Some(edit) = edit(&book, act, last.as_ref()) else {
            continue;
        };
        let stamp = Stamp {
            id: Id::from_bits(nth),
            at: told.at,
            who: "A.".to_owned(),
        };
        // What the door refuses changes nothing.
        let Ok(entry) = book.prepare(edit, stamp) else {
            continue;
        };
        book.apply(&entry).unwrap();
        see = see.next(Arc::new(book.clone()));
        let (kept, anew) = (run_without_mends(&see), run_without_mends(&Snapshot::of(&book)));
        prop_assert!(kept == anew, "after {act:?}:\n{kept:#?}\nis not\n{anew:#?}");
        last = Some(entry);
    }
    Ok(())
}

#[test]
fn what_is_kept_is_what_is_found_from_nothing() {
    let book = demo_book();
    let cases = ProptestConfig {
        cases: 6,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        ..ProptestConfig::default()
    };
    proptest!(cases, |(acts in proptest::collection::vec(acts(), 1..5))| {
        the_same_after_each(&book, &acts)?;
    });
}

#[test]
fn each_kind_of_edit_by_itself() {
    let book = demo_book();
    let all = [
        Act::Size(7, 0.35),
        Act::Length(11, 5.0),
        Act::Colour(3),
        Act::Undo,
        Act::Free(20),
        Act::Undo,
        Act::Gone(30),
        Act::Rating(6, 5.0),
        Act::Decision(40, Decision::Undecided),
        Act::Words(50),
        Act::Plug(60),
        Act::Ambient(1, 70.0),
        Act::Wet(1),
        Act::Part(9),
        Act::Bundle(1, 0.5),
        Act::StateWords(2),
        Act::Supply(12.0),
        Act::Undo,
        Act::Label(8),
        Act::Accept(4),
        Act::Colour(8),
        Act::Kind(30),
        Act::Pair(12),
        Act::Drum(1),
        Act::Colour(12),
        Act::Setting(5),
        Act::Undo,
    ];
    the_same_after_each(&book, &all).unwrap();
}
