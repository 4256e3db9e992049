//! `crimpbook reckon`: sums from what is typed and from what a workbook knows.

use crate::harness::{Home, WIRED, book};

#[test]
fn a_sum_needs_no_workbook_and_says_what_it_lacks() {
    let home = Home::new();
    let all = home.well(&["reckon"]);
    for name in [
        "pedal",
        "tracks",
        "regeneration",
        "loading",
        "divider",
        "precharge",
    ] {
        assert!(all.lines().any(|line| line.starts_with(name)), "{name}: {all}");
    }
    let page = home.well(&["reckon", "loading", "track=10k", "pull=200k"]);
    // By hand: 0.5/(1 + 0.25/20) of 5 V.
    assert!(page.contains("2.47 V") && page.contains("V / Vs = "), "{page}");
    let cases: [(&[&str], &str); 6] = [
        (
            &["reckon", "loading", "track=10k"],
            "cannot reckon: missing input to ground",
        ),
        (&["reckon", "pedals"], "no calculator called \"pedals\""),
        (&["reckon", "loading", "load=3"], "loading takes no \"load\""),
        (&["reckon", "loading", "10k"], "is no NAME=VALUE"),
        (
            &["reckon", "loading", "track=1,500"],
            "track: `1,500` can mean 1.5 or 1500",
        ),
        (&["reckon", "--from", "x.crimpbook"], "<NAME>"),
    ];
    for (typed, told) in cases {
        let ran = home.run(typed);
        assert_eq!((ran.code, ran.out.as_str()), (2, ""), "{typed:?}");
        assert!(ran.err.contains(told), "{typed:?}: {}", ran.err);
    }
}

#[test]
fn above_sixty_volts_the_caution_stands_beside_the_sum() {
    let home = Home::new();
    let typed = [
        "reckon",
        "precharge",
        "resistor=750",
        "capacitance=7mF",
        "volts=144",
    ];
    let page = home.well(&typed);
    assert!(
        page.contains("! outside") && page.contains("Arithmetic only, never an approval."),
        "{page}"
    );
}

#[test]
fn a_workbook_fills_in_and_stays_as_it_is() {
    let home = Home::new();
    home.well(&["demo", "van.crimpbook"]);
    let before = home.bytes("van.crimpbook");
    let from = ["--from", "van.crimpbook"];
    let page = home.well(&[&["reckon", "pedal"], &from[..], &["--at", "mc-a10", "rest=0,8"]].concat());
    assert!(
        page.contains("for MC-A10") && page.contains("at rest              0,8\n"),
        "{page}"
    );
    assert!(
        page.contains("(PED_HIGH_FAULT)") && page.contains("! return off           cannot tell"),
        "{page}"
    );
    let several = home.run(&[&["reckon", "pedal"], &from[..]].concat());
    assert!(
        several.code == 2 && several.err.contains("--at: MC-A10"),
        "{}",
        several.err
    );
    let nothing = home.run(&[&["reckon", "divider"], &from[..], &["--at", "MC-A1"]].concat());
    assert!(
        nothing.err.contains("type the figures instead"),
        "{}",
        nothing.err
    );
    assert_eq!(home.bytes("van.crimpbook"), before);
    home.make("small.crimpbook", &book(WIRED));
    let none = home.run(&["reckon", "pedal", "--from", "small.crimpbook"]);
    assert!(
        none.code == 2 && none.err.contains("missing at rest"),
        "{}",
        none.err
    );
}
