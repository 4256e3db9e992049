//! `crimpbook import`: tables in.

use crate::harness::{Home, OPEN, book};

/// A home with a small workbook: MC-A has a cavity 1.
fn home() -> Home {
    let home = Home::new();
    home.make("van.crimpbook", &book(OPEN));
    home
}

fn connector(home: &Home) -> String {
    let table = home.well(&["export", "van.crimpbook", "--json"]);
    let at = table.find("\"connectors\"").unwrap();
    let label = table.get(at..).unwrap().split("\"label\": \"").nth(1).unwrap();
    label.split('"').next().unwrap().to_owned()
}

#[test]
fn a_dry_run_says_what_would_change_and_changes_nothing() {
    let home = home();
    let plug = connector(&home);
    home.put("pins.csv", "Pin;Function;Page\n1;KEY;14\n");
    let before = home.bytes("van.crimpbook");
    let out = home.well(&[
        "import",
        "van.crimpbook",
        "--cavities",
        "pins.csv",
        "--connector",
        &plug,
        "--dry-run",
    ]);
    assert!(out.contains("changes: 0 new, 1 changed"), "{out}");
    assert!(out.contains("1 \"Pin\" → number"), "{out}");
    assert!(out.ends_with("dry run: nothing was changed\n"), "{out}");
    assert_eq!(home.bytes("van.crimpbook"), before);
}

#[test]
fn a_dry_run_after_a_release_says_that_a_why_will_be_needed() {
    let home = Home::new();
    home.well(&["demo", "d.crimpbook"]);
    home.put("pins.csv", "Pin;Function\n5;NEW\n");
    let args = [
        "import",
        "d.crimpbook",
        "--cavities",
        "pins.csv",
        "--connector",
        "MC-A",
    ];
    let out = home.well(&[&args[..], &["--dry-run"]].concat());
    assert!(
        out.contains("a why will be needed: ") && out.contains("--why"),
        "{out}"
    );
    assert_eq!(home.run(&args).code, 2);
    let out = home.well(&[&args[..], &["--dry-run", "--why", "the manual"]].concat());
    assert!(!out.contains("a why will be needed"), "{out}");
}

#[test]
fn a_table_becomes_one_entry_of_the_log_and_a_second_time_none() {
    let home = home();
    let plug = connector(&home);
    let table: Vec<u8> = "Pin\tFunction\n1\tKühlung\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    home.put("pins.txt", table);
    let args = [
        "import",
        "van.crimpbook",
        "--cavities",
        "pins.txt",
        "--connector",
        &plug,
        "--why",
        "read from the manual",
    ];
    let out = home.well(&args);
    assert!(
        out.contains("UTF-16LE") && out.contains("taken as entry 2"),
        "{out}"
    );
    let log = home.well(&["log", "van.crimpbook", "--verify"]);
    assert!(
        log.contains("import")
            && log.contains("1 cavity from pins.txt")
            && log.contains("read from the manual"),
        "{log}"
    );
    assert!(home.well(&args).ends_with("nothing was changed\n"));
}

#[test]
fn a_bad_row_spoils_the_others_only_where_asked() {
    let home = home();
    let plug = connector(&home);
    home.put("pins.csv", "Pin,Function,Max current\n1,KEY,lots\n,GND,1\n");
    let args = [
        "import",
        "van.crimpbook",
        "--cavities",
        "pins.csv",
        "--connector",
        &plug,
        "--whole",
    ];
    let ran = home.run(&args);
    assert_eq!(ran.code, 2);
    assert!(
        ran.out.contains("line 2, current: `lots`") && ran.out.contains("line 3: no cavity number"),
        "{}",
        ran.out
    );
    assert!(ran.err.contains("nothing was changed"), "{}", ran.err);
    let out = home.well(&args[..args.len() - 1]);
    assert!(
        out.contains("taken as entry 2") && out.contains("left out: 1 row and 1 cell"),
        "{out}"
    );
}

#[test]
fn letters_of_two_customs_are_asked_once() {
    let home = Home::new();
    home.make("van.crimpbook", &book(crate::harness::WIRED));
    home.put("wires.csv", "Wire;Colour\nW1;BL\n");
    let args = ["import", "van.crimpbook", "--wires", "wires.csv"];
    let ran = home.run(&args);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .contains("say which: --colour bl=black or --colour bl=blue"),
        "{}",
        ran.err
    );
    let out = home.well(&[&args[..], &["--colour", "bl=blue"]].concat());
    assert!(out.contains("colour BU") || out.contains("→ BU"), "{out}");
}

#[test]
fn what_is_wrong_with_the_words_is_said() {
    let home = home();
    home.put("pins.csv", "Pin;Function\n1;KEY\n");
    let says = |args: &[&str], words: &str| {
        let ran = home.run(&[&["import", "van.crimpbook"], args].concat());
        assert_eq!(
            ran.code,
            if words.contains("there is no file") { 4 } else { 2 },
            "{}",
            ran.err
        );
        assert!(ran.err.contains(words), "{}", ran.err);
    };
    says(&["--cavities", "pins.csv"], "name it with --connector");
    says(
        &["--cavities", "pins.csv", "--connector", "XX"],
        "no connector is called XX",
    );
    says(&["--cavities", "none.csv"], "there is no file none.csv\n");
    says(&["--wires", "pins.csv"], "no column is recognised as the wire");
    says(
        &["--wires", "pins.csv", "--column", "wire"],
        "write --column function=3",
    );
    says(
        &["--wires", "pins.csv", "--colour", "bl=mauve"],
        "mauve is no colour",
    );
}

#[test]
fn drums_and_counted_parts_go_out_and_come_back() {
    let home = home();
    home.put(
        "drums.csv",
        "Drum;Size;Colour;In stock\nD1;0.5;red;25 m\nD2;AWG 20;black;8 m\n",
    );
    home.put(
        "counts.csv",
        "part,which,have,ordered\ncontact,\"M, 0.5 mm²\",40,100\n",
    );
    let out = home.well(&["import", "van.crimpbook", "--drums", "drums.csv"]);
    assert!(out.contains("2 drums from drums.csv"), "{out}");
    let out = home.well(&["import", "van.crimpbook", "--stock", "counts.csv"]);
    assert!(out.contains("1 counted part from counts.csv"), "{out}");
    home.well(&["export", "van.crimpbook", "--csv", "-o", "out"]);
    for (table, file) in [
        ("--drums", "out/drums.csv"),
        ("--stock", "out/stock.csv"),
        ("--settings", "out/settings.csv"),
    ] {
        let out = home.well(&["import", "van.crimpbook", table, file]);
        assert!(
            out.contains("nothing was changed") && out.contains("left out: nothing"),
            "{out}"
        );
    }
}
