use super::{
    super::{Choices, Keeps, Outcome},
    Copy,
};
use crate::model::Outcome as Outcome_;
use crate::{
    edit::{Change, Edit, make::keep_fault_finding},
    log::{Entry, EntryKind},
    model::*,
    plan::{self, Answer, Standing, StepOf},
    testing::Bench,
};

fn copies() -> (Copy, Copy) {
    let mut bench = Bench::new();
    for number in ["1", "2", "3"] {
        bench.cavity("MC-A", number);
        bench.cavity("PB-A", number);
    }
    bench.wire("W1", "PB-A1", "MC-A1", 0.5, 2.0);
    bench.wire("W2", "PB-A2", "MC-A2", 0.5, 2.0);
    let mine = Copy::of(&bench.book());
    let theirs = mine.taken_by("B.", 1000);
    (mine, theirs)
}

fn wire(copy: &Copy, label: &str) -> Wire {
    let id = copy
        .book
        .index()
        .labelled::<Wire>(label)
        .expect("a wire of the bench");
    copy.book.get(id).expect("it is there").clone()
}

fn change(copy: &mut Copy, label: &str, why: &str, alter: impl FnOnce(&mut Wire)) {
    let before = wire(copy, label);
    let mut after = before.clone();
    alter(&mut after);
    let edit = Edit::design(format!("{label} changed"), vec![Change::replace(before, after)]);
    copy.put(edit.because(why)).unwrap();
}

fn choose(names: &[(&str, Keeps)]) -> Choices {
    names
        .iter()
        .map(|(name, keeps)| ((*name).to_owned(), *keeps))
        .collect()
}

#[test]
fn what_only_one_changed_merges_by_itself_field_by_field() {
    let (mut mine, mut theirs) = copies();
    change(&mut mine, "W1", "", |w| w.area_mm2 = Some(0.75));
    change(&mut theirs, "W1", "", |w| w.length_m = Some(2.4));
    change(&mut theirs, "W2", "", |w| w.note = "clip it".to_owned());
    let mut there = theirs.clone();
    there.take(&mine, &Choices::new());
    mine.take(&theirs, &Choices::new());
    let w1 = wire(&mine, "W1");
    assert_eq!((w1.area_mm2, w1.length_m), (Some(0.75), Some(2.4)));
    assert_eq!(mine.book.tables(), there.book.tables());
    assert_eq!(mine.merge(&theirs, &Choices::new()), Ok(Outcome::Nothing));
    let entry = &mine.log.last().unwrap().0;
    assert_eq!(
        (entry.kind, entry.title.as_str()),
        (EntryKind::Merge, "merged 2 changes by B.")
    );
    let brought: Vec<Entry> = entry.merged.as_ref().unwrap().read().collect();
    let theirs: Vec<Entry> = theirs
        .log
        .iter()
        .skip(1)
        .map(|(entry, _)| entry.clone())
        .collect();
    assert_eq!(brought, theirs, "verbatim");
}

#[test]
fn one_field_with_two_values_waits_for_a_choice_with_both_whys() {
    let (mut mine, mut theirs) = copies();
    change(&mut mine, "W1", "the fuse asks for it", |w| {
        w.area_mm2 = Some(0.75)
    });
    change(&mut theirs, "W1", "what was on the shelf", |w| {
        w.area_mm2 = Some(1.0)
    });
    let conflicts = mine.conflicts(&theirs);
    assert_eq!(conflicts.len(), 1);
    let conflict = &conflicts[0];
    assert_eq!(
        (
            conflict.name.as_str(),
            conflict.mine.as_str(),
            conflict.theirs.as_str()
        ),
        ("wire.W1.area_mm2", "0.75", "1.0")
    );
    assert!(conflict.mine_by.contains("A.") && conflict.mine_by.contains("the fuse asks for it"));
    assert!(conflict.theirs_by.contains("B.") && conflict.theirs_by.contains("what was on the shelf"));
    let wrong = mine.merge(&theirs, &choose(&[("wire.W9.area_mm2", Keeps::Mine)]));
    assert!(
        wrong
            .unwrap_err()
            .to_string()
            .starts_with("wire.W9.area_mm2: is no conflict")
    );
    mine.take(&theirs, &choose(&[("wire.W1.area_mm2", Keeps::Theirs)]));
    assert_eq!(wire(&mine, "W1").area_mm2, Some(1.0));
    assert_eq!(mine.log.last().unwrap().0.why, "wire.W1.area_mm2: 1.0, not 0.75");
    // What the other copy then takes over is what was chosen.
    theirs.take(&mine, &Choices::new());
    assert_eq!(mine.book.tables(), theirs.book.tables());
}

#[test]
fn two_wires_of_one_label_both_stay() {
    let (mut mine, mut theirs) = copies();
    for (copy, id, note) in [(&mut mine, 91, "horn"), (&mut theirs, 92, "pump")] {
        let wire = Wire {
            id: Id::from_bits(id),
            label: "W91".to_owned(),
            from: End::Free,
            to: End::Free,
            note: note.to_owned(),
            ..wire(copy, "W1")
        };
        copy.put(Edit::design("W91 drawn", vec![Change::make(wire)]))
            .unwrap();
    }
    assert_eq!(mine.conflicts(&theirs)[0].name, "wire.W91.label");
    let mut there = theirs.clone();
    mine.take(&theirs, &choose(&[("wire.W91.label", Keeps::Mine)]));
    assert_eq!(
        (
            wire(&mine, "W91").note.as_str(),
            wire(&mine, "W91-2").note.as_str()
        ),
        ("horn", "pump")
    );
    there.take(
        &copies_before(&mine),
        &choose(&[("wire.W91.label", Keeps::Theirs)]),
    );
    assert_eq!(mine.book.tables(), there.book.tables());
}

/// The copy as it was before its last entry.
fn copies_before(copy: &Copy) -> Copy {
    let mut log = copy.log.clone();
    log.pop();
    let mut book = crate::Book::default();
    for (entry, _) in &log {
        book.apply(entry).unwrap();
    }
    Copy {
        book,
        log,
        ..copy.clone()
    }
}

#[test]
fn a_cavity_that_both_filled_is_chosen_for_and_the_other_wire_ends_free() {
    let (mut mine, mut theirs) = copies();
    let place = mine.book.find_cavity("MC-A3").unwrap();
    change(&mut mine, "W1", "", |w| w.to = End::Cavity(place));
    change(&mut theirs, "W2", "", |w| w.to = End::Cavity(place));
    let conflicts = mine.conflicts(&theirs);
    assert_eq!((conflicts[0].name.as_str(), conflicts.len()), ("cavity.MC-A3", 1));
    mine.take(&theirs, &choose(&[("all", Keeps::Theirs)]));
    assert_eq!(
        (wire(&mine, "W1").to, wire(&mine, "W2").to),
        (End::Free, End::Cavity(place))
    );
}

#[test]
fn what_one_removed_and_the_other_needs_is_put_back_or_goes() {
    let (mut mine, mut theirs) = copies();
    let place = mine.book.find_cavity("MC-A3").unwrap();
    let gone = Change::remove(mine.book.get(place).unwrap().clone());
    mine.put(Edit::design("MC-A3 removed", vec![gone])).unwrap();
    change(&mut theirs, "W2", "", |w| w.to = End::Cavity(place));
    assert_eq!(mine.conflicts(&theirs)[0].name, "cavity.MC-A3");
    let mut other = mine.clone();
    mine.take(&theirs, &choose(&[("cavity.MC-A3", Keeps::Theirs)]));
    assert_eq!(wire(&mine, "W2").to, End::Cavity(place));
    assert!(mine.book.get(place).is_some());
    other.take(&theirs, &choose(&[("cavity.MC-A3", Keeps::Mine)]));
    assert!(other.book.get(place).is_none());
    assert_eq!(
        other.book.end_name(wire(&other, "W2").to),
        "MC-A2",
        "as it was here"
    );
}

fn tick(copy: &mut Copy, label: &str, outcome: Outcome_, ids: u128) {
    let id = copy.book.index().labelled::<Wire>(label).unwrap();
    let step = StepOf {
        of: Built::Wire(id),
        step: Step::Cut,
    };
    let answer = Answer {
        outcome,
        note: String::new(),
        at: chrono::DateTime::from_timestamp(1_700_000_500, 0).unwrap(),
        who: copy.who.to_owned(),
    };
    let edit = plan::answer(&copy.book, &mut IdMaker::new(ids), &[step], &answer).unwrap();
    copy.put(edit).unwrap();
}

#[test]
fn a_tick_meets_a_change_of_its_wire_and_falls_back_in_both() {
    let (mut mine, mut theirs) = copies();
    tick(&mut mine, "W1", Outcome_::Done, 7);
    change(&mut theirs, "W1", "", |w| w.area_mm2 = Some(1.0));
    let before = mine.clone();
    mine.take(&theirs, &Choices::new());
    theirs.take(&before, &Choices::new());
    assert_eq!(mine.book.tables(), theirs.book.tables());
    let cut = StepOf {
        of: Built::Wire(wire(&mine, "W1").id),
        step: Step::Cut,
    };
    assert_eq!(plan::task(&mine.book, cut).standing, Standing::Redo);
    assert_eq!(
        plan::find(&mine.book, cut).unwrap().redo.as_deref(),
        Some("W1: size changed from 0.5 to 1 mm²")
    );
}

#[test]
fn one_step_ticked_twice_is_one_and_failed_against_done_is_asked() {
    let (mut mine, mut theirs) = copies();
    tick(&mut mine, "W1", Outcome_::Done, 7);
    tick(&mut theirs, "W1", Outcome_::Done, 8);
    tick(&mut mine, "W2", Outcome_::Done, 17);
    tick(&mut theirs, "W2", Outcome_::Failed, 18);
    let conflicts = mine.conflicts(&theirs);
    assert_eq!(conflicts.len(), 1);
    assert!(
        conflicts[0].what.contains("W2") && conflicts[0].theirs == "failed",
        "{conflicts:?}"
    );
    mine.take(&theirs, &choose(&[("all", Keeps::Theirs)]));
    let of = |outcome| {
        mine.book
            .all::<StepDone>()
            .values()
            .filter(|s| s.outcome == outcome)
            .count()
    };
    assert_eq!((of(Outcome_::Done), of(Outcome_::Failed)), (1, 1));
}

#[test]
fn one_revision_letter_released_twice_is_asked() {
    let (mut mine, mut theirs) = copies();
    for copy in [&mut mine, &mut theirs] {
        let mut release = Edit::new(EntryKind::Release, "revision A released", Vec::new()).because("ready");
        release.revision = Some("A".to_owned());
        copy.put(release).unwrap();
    }
    assert_eq!(mine.conflicts(&theirs)[0].name, "revision.A");
    mine.take(&theirs, &choose(&[("revision.A", Keeps::Mine)]));
    assert_eq!(mine.book.revision(), Some("A"));
    // A release of the other copy alone is one of this copy too.
    let (mut mine, mut theirs) = copies();
    let mut release = Edit::new(EntryKind::Release, "revision A released", Vec::new()).because("ready");
    release.revision = Some("A".to_owned());
    theirs.put(release).unwrap();
    mine.take(&theirs, &Choices::new());
    assert_eq!(mine.book.revision(), Some("A"));
}

#[test]
fn workbooks_that_began_apart_are_no_copies() {
    let (mine, _) = copies();
    let mut other = mine.clone();
    other.log[0].0.id = Id::from_bits(77);
    let refusal = mine.merge(&other, &Choices::new()).unwrap_err();
    assert!(
        refusal.to_string().contains("no copy of this workbook"),
        "{refusal}"
    );
}

/// A session of fault finding that this laptop ended.
fn looked_for(copy: &mut Copy, id: u128, seen: &str, outcome: &str) {
    let session = FaultFinding {
        id: Id::from_bits(id),
        at: chrono::DateTime::from_timestamp(1_700_000_600, 0).unwrap(),
        who: copy.who.to_owned(),
        battery_v: Some(12.6),
        said: vec![SeenOrRead {
            state: "DRIVE".to_owned(),
            words: seen.to_owned(),
        }],
        suspects: String::new(),
        found: false,
        outcome: outcome.to_owned(),
    };
    copy.put(keep_fault_finding(&copy.book, session).unwrap())
        .unwrap();
}

fn session(copy: &Copy, id: u128) -> FaultFinding {
    copy.book
        .get(Id::<FaultFinding>::from_bits(id))
        .expect("it is kept")
        .clone()
}

#[test]
fn sessions_of_fault_finding_on_two_laptops_are_both_kept() {
    let (mut mine, mut theirs) = copies();
    looked_for(&mut mine, 71, "pump off", "fuse F4 was blown");
    looked_for(&mut theirs, 72, "pump off", "plug was not home");
    assert_eq!(mine.conflicts(&theirs), Vec::new(), "they are two sessions");
    let before = mine.clone();
    mine.take(&theirs, &Choices::new());
    theirs.take(&before, &Choices::new());
    assert_eq!(mine.book.tables(), theirs.book.tables());
    let kept = [71, 72].map(|id| session(&mine, id));
    let who = kept.each_ref().map(|s| (s.who.as_str(), s.outcome.as_str()));
    assert_eq!(who, [("A.", "fuse F4 was blown"), ("B.", "plug was not home")]);
}

#[test]
fn one_session_taken_further_on_two_laptops_is_asked_for_and_nothing_is_lost_unsaid() {
    let (mut mine, _) = copies();
    looked_for(&mut mine, 71, "pump off", "left for tomorrow");
    let mut theirs = mine.taken_by("B.", 1000);
    let further = |copy: &mut Copy, read: &str, outcome: &str| {
        let before = session(copy, 71);
        let mut after = before.clone();
        after.said.push(SeenOrRead {
            state: "DRIVE".to_owned(),
            words: read.to_owned(),
        });
        after.outcome = outcome.to_owned();
        after.found = true;
        let edit = Edit::design(
            format!("fault found: {outcome}"),
            vec![Change::replace(before, after)],
        );
        copy.put(edit).unwrap();
    };
    further(&mut mine, "MC-A14 0.02", "W1 was off");
    further(&mut theirs, "MC-A1 12.5", "fuse F4 was blown");
    let conflicts = mine.conflicts(&theirs);
    let fields: Vec<&str> = conflicts
        .iter()
        .filter_map(|c| c.name.rsplit('.').next())
        .collect();
    assert_eq!(fields, ["outcome", "said"], "{conflicts:?}");
    assert!(
        conflicts
            .iter()
            .any(|c| c.mine.contains("W1 was off") && c.theirs.contains("F4"))
    );
    let mut there = theirs.clone();
    let before = mine.clone();
    mine.take(&theirs, &choose(&[("all", Keeps::Theirs)]));
    there.take(&before, &choose(&[("all", Keeps::Mine)]));
    assert_eq!(mine.book.tables(), there.book.tables());
    let kept = session(&mine, 71);
    assert!(kept.found, "both say so");
    assert_eq!(kept.outcome, "fuse F4 was blown");
    assert_eq!(kept.said.last().map(|s| s.words.as_str()), Some("MC-A1 12.5"));
    // What was not chosen stays in the log.
    let log = mine.log.iter().map(|(_, body)| body.as_str()).collect::<String>();
    assert!(log.contains("W1 was off") && log.contains("MC-A14 0.02"));
}
