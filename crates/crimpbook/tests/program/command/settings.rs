//! `crimpbook settings`.

use crate::harness::Home;

#[test]
fn settings_are_listed_held_against_a_release_and_told_with_their_past() {
    let home = Home::new();
    home.well(&["demo", "van.crimpbook"]);
    let line = |page: &str, words: &str| {
        let found = page.lines().find(|line| line.contains(words));
        let words: Vec<&str> = found
            .unwrap_or_else(|| panic!("{words}: {page}"))
            .split_whitespace()
            .collect();
        words.join(" ")
    };
    let now = home.well(&["settings", "van.crimpbook"]);
    assert_eq!(
        line(&now, "REGEN_COAST_MAX"),
        "MC REGEN_COAST_MAX 10 % may be 0 to 40, comes with 0, page 70"
    );
    let left = home.well(&["settings", "van.crimpbook", "--left", "a"]);
    assert_eq!(
        line(&left, "REGEN_COAST_MAX"),
        "MC REGEN_COAST_MAX 10 % at A: 18 %"
    );
    assert_eq!(
        line(&left, "REGEN_BRAKE_MAX"),
        "MC REGEN_BRAKE_MAX 35 %",
        "it is as it was"
    );
    let past = home.well(&["settings", "van.crimpbook", "--past", "regen_coast_max"]);
    let (first, last) = (
        past.find("18 % by A."),
        past.find("because the passenger complained"),
    );
    assert!(first.is_some() && first < last, "{past}");
}
