//! Files that are no workbook, or cannot be read: every verb says the same sentence, exits with 4 and leaves them alone.

use std::{collections::BTreeSet, fs};

use crate::harness::{BLANK, Home, book};

/// Every way to ask for a file that has to be there.
fn asking(file: &str) -> Vec<Vec<&str>> {
    vec![
        vec![file],
        vec!["check", file],
        vec!["check", file, "--json"],
        vec!["record", file, "-o", "out"],
        vec!["export", file, "--json"],
        vec!["export", file, "--json", "-o", "out.json"],
        vec!["export", file, "--csv", "-o", "out"],
        vec!["log", file],
        vec!["log", file, "--verify"],
    ]
}

/// What all of them say.
fn told(home: &Home, file: &str) -> String {
    let mut told = BTreeSet::new();
    for args in asking(file) {
        let ran = home.run(&args);
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{args:?}: {}", ran.err);
        told.insert(ran.err);
    }
    if home.path(file).exists() {
        let ran = home.run(&["demo", file]);
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "demo: {}", ran.err);
        told.insert(ran.err);
    }
    assert_eq!(told.len(), 1, "{told:?}");
    told.pop_first().unwrap()
}

#[test]
fn a_file_that_is_not_there() {
    let home = Home::new();
    assert_eq!(
        told(&home, "van.crimpbook"),
        "crimpbook: there is no file van.crimpbook\n  look at the name, or make a new workbook there\n"
    );
    assert!(home.names().is_empty());
}

#[test]
fn a_folder() {
    let home = Home::new();
    fs::create_dir(home.path("van.crimpbook")).unwrap();
    assert_eq!(
        told(&home, "van.crimpbook"),
        "crimpbook: van.crimpbook is not a workbook: it is a folder; nothing was changed\n  \
         look at the name; workbooks end in .crimpbook\n"
    );
    assert_eq!(fs::read_dir(home.path("van.crimpbook")).unwrap().count(), 0);
}

/// Files whose bytes are asked for in vain, and what must be said of each.
#[test]
fn files_that_are_no_workbook_and_stay_as_they_are() {
    let home = Home::new();
    home.make("good.crimpbook", &book(BLANK));
    let good = home.bytes("good.crimpbook");
    // Header fields of a SQLite file: 60 is the version of the tables, 68 the program it belongs to.
    let with = |at: usize, bytes: &[u8]| {
        let mut file = good.clone();
        file[at..at + bytes.len()].copy_from_slice(bytes);
        file
    };
    let mut scribbled = good.clone();
    let middle = scribbled.len() / 2;
    scribbled[4096..middle].fill(0xaa);
    let cases: [(&str, Vec<u8>, &str); 6] = [
        ("empty", Vec::new(), "is not a workbook: it is empty"),
        (
            "text",
            b"rows of pins, by hand".to_vec(),
            "is not a workbook: it is another kind of file",
        ),
        (
            "other",
            with(68, b"\x00\x00\x00\x07"),
            "is not a workbook: it is a SQLite file of another program",
        ),
        (
            "newer",
            with(60, b"\x00\x00\x00\x63"),
            "was written by a newer crimpbook: its tables are version 99",
        ),
        ("cut", good[..middle].to_vec(), "is damaged: "),
        ("scribbled", scribbled, "is damaged: "),
    ];
    for (name, bytes, words) in cases {
        let file = format!("{name}.crimpbook");
        home.put(&file, &bytes);
        let told = told(&home, &file);
        assert!(told.starts_with(&format!("crimpbook: {file} {words}")), "{told}");
        assert!(told.contains("nothing was changed\n"), "{told}");
        assert_eq!(told.lines().count(), 2, "a sentence and what to do: {told}");
        assert_eq!(home.bytes(&file), bytes, "{name} was changed");
        fs::remove_file(home.path(&file)).unwrap();
        assert_eq!(home.names(), ["good.crimpbook"], "{name} left something behind");
    }
}

#[test]
fn a_log_that_was_altered_is_told_by_every_verb() {
    let home = Home::new();
    home.make("van.crimpbook", &book(BLANK));
    // The same number of bytes, so that the file itself stays whole.
    let mut bytes = home.bytes("van.crimpbook");
    let place = bytes
        .windows(5)
        .position(|w| w == b"spare")
        .expect("the why is in the file");
    bytes[place..place + 5].copy_from_slice(b"bored");
    home.put("van.crimpbook", &bytes);
    for args in asking("van.crimpbook").into_iter().skip(1) {
        let ran = home.run(&args);
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{args:?}");
        assert!(ran.err.contains("van.crimpbook is damaged: "), "{}", ran.err);
    }
    assert_eq!(home.names(), ["van.crimpbook"]);
    assert_eq!(home.bytes("van.crimpbook"), bytes);
}
