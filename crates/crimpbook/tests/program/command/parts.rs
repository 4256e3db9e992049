//! `crimpbook part`, `crimpbook compare` and bundles: what moves between workbooks.

use crate::harness::{Home, OPEN, WIRED, book};

#[test]
fn a_unit_is_saved_and_used_in_another_workbook() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    home.make("cart.crimpbook", &book(OPEN));
    assert!(home.well(&["part", "list"]).starts_with("relay "));
    assert_eq!(
        home.well(&["part", "save", "van.crimpbook", "PB", "-o", "pb.json"]),
        "Wrote pb.json\n"
    );
    let gone = home.run(&["part", "use", "cart.crimpbook", "none.json"]);
    let words = "there is no file none.json\n";
    assert!(gone.code == 4 && gone.err.contains(words), "{}", gone.err);
    let out = home.well(&["part", "use", "cart.crimpbook", "pb.json", "--label", "FB"]);
    assert!(
        out.starts_with("taken as entry 2: FB: fuse box from a part file (4 records)"),
        "{out}"
    );
    let out = home.well(&[
        "part",
        "use",
        "cart.crimpbook",
        "relay",
        "--label",
        "K1",
        "--why",
        "main relay",
    ]);
    assert!(
        out.starts_with("taken as entry 3: K1: relay with coil diode"),
        "{out}"
    );
    assert!(
        home.well(&["part", "save", "cart.crimpbook", "FB"])
            .contains("\"FB-A\"")
    );
    let ran = home.run(&["part", "use", "cart.crimpbook", "relay", "--label", "k1"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("a unit is called k1 already") && ran.err.contains("--label"),
        "{}",
        ran.err
    );
    let ran = home.run(&["part", "save", "cart.crimpbook", "XX"]);
    assert!(
        ran.code == 2 && ran.err.contains("units: FB, K1, MC"),
        "{}",
        ran.err
    );
    assert!(
        home.well(&["log", "cart.crimpbook", "--verify"])
            .contains("main relay")
    );
}

#[test]
fn points_of_a_log_and_two_workbooks_are_compared() {
    let home = Home::new();
    home.make("van.crimpbook", &book(OPEN));
    let ran = home.run(&["compare", "van.crimpbook"]);
    assert!(
        ran.code == 2 && ran.err.contains("no revision was released yet"),
        "{}",
        ran.err
    );
    home.put("pins.csv", "Pin;Function\n1;KEY\n");
    home.well(&[
        "import",
        "van.crimpbook",
        "--cavities",
        "pins.csv",
        "--connector",
        "MC-A",
        "--why",
        "the manual",
    ]);
    let out = home.well(&["compare", "van.crimpbook", "1", "2"]);
    assert!(
        out.starts_with("from entry 1 to entry 2: 1 cavity\ncavity MC-A1\n    name: nothing → KEY\n"),
        "{out}"
    );
    assert!(out.contains("    why: the manual (Robin, "), "{out}");
    assert_eq!(
        home.well(&["compare", "van.crimpbook", "2"]),
        "from entry 2 to now: nothing\n"
    );
    home.make("other.crimpbook", &book(WIRED));
    let out = home.well(&["compare", "van.crimpbook", "--with", "other.crimpbook"]);
    assert!(
        out.contains("wire W1 removed") && out.contains("unit PB removed"),
        "{out}"
    );
    home.well(&["compare", "van.crimpbook", "1", "--html", "changes.html"]);
    assert!(
        String::from_utf8(home.bytes("changes.html"))
            .unwrap()
            .contains("cavity MC-A1")
    );
    for (args, words) in [
        (["9", "now"], "no entry from 1 to 2"),
        (["2", "1"], "comes after"),
        (["C", "now"], "revisions: none yet"),
    ] {
        let ran = home.run(&["compare", "van.crimpbook", args[0], args[1]]);
        assert!(ran.code == 2 && ran.err.contains(words), "{}", ran.err);
    }
}

#[test]
fn a_bundle_makes_the_same_workbook_again() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    let ran = home.run(&["export", "pipit.crimpbook", "--bundle"]);
    assert!(ran.code == 2 && ran.err.contains("-o DIR"), "{}", ran.err);
    home.well(&["export", "pipit.crimpbook", "--bundle", "-o", "bundle"]);
    home.well(&["new", "again.crimpbook", "--from", "bundle"]);
    let last = |file: &str| {
        home.well(&["log", file, "--verify"])
            .lines()
            .last()
            .unwrap()
            .to_owned()
    };
    assert_eq!(last("again.crimpbook"), last("pipit.crimpbook"));
    assert_eq!(
        home.well(&["export", "again.crimpbook", "--json"]),
        home.well(&["export", "pipit.crimpbook", "--json"])
    );
    let wires = String::from_utf8(home.bytes("bundle/wires.csv")).unwrap();
    home.put("bundle/wires.csv", wires.replacen("0.5", "thin", 1));
    let ran = home.run(&["new", "third.crimpbook", "--from", "bundle"]);
    assert!(
        ran.code == 4 && ran.err.contains("wires.csv, line "),
        "{}",
        ran.err
    );
    assert!(!home.names().contains(&"third.crimpbook".to_owned()));
}
