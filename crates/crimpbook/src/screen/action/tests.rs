//! Tests of the table itself.

use std::collections::HashSet;

use super::*;

#[test]
fn no_key_is_bound_twice_in_one_place() {
    for place in Where::ALL {
        let mut seen = HashSet::new();
        for action in in_place(*place) {
            for key in action.keys {
                assert!(seen.insert(*key), "{key} twice in {}", place.words());
            }
        }
    }
}

#[test]
fn names_are_kebab_case_and_unique() {
    let mut seen = HashSet::new();
    for action in all() {
        assert!(seen.insert(action.name), "{} twice", action.name);
        assert!(
            action.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'),
            "{}",
            action.name
        );
    }
}

#[test]
fn help_is_one_line_that_fits_eighty_columns() {
    for action in all() {
        let wide = super::super::text::width(action.help);
        assert!((5..=78).contains(&wide), "{}: {wide}", action.name);
        assert!(action.help.ends_with('.'), "{}", action.name);
        assert!(
            !action.label.is_empty() && action.label.len() <= 18,
            "{}",
            action.name
        );
    }
}

#[test]
fn every_action_is_reached_by_a_plain_key() {
    // What terminals and multiplexers own, and what they cannot send; see keys.rs for Alt, which never arrives here.
    const OWNED: &str = "sqzcjmih[abgptr";
    for action in all() {
        let plain = action.keys.iter().any(|key| match key {
            Key::Ctrl(letter) => !OWNED.contains(*letter),
            _ => true,
        });
        assert!(plain && !action.holds.is_empty(), "{}", action.name);
    }
}

#[test]
fn letters_are_never_bound_where_text_is_typed() {
    for place in Where::ALL.iter().filter(|p| p.takes_text()) {
        for action in in_place(*place) {
            assert!(
                action.keys.iter().all(|key| !matches!(key, Key::Char(_))),
                "{}",
                action.name
            );
        }
    }
}

#[test]
fn digits_mean_labels_or_a_reading_and_nothing_else() {
    for action in all() {
        let digit = action
            .keys
            .iter()
            .any(|key| matches!(key, Key::Char(c) if c.is_ascii_digit()));
        let means = matches!(action.act, Do::GoToNumber | Do::TypeReading | Do::TypeFigure);
        assert_eq!(digit, means, "{}", action.name);
    }
}

#[test]
fn every_screen_can_be_left_and_asks_for_help() {
    for place in PLACES {
        for act in [Do::Quit, Do::Help, Do::Menu, Do::Find, Do::Undo, Do::Redo] {
            assert!(row(act, *place).is_some(), "{act:?} in {}", place.words());
        }
    }
}

#[test]
fn an_action_that_is_not_available_says_why() {
    let nothing = Facts::default();
    for action in all() {
        if let Available::No(why) = (action.available)(&nothing) {
            assert!(why.len() > 8 && !why.ends_with('.'), "{}", action.name);
        }
    }
}
