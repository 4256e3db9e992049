//! What an edit costs, on a lamp behind a fuse.

use std::sync::Arc;

use super::*;
use crate::{
    Book, check,
    edit::{Edit, Stamp, together},
    log::Entry,
    model::{Id, PartKind, Row, Wire},
    testing::Bench,
};

fn lamp() -> Book {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    bench.fuse_way("F1", 3.0, "BP", "PB-A1");
    bench.wire("W1", "PB-A1", "LA-A1", 1.0, 1.0);
    bench.wire("W2", "LA-A2", "BN", 1.0, 1.0);
    let kind = PartKind::Lamp {
        hot_ohm: 6.0,
        cold_ohm: None,
        rated_v: None,
    };
    bench.part("lamp", kind, &["LA-A1", "LA-A2"]);
    bench.book()
}

fn tried(book: &mut Book, n: u128, change: impl FnOnce(&mut Wire)) -> Entry {
    let id: Id<Wire> = book.index().labelled("W1").unwrap();
    let before = book.get(id).unwrap().clone();
    let mut after = before.clone();
    change(&mut after);
    let edit = Edit::design(
        format!("edit {n}"),
        vec![crate::edit::Change::replace(before, after)],
    );
    let stamp = Stamp {
        id: Id::from_bits(n),
        at: chrono::DateTime::UNIX_EPOCH,
        who: "A.".to_owned(),
    };
    let entry = book.prepare(edit, stamp).unwrap();
    book.apply(&entry).unwrap();
    entry
}

fn cost(before: &Book, after: &Book) -> Cost {
    let was = Snapshot::of(before);
    let is = was.next(Arc::new(after.clone()));
    let (old, new) = (check::run_without_mends(&was), check::run_without_mends(&is));
    Cost::of(
        Judged {
            see: &was,
            report: &old,
        },
        Judged {
            see: &is,
            report: &new,
        },
    )
}

/// 30 m of 0.35 mm² instead of 1 m of 1 mm²: the lamp's volts move; a note moves nothing.
#[test]
fn a_long_thin_wire_costs_volts_and_a_note_costs_nothing() {
    let before = lamp();
    let mut after = before.clone();
    tried(&mut after, 1, |w| "by the door".clone_into(&mut w.note));
    assert!(cost(&before, &after).is_nothing(), "{:?}", cost(&before, &after));
    tried(&mut after, 2, |w| {
        (w.length_m, w.area_mm2) = (Some(30.0), Some(0.35))
    });
    let cost = cost(&before, &after);
    let at = cost.volts.iter().find(|m| m.cavity == "LA-A1").unwrap();
    // 30 m × 54.4 mΩ/m beside the lamp's 6 Ω: more than 2 V of 12.6 are lost.
    assert!(at.was_v.unwrap() - at.is_v.unwrap() > 2.0, "{at:?}");
    assert!(cost.lost.is_empty() && cost.redo.is_empty());
    assert!(!cost.is_nothing());
}

/// Two edits of the same wire come to one change with both whys; what was put back is no change at all.
#[test]
fn tried_edits_are_kept_as_one_change_from_first_to_last() {
    let before = lamp();
    let mut after = before.clone();
    let mut entries = vec![tried(&mut after, 1, |w| w.length_m = Some(2.0))];
    entries.push(tried(&mut after, 2, |w| w.length_m = Some(3.0)));
    let edit = together(&before, &after, &entries);
    assert_eq!(edit.title, "edit 1; edit 2");
    assert_eq!(edit.changes.len(), 1);
    let id: Id<Wire> = before.index().labelled("W1").unwrap();
    assert_eq!(
        edit.changes[0].before,
        before.get(id).cloned().map(Row::into_record)
    );
    assert_eq!(
        edit.changes[0].after,
        after.get(id).cloned().map(Row::into_record)
    );
    entries.push(tried(&mut after, 3, |w| w.length_m = Some(1.0)));
    assert!(together(&before, &after, &entries).changes.is_empty());
}

/// A finding that comes, one that goes, one that turns from a warning into a stop; a sentence alone is no change.
#[test]
fn findings_are_told_by_check_and_place() {
    let book = lamp();
    let see = Snapshot::of(&book);
    let id = |label: &str| -> Id<Wire> { book.index().labelled(label).unwrap() };
    let finding = |check, level, label: &str, words: &str| Finding::new(check, level, id(label), words);
    let report = |findings| Report {
        findings,
        ..Report::default()
    };
    use check::Level::{Stop, Warning};
    let old = report(vec![
        finding("wire-hot", Warning, "W1", "80 °C"),
        finding("wire-hot", Warning, "W2", "81 °C"),
        finding("drop-over-limit", Warning, "W2", "0.6 V"),
    ]);
    let new = report(vec![
        finding("wire-hot", Stop, "W1", "180 °C"),
        finding("drop-over-limit", Warning, "W2", "0.7 V"),
        finding("drop-over-limit", Warning, "W1", "0.9 V"),
    ]);
    let judged = |report| Judged { see: &see, report };
    let cost = Cost::of(judged(&old), judged(&new));
    let told = |of: &[Finding]| of.iter().map(|f| f.sentence.clone()).collect::<Vec<_>>();
    assert_eq!(told(&cost.gained), ["0.9 V"]);
    assert_eq!(told(&cost.lost), ["81 °C"]);
    assert_eq!(cost.weighed.len(), 1);
    assert_eq!(cost.weighed[0].is.sentence, "180 °C");
    assert!(!cost.is_nothing());
    assert!(Cost::of(judged(&old), judged(&old)).is_nothing());
}

/// What sends nobody to the vehicle has no caution; what is to be made anew is to be measured anew as well.
#[test]
fn cautions_stand_where_a_person_is_sent_to_the_vehicle() {
    let pair = || vec![("W1: cut".to_owned(), "size changed".to_owned())];
    assert!(Cost::default().cautions().is_empty());
    let redo = Cost {
        redo: pair(),
        ..Cost::default()
    };
    let readings = Cost {
        readings: pair(),
        ..Cost::default()
    };
    let [rewire, measure] = redo.cautions()[..] else {
        panic!("{redo:?}")
    };
    assert!(rewire.contains("battery off") && rewire.contains("licensed"));
    assert!(measure.contains("60 V DC"));
    assert_eq!(readings.cautions(), [measure]);
}
