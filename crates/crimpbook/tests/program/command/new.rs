//! `crimpbook new`.

use std::{fs, os::unix::fs::symlink};

use crate::harness::{BLANK, Home, book};

#[test]
fn an_empty_workbook_is_named_after_its_file_or_as_told() {
    let home = Home::new();
    assert_eq!(
        home.well(&["new", "van.crimpbook"]),
        "Made van.crimpbook with 1 record. Open it with: crimpbook van.crimpbook\n"
    );
    assert!(
        home.well(&["log", "van.crimpbook"])
            .contains("van: workbook made")
    );
    // What is to be typed can be typed.
    let said = home.well(&["new", "Ann's van.crimpbook"]);
    assert!(
        said.ends_with("Open it with: crimpbook 'Ann'\\''s van.crimpbook'\n"),
        "{said}"
    );
    home.well(&["new", "bus.crimpbook", "--vehicle", "Old bus", "--as", "A."]);
    let log = home.well(&["log", "bus.crimpbook"]);
    assert!(
        log.contains("A. ") && log.contains("Old bus: workbook made"),
        "{log}"
    );
    assert_eq!(
        home.names(),
        ["Ann's van.crimpbook", "bus.crimpbook", "van.crimpbook"],
        "one file each"
    );
}

#[test]
fn what_is_there_is_never_overwritten() {
    let home = Home::new();
    home.put("text.crimpbook", "mine");
    home.put("empty.crimpbook", "");
    fs::create_dir(home.path("folder.crimpbook")).unwrap();
    home.make("book.crimpbook", &book(BLANK));
    symlink("nowhere", home.path("link.crimpbook")).unwrap();
    let before = home.bytes("book.crimpbook");
    for name in ["text", "empty", "folder", "book", "link"] {
        let file = format!("{name}.crimpbook");
        for args in [vec!["new", &file], vec!["new", &file, "--from", "-"]] {
            let ran = home.run_with_input(&args, &book(""));
            assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{args:?}");
            assert_eq!(
                ran.err,
                format!(
                    "crimpbook: {file} is there already; nothing was changed\n  \
                     choose another name, or open what is there\n"
                )
            );
        }
    }
    assert_eq!(home.bytes("text.crimpbook"), b"mine");
    assert_eq!(home.bytes("empty.crimpbook"), b"");
    assert_eq!(home.bytes("book.crimpbook"), before);
    assert!(!home.path("nowhere").exists());
}

#[test]
fn a_folder_that_is_not_there_is_told() {
    let home = Home::new();
    let ran = home.run(&["new", "garage/van.crimpbook"]);
    assert_eq!(ran.code, 4, "{}", ran.err);
    assert!(ran.err.contains("garage"), "{}", ran.err);
    assert!(home.names().is_empty());
}
