//! What a large book is given at once after an edit: checks of the plan alone ask for no state, and what rests on figures
//! is told as it was.

use std::{collections::BTreeSet, sync::Arc};

use super::{
    CHECKS, Out, Report, check_named, list_at_once, run_without_mends, table::OF_THE_PLAN,
    tests_reads::demo_and_more,
};
use crate::{Book, analysis::Snapshot, edit::Change, model::*};

#[test]
fn checks_of_the_plan_ask_for_no_state() {
    let book = Arc::new(demo_and_more());
    for name in OF_THE_PLAN {
        let see = Snapshot::new(Arc::clone(&book));
        let check = check_named(name).unwrap();
        (check.find)(&see, &mut Out::default());
        assert!(!see.has_states(), "{name} rests on figures");
    }
}

#[test]
fn after_an_edit_the_plan_is_told_anew_and_figures_as_they_were() {
    let book = Arc::new(demo_and_more());
    let see = Snapshot::new(Arc::clone(&book));
    let before = run_without_mends(&see);
    assert_eq!(list_at_once(&see), None, "nothing is waited for");
    let wire = |label: &str| book.get(book.index().labelled::<Wire>(label).unwrap()).unwrap();
    // One wire is longer and loses its end; another one is gone, and with it what was said of it.
    let hot = before.of("fuse-above-wire").next().unwrap();
    let gone: Wire = match book.tables().get(hot.places[1]) {
        Some(Record::Wire(wire)) => wire,
        other => panic!("{other:?}"),
    };
    let loose = Wire {
        to: End::Free,
        length_m: Some(9.0),
        ..wire("W45").clone()
    };
    let mut after = Book::clone(&book);
    after.follow(&[
        Change::replace(wire("W45").clone(), loose),
        Change::remove(gone.clone()),
    ]);
    let see = see.next(Arc::new(after));
    for name in OF_THE_PLAN {
        (check_named(name).unwrap().find)(&see, &mut Out::default());
        assert!(!see.has_states(), "{name} rests on figures");
    }
    let listed = list_at_once(&see).unwrap();
    assert!(!see.has_states());
    assert!(
        listed
            .of("wire-ends")
            .any(|f| f.place() == Some(Key::of(wire("W45").id)))
    );
    assert!(listed.all().all(|f| !f.places.contains(&Key::of(gone.id))));
    let of_figures = |report: &Report| -> BTreeSet<String> {
        let of_figures = report.all().filter(|f| !OF_THE_PLAN.contains(&f.check));
        let there = of_figures.filter(|f| !f.places.contains(&Key::of(gone.id)));
        there.map(|f| f.sentence.clone()).collect()
    };
    assert_eq!(of_figures(&listed), of_figures(&before));
    assert!(of_figures(&before).len() > 10);
    let whole = run_without_mends(&see);
    assert_eq!(whole, run_without_mends(&Snapshot::new(see.shared_book())));
    assert_eq!(list_at_once(&see), None, "all is known by then");
}

#[test]
fn a_length_leaves_nets_and_the_plan_checks_that_read_none() {
    let book = Arc::new(demo_and_more());
    let see = Snapshot::new(Arc::clone(&book));
    run_without_mends(&see);
    let wire = book.get(book.index().labelled::<Wire>("W45").unwrap()).unwrap();
    let longer = Wire {
        length_m: Some(9.0),
        ..wire.clone()
    };
    let mut after = Book::clone(&book);
    after.follow(&[Change::replace(wire.clone(), longer)]);
    let see = see.next(Arc::new(after));
    let kept = |name: &str| {
        let at = CHECKS.iter().position(|check| check.name == name).unwrap();
        see.said().kept(at).is_some()
    };
    for name in OF_THE_PLAN {
        let check = check_named(name).unwrap();
        let reads_length =
            |(kind, fields): &(Kind, &[&str])| *kind == Kind::Wire && fields.contains(&"length_m");
        assert_eq!(kept(name), !check.reads.iter().any(reads_length), "{name}");
    }
    let anew = Snapshot::new(see.shared_book());
    assert_eq!(
        format!("{:?}", see.wiring().wires),
        format!("{:?}", anew.wiring().wires)
    );
    assert_eq!(run_without_mends(&see), run_without_mends(&anew));
}
