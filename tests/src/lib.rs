//! Helpers shared by the tests.

use std::process::Command;

use crimpbook_record::{demo::VEHICLE, json};
use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, StateResult},
    edit::Stamp,
    model::{Id, RecordLists, State, Tables},
};

/// The demonstration vehicle as its interchange document has it.
pub fn demo() -> Snapshot {
    let mut book = Book::default();
    let stamp = Stamp {
        id: Id::from_bits(1),
        at: "2023-11-18T08:00:00Z".parse().expect("a moment"),
        who: "A.".to_owned(),
    };
    let vehicle = json::read(VEHICLE).expect("it reads");
    for entry in vehicle.into_entries(stamp).expect("it is valid") {
        book.apply(&entry).expect("it applies");
    }
    Snapshot::of(&book)
}

/// Its records as tables, as they stand in the file.
pub fn tables() -> Tables {
    let mut value: serde_json::Value = serde_json::from_str(VEHICLE).expect("it is JSON");
    let records: RecordLists = serde_json::from_value(value["records"].take()).expect("its records fit");
    let mut tables = Tables::default();
    records
        .into_records()
        .into_iter()
        .for_each(|record| tables.put(record));
    tables
}

/// One of its operating states.
pub fn state<'a>(see: &'a Snapshot, label: &str) -> &'a StateResult {
    let id = see.book().index().labelled::<State>(label).expect("a state");
    see.state(id).expect("it is solved")
}

/// Whether processes can be traced here. Where everything must be shown it has to be possible.
pub fn traceable() -> bool {
    let works = Command::new("strace")
        .args(["-o", "/dev/null", "true"])
        .output()
        .is_ok_and(|run| run.status.success());
    if !works {
        let must = std::env::var_os("CI").is_some_and(|ci| ci == "true");
        assert!(!must, "strace is needed here and does not work");
        println!("skipped: strace not installed");
    }
    works
}
