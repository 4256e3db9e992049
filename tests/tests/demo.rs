//! The invented vehicle is whole: everything of it is there, decided as it should be, and enters through the one door.

use std::collections::BTreeSet;

use crimpbook_record::{demo::VEHICLE, json};
use crimpbook_workbook::{
    Book,
    edit::Stamp,
    model::{Decision, End, Id, JunctionKind, Record, RecordLists, SwitchKind, Terminal},
};

fn records() -> RecordLists {
    json::read(VEHICLE).expect("it reads").records
}

fn book() -> Book {
    let stamp = Stamp {
        id: Id::from_bits(1),
        at: "2023-11-18T08:00:00Z".parse().expect("a moment"),
        who: "A.".to_owned(),
    };
    let vehicle = json::read(VEHICLE).expect("it reads");
    let mut book = Book::default();
    for entry in vehicle.into_entries(stamp).expect("it is valid") {
        book.apply(&entry).expect("it applies");
    }
    book
}

#[test]
fn everything_of_the_vehicle_is_there() {
    let records = records();
    let count = |kind: JunctionKind| records.junctions.iter().filter(|j| j.kind == kind).count();
    assert_eq!(
        (
            records.units.len(),
            records.connectors.len(),
            records.cavities.len()
        ),
        (18, 18, 196)
    );
    assert_eq!((records.wires.len(), records.fuses.len()), (90, 14));
    assert_eq!(
        (
            count(JunctionKind::Splice),
            count(JunctionKind::GroundStud),
            count(JunctionKind::Stud)
        ),
        (8, 4, 5)
    );
    assert_eq!(
        (
            records.chassis_paths.len(),
            records.switches.len(),
            records.states.len()
        ),
        (7, 13, 13)
    );
    assert_eq!(
        (
            records.rules.len(),
            records.settings.len(),
            records.contact_families.len()
        ),
        (12, 38, 4)
    );
    assert_eq!(
        records
            .switches
            .iter()
            .filter(|s| s.kind == SwitchKind::Lead)
            .count(),
        2
    );
}

#[test]
fn every_record_has_its_own_key() {
    let records = records().into_records();
    let keys: BTreeSet<_> = records.iter().map(Record::key).collect();
    assert_eq!(keys.len(), records.len());
}

#[test]
fn every_cavity_is_decided_but_one() {
    let book = book();
    let of = |wanted: fn(Decision) -> bool| -> Vec<String> {
        book.tables()
            .cavities
            .values()
            .filter(|c| wanted(c.decision))
            .map(|c| book.cavity_name(c.id))
            .collect()
    };
    assert_eq!(of(|d| d == Decision::Undecided), ["MC-A27"]);
    assert_eq!(of(|d| d == Decision::Wired).len(), 138);
    assert_eq!(of(|d| d == Decision::Blank).len(), 34);
    assert_eq!(of(|d| d == Decision::NotOurs).len(), 16);
    let mut reserved = of(|d| d == Decision::Reserved);
    reserved.sort();
    assert_eq!(
        reserved,
        ["BM-A10", "CH-A12", "DC-A4", "MC-A13", "MC-A25", "PB-A19"]
    );
}

#[test]
fn wired_means_that_exactly_one_wire_ends_there() {
    let book = book();
    for cavity in book.tables().cavities.values() {
        let wires = book.index().wires_at_cavity.get(&cavity.id).map_or(0, Vec::len);
        let expected = usize::from(cavity.decision == Decision::Wired);
        assert_eq!(wires, expected, "{}", book.cavity_name(cavity.id));
    }
}

#[test]
fn no_wire_flies_free_and_no_splice_hangs_on_one_wire() {
    let book = book();
    for wire in book.tables().wires.values() {
        assert!(
            wire.from != End::Free && wire.to != End::Free && wire.from != wire.to,
            "{}",
            wire.label
        );
    }
    for junction in book.tables().junctions.values() {
        let least = if junction.kind == JunctionKind::Splice {
            2
        } else {
            1
        };
        let wires = book
            .index()
            .wires_at_junction
            .get(&junction.id)
            .map_or(0, Vec::len);
        assert!(wires >= least, "{} has {wires}", junction.label);
    }
}

#[test]
fn every_part_has_the_ends_of_its_kind_within_its_unit() {
    let book = book();
    for part in book.tables().parts.values() {
        assert_eq!(part.ends.len(), part.kind.roles().len(), "{}", part.label);
        for end in &part.ends {
            let unit = match end {
                Terminal::Cavity(id) => {
                    let cavity = book.get(*id).expect("a cavity");
                    Some(book.get(cavity.connector).expect("a connector").unit)
                }
                Terminal::Junction(id) => book.get(*id).expect("a junction").unit,
                Terminal::Inner { unit, .. } => Some(*unit),
            };
            assert_eq!(unit, Some(part.unit), "{}", part.label);
        }
    }
}

#[test]
fn states_name_positions_that_their_switches_have() {
    let book = book();
    for state in book.tables().states.values() {
        for at in &state.switches {
            let switch = book.get(at.switch).expect("a switch");
            assert!(
                switch.positions.contains(&at.position),
                "{}: {}",
                state.label,
                at.position
            );
        }
        let named: BTreeSet<_> = state.parts.iter().map(|p| p.part).collect();
        assert_eq!(
            named.len(),
            state.parts.len(),
            "{}: a part stands twice",
            state.label
        );
    }
}

#[test]
fn the_story_replays_and_comes_back_whole_from_interchange_json() {
    let entries = crimpbook_record::demo::entries().expect("the story plays");
    let mut told = Book::default();
    for entry in &entries {
        told.apply(entry).expect("it applies");
    }
    let read = json::read(&json::write(&told, &entries)).expect("it reads");
    let stamp = Stamp {
        id: Id::from_bits(2),
        at: "2025-01-01T00:00:00Z".parse().expect("a moment"),
        who: "B.".to_owned(),
    };
    assert_eq!(read.into_entries(stamp).expect("rows and log agree"), entries);
}

#[test]
fn the_finding_that_the_story_accepts_is_found_and_its_acceptance_counts() {
    let mut told = Book::default();
    for entry in crimpbook_record::demo::entries().expect("the story plays") {
        told.apply(&entry).expect("it applies");
    }
    let report = crimpbook_workbook::check::run(&crimpbook_workbook::analysis::Snapshot::of(&told));
    let accepted: Vec<(&str, Option<&str>)> = report
        .findings
        .iter()
        .filter_map(|finding| Some((finding.check, finding.accepted.as_ref()?.lapsed.as_deref())))
        .collect();
    assert_eq!(accepted, [("fuse-selectivity", None)]);
}
