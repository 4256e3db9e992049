//! What the verbs write: record, CSV, JSON; and what they never write over.

use std::fs;

use crate::harness::{BLANK, Home, book};

#[test]
fn the_record_is_one_page_with_tables_beside_it() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    let before = home.bytes("pipit.crimpbook");
    let said = home.well(&["record", "pipit.crimpbook", "-o", "record"]);
    assert!(said.starts_with("Wrote record/record.html with "), "{said}");
    let page = fs::read_to_string(home.path("record/record.html")).unwrap();
    assert!(page.contains("Marrowby Pipit") && page.contains("<svg"));
    let wires = fs::read_to_string(home.path("record/tables/wires.csv")).unwrap();
    assert!(wires.contains("\r\nW44,"), "{}", wires.lines().next().unwrap());
    assert_eq!(home.bytes("pipit.crimpbook"), before);
    // The same folder again: files of the same names are replaced, others stay.
    fs::write(home.path("record/mine.txt"), "mine").unwrap();
    home.well(&["record", "pipit.crimpbook", "-o", "record"]);
    assert_eq!(fs::read_to_string(home.path("record/mine.txt")).unwrap(), "mine");
    assert_eq!(home.names(), ["pipit.crimpbook", "record"]);
}

#[test]
fn csv_is_one_file_a_table() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    let said = home.well(&["export", "van.crimpbook", "--csv", "-o", "tables"]);
    let count = fs::read_dir(home.path("tables")).unwrap().count();
    assert_eq!(said, format!("Wrote {count} tables into tables\n"));
    let cavities = fs::read_to_string(home.path("tables/cavities.csv")).unwrap();
    assert!(
        cavities.contains("MC-A") && cavities.contains("spare"),
        "{cavities}"
    );
}

#[test]
fn an_export_never_takes_the_place_of_a_workbook() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    home.make("bus.crimpbook", &book(""));
    fs::copy(home.path("van.crimpbook"), home.path("van.old")).unwrap();
    let before = (home.bytes("van.crimpbook"), home.bytes("bus.crimpbook"));
    for (from, to) in [
        ("van.crimpbook", "van.crimpbook"),
        ("van.crimpbook", "bus.crimpbook"),
        ("van.crimpbook", "./new.crimpbook"),
        ("van.old", "van.old"),
    ] {
        let ran = home.run(&["export", from, "--json", "-o", to]);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{to}: {}", ran.err);
        assert!(
            ran.err.contains("is the name of a workbook; nothing was written"),
            "{}",
            ran.err
        );
    }
    for args in [
        ["record", "van.crimpbook", "-o", "bus.crimpbook"].as_slice(),
        &["export", "van.crimpbook", "--csv", "-o", "bus.crimpbook"],
    ] {
        let ran = home.run(args);
        assert_eq!(ran.code, 4, "{}", ran.err);
        assert!(
            ran.err.contains("bus.crimpbook is a file: nothing was written"),
            "{}",
            ran.err
        );
    }
    assert_eq!((home.bytes("van.crimpbook"), home.bytes("bus.crimpbook")), before);
    assert_eq!(home.names(), ["bus.crimpbook", "van.crimpbook", "van.old"]);
}
