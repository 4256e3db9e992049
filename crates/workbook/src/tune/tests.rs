use super::*;
use crate::{
    Book,
    edit::{
        Change, Edit, Refusal, invert, make,
        testing::{apply, stamp},
    },
    log::{Entry, EntryKind},
    model::*,
    testing::Bench,
};

fn coast() -> (Book, Id<Setting>) {
    let mut bench = Bench::new();
    let id = bench.setting("MC", "COAST", "18", "%", &[]);
    (bench.book(), id)
}

fn past(entries: &[Entry]) -> Past {
    let mut past = Past::default();
    for (seq, entry) in (1..).zip(entries) {
        past.take(seq, entry);
    }
    past
}

#[test]
fn history_tells_each_value_with_its_why_and_a_release_freezes_what_was_left() {
    let (mut book, id) = coast();
    let mut log = Vec::new();
    let turn = |book: &mut Book, value: &str, why: &str, n| {
        let edit = make::set_value(book, id, value).unwrap().because(why);
        apply(book, edit, n)
    };
    log.push(turn(&mut book, "10", "the passenger complained", 1));
    let release = make::release(&book, "first").unwrap();
    log.push(apply(&mut book, release, 2));
    log.push(turn(&mut book, "12", "too little on the hill", 3));
    let limits = make::set_limits(&book, id, Some(0.0), Some(40.0)).unwrap();
    assert_eq!(limits.title, "MC COAST: limits from 0 to 40 %");
    log.push(apply(&mut book, limits.because("page 70"), 4));
    let undone = invert(&log[2]);
    assert!(
        book.prepare(undone, stamp(5)).is_err(),
        "its limits have been stated since"
    );
    let undone = invert(&log[3]);
    log.push(apply(&mut book, undone, 5));

    let past = past(&log);
    let said: Vec<(Option<&str>, bool, &str)> = past
        .of(id)
        .iter()
        .map(|m| (m.value.as_deref(), m.turned, m.why.as_str()))
        .collect();
    assert_eq!(
        said[..3],
        [
            (Some("10 %"), true, "the passenger complained"),
            (Some("12 %"), true, "too little on the hill"),
            (Some("12 %"), false, "page 70"),
        ]
    );
    assert!(said[3].2.contains("limits from 0 to 40 %"), "{said:?}");
    let left = past.left("a").unwrap();
    assert_eq!(
        left.settings[&id].value, "10 %",
        "what came later changes nothing of it"
    );
    assert!(past.left("B").is_none());
}

#[test]
fn every_change_of_a_setting_needs_its_why_before_and_after_a_release() {
    let (book, id) = coast();
    let refused = |edit: Edit| match book.prepare(edit, stamp(1)) {
        Err(Refusal::WhyNeeded { what, because }) => format!("{what} {because}"),
        other => panic!("{other:?}"),
    };
    let turned = make::set_value(&book, id, "10").unwrap();
    assert_eq!(turned.title, "MC COAST: 18 % → 10 %");
    assert_eq!(refused(turned.clone()), "setting COAST is changed");
    assert!(book.prepare(turned.because("jerks"), stamp(1)).is_ok());
    assert_eq!(
        refused(make::remove(&book, Key::of(id)).unwrap()),
        "setting COAST is removed"
    );
    let row = book.get(id).unwrap().clone();
    let new = Setting {
        id: Id::from_bits(77),
        label: "BRAKE".to_owned(),
        ..row
    };
    let entered = make::put_setting(&book, new.clone()).unwrap();
    assert_eq!(refused(entered), "setting BRAKE is entered");
    let import = Edit::new(EntryKind::Import, "a unit", vec![Change::make(new)]);
    assert!(book.prepare(import, stamp(1)).is_ok(), "its why is in the file");
    assert!(make::set_value(&book, id, "18").is_err(), "nothing is changed");
}

#[test]
fn limits_that_cross_are_refused() {
    let (book, id) = coast();
    let edit = make::set_limits(&book, id, Some(40.0), Some(0.0))
        .unwrap()
        .because("x");
    let refusal = book.prepare(edit, stamp(1)).unwrap_err().to_string();
    assert!(
        refusal.contains("its least (40 %) is above its most (0 %)"),
        "{refusal}"
    );
}

fn gone_through_all(book: &mut Book) {
    for (n, step) in (100..).zip(FirstRunStep::ALL) {
        let at = stamp(1).at;
        let edit = make::go_through(book, &mut IdMaker::new(n), *step, ("A.", at), "").unwrap();
        apply(book, edit, n);
    }
}

#[test]
fn the_first_trial_waits_for_the_first_run_and_no_step_is_skipped() {
    let (mut book, _) = coast();
    let at = stamp(1).at;
    let mut ids = IdMaker::new(3);
    let log = |book: &Book, id| make::log_trial(book, Trial::new(id, at, "A.")).unwrap();
    let refusal = book
        .prepare(log(&book, ids.make()), stamp(2))
        .unwrap_err()
        .to_string();
    assert!(
        refusal.contains("10 steps of the first run are open, next: every wire tested"),
        "{refusal}"
    );
    let by_hand = Edit::design("a trial", vec![Change::make(Trial::new(ids.make(), at, "A."))]);
    assert!(book.prepare(by_hand, stamp(2)).is_err(), "nor by another way");
    let skipped = make::go_through(&book, &mut ids, FirstRunStep::Yard, ("A.", at), "");
    assert!(
        skipped
            .unwrap_err()
            .to_string()
            .contains("comes after: every wire tested")
    );
    gone_through_all(&mut book);
    assert!(open_steps(&book).is_empty());
    let trial = log(&book, ids.make());
    apply(&mut book, trial, 3);
    // Going through a step again keeps one row of it.
    let again = make::go_through(&book, &mut ids, FirstRunStep::Yard, ("B.", at), "wet").unwrap();
    apply(&mut book, again, 4);
    assert_eq!(book.all::<FirstRun>().len(), FirstRunStep::ALL.len());
    assert_eq!(gone_through(&book, FirstRunStep::Yard).unwrap().who, "B.");
}

#[test]
fn a_trial_keeps_the_settings_it_was_driven_with_and_tells_what_was_turned() {
    let (mut book, id) = coast();
    gone_through_all(&mut book);
    let mut ids = IdMaker::new(3);
    let mut drive = |book: &mut Book, day: i64, n| {
        let at = stamp(1).at + chrono::TimeDelta::days(day);
        let edit = make::log_trial(book, Trial::new(ids.make(), at, "A.")).unwrap();
        apply(book, edit, n);
    };
    drive(&mut book, 1, 11);
    let edit = make::set_value(&book, id, "10").unwrap().because("jerks");
    apply(&mut book, edit, 12);
    drive(&mut book, 2, 13);
    let trials = trials_in_order(&book);
    assert_eq!(trials[0].settings[0].shown(), "18 %");
    assert!(changed_for(&book, trials[0]).is_empty(), "none before it");
    let turned: Vec<String> = changed_for(&book, trials[1]).iter().map(Turned::words).collect();
    assert_eq!(turned, ["MC COAST 18 % → 10 %"]);
    // A setting that is removed leaves what was driven as it was.
    let removed = make::remove(&book, Key::of(id))
        .unwrap()
        .because("not of this unit");
    apply(&mut book, removed, 14);
    assert_eq!(trials_in_order(&book)[1].settings[0].shown(), "10 %");
    // More may be said of a trial, but not of what it was driven with.
    let said = Trial {
        felt: "right".to_owned(),
        settings: Vec::new(),
        ..trials_in_order(&book)[1].clone()
    };
    let edit = make::change_trial(&book, said).unwrap();
    apply(&mut book, edit, 15);
    let last = trials_in_order(&book)[1];
    assert_eq!((last.felt.as_str(), last.settings.len()), ("right", 1));
}

#[test]
fn marks_are_from_1_to_5_and_each_trait_has_one() {
    let (mut book, _) = coast();
    gone_through_all(&mut book);
    let refused = |marks: &[(&str, i64)]| {
        let mut trial = Trial::new(Id::from_bits(9), stamp(1).at, "A.");
        trial.marks = marks
            .iter()
            .map(|(name, mark)| Mark {
                name: (*name).to_owned(),
                mark: *mark,
            })
            .collect();
        book.prepare(make::log_trial(&book, trial).unwrap(), stamp(2))
            .map_err(|r| r.to_string())
            .err()
            .unwrap_or_default()
    };
    assert_eq!(refused(&[("coast", 1), ("creep", 5)]), "");
    assert!(refused(&[("coast", 6)]).contains("from 1 to 5"));
    assert!(refused(&[("coast", 0)]).contains("from 1 to 5"));
    assert!(refused(&[("coast", 3), ("Coast", 4)]).contains("twice"));
}

#[test]
fn a_file_goes_with_what_it_is_about() {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    let mut book = bench.book();
    let file = FileNote {
        id: Id::from_bits(9),
        name: "IMG_0417.jpg".to_owned(),
        of: Some(Key::of(wire)),
        note: "before the boot".to_owned(),
        at: stamp(1).at,
        who: "A.".to_owned(),
    };
    let edit = make::put_file(&book, file.clone()).unwrap();
    assert_eq!(edit.title, "photo or file IMG_0417.jpg noted");
    apply(&mut book, edit, 2);
    assert_eq!(book.name_of(Key::of(file.id)), "photo or file IMG_0417.jpg");
    let edit = make::remove(&book, Key::of(wire)).unwrap();
    apply(&mut book, edit, 3);
    assert!(book.get(file.id).is_none());
    let gone = make::put_file(&book, file).unwrap();
    assert!(book.prepare(gone, stamp(4)).is_err(), "the wire is not there");
}
