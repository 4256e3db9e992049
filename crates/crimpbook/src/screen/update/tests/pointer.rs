//! The mouse, where it is switched on.

use super::*;
use crate::screen::{
    keys::Input,
    model::{face, sieve},
    update::go_to,
};

/// A click where words stand on the smallest usual screen, the last time they do.
fn click(bench: &mut Bench, words: &str) {
    let screen = bench.screen(80, 24);
    let found = screen.lines().enumerate().filter_map(|(y, line)| {
        let (before, _) = line.split_once(words)?;
        Some((before.chars().count() as u16, y as u16))
    });
    let (x, y) = found
        .last()
        .unwrap_or_else(|| panic!("{words} is not shown: {screen}"));
    bench.happen(vec![Input::Click(x, y)]);
}

fn wheel(bench: &mut Bench, down: bool) {
    bench.happen(vec![Input::Wheel { down }]);
}

#[test]
fn unasked_it_does_nothing() {
    let mut bench = Bench::demo();
    bench.press("gp");
    wheel(&mut bench, true);
    click(&mut bench, "Log");
    assert_eq!(bench.model.place, Where::Parts);
    bench.shows("▸ AB");
    assert!(!bench.model.habits().mouse);
}

#[test]
fn it_is_switched_on_by_an_action_and_remembered() {
    let mut bench = Bench::demo();
    bench.press("S");
    bench.shows("the mouse is on");
    assert_eq!(bench.remembered.as_ref().map(|habits| habits.mouse), Some(true));
    bench.press("S");
    assert_eq!(bench.remembered.as_ref().map(|habits| habits.mouse), Some(false));
}

#[test]
fn a_click_goes_to_a_screen_and_back_leads_where_one_was() {
    let mut bench = Bench::demo();
    bench.press("S");
    for place in Where::ALL.iter().filter(|place| place.is_screen()) {
        // The names stand in the first line alone.
        let line = bench.screen(80, 24).lines().next().unwrap().to_owned();
        let x = line.find(place.words()).unwrap();
        bench.happen(vec![Input::Click(x as u16, 0)]);
        assert_eq!(bench.model.place, *place);
    }
    bench.press("<Back>");
    assert_eq!(bench.model.place, Where::Log);
}

#[test]
fn the_wheel_scrolls_and_a_click_selects_in_every_list() {
    for (place, count) in Where::ALL
        .iter()
        .filter(|place| place.is_screen())
        .map(|place| (*place, 24u16))
    {
        let mut bench = Bench::demo();
        bench.press("S");
        go_to(&mut bench.model, place);
        bench.press("");
        let Some(list) = sieve::list_of(&bench.model) else {
            continue;
        };
        let Some(first) = sieve::cursor(&bench.model, list) else {
            continue;
        };
        let rows = sieve::identities(&bench.model, list).len();
        wheel(&mut bench, true);
        let after = sieve::cursor(&bench.model, list);
        assert_eq!(after, Some((first + 3).min(rows - 1)), "{}", place.words());
        wheel(&mut bench, false);
        assert_eq!(
            sieve::cursor(&bench.model, list),
            Some(first),
            "{}",
            place.words()
        );
        // Every line in turn; a line of the list is a row, and the cursor is drawn where was clicked.
        let mut selected = std::collections::BTreeSet::new();
        for y in 2..count - 2 {
            sieve::set_cursor(&mut bench.model, list, 0);
            let shown = bench
                .screen(80, 24)
                .lines()
                .nth(usize::from(y))
                .unwrap()
                .to_owned();
            bench.happen(vec![Input::Click(5, y)]);
            let at = sieve::cursor(&bench.model, list).unwrap();
            if at > 0 {
                selected.insert(at);
                let drawn = bench.screen(80, 24);
                let here = drawn
                    .lines()
                    .find(|line| line.starts_with('▸'))
                    .unwrap()
                    .to_owned();
                let word = |line: &str| {
                    line.trim_start_matches('▸')
                        .split_whitespace()
                        .next()
                        .map(str::to_owned)
                };
                assert_eq!(word(&here), word(&shown), "{} line {y}", place.words());
            }
        }
        assert!(
            selected.len() + 1 >= rows.min(6),
            "{}: {selected:?} of {rows}",
            place.words()
        );
    }
}

#[test]
fn a_click_on_the_face_is_on_the_cavity_that_lies_there() {
    let mut bench = Bench::demo();
    bench.press("Sgf");
    let cavities: Vec<String> = (1..=35).map(|n| n.to_string()).collect();
    let connector = face::connector(&bench.model).unwrap().label.clone();
    let mut clicked = 0;
    for number in cavities {
        let screen = bench.screen(80, 24);
        let shape = |c: char| "●○■◇∩-?".contains(c);
        // The number right behind the shape of a decision, and nothing behind it.
        let place = screen.lines().enumerate().skip(5).find_map(|(y, line)| {
            let cells: Vec<char> = line.chars().take(48).collect();
            (0..cells.len()).find_map(|x| {
                let text: String = cells[x..].iter().take_while(|c| !" )!▲".contains(**c)).collect();
                let found = text.strip_prefix(shape) == Some(number.as_str());
                found.then_some((x as u16, y as u16))
            })
        });
        let Some((x, y)) = place else { continue };
        bench.happen(vec![Input::Click(x + 1, y)]);
        let here = face::cavity(&bench.model).unwrap();
        assert_eq!(here.number, number, "{connector}");
        clicked += 1;
    }
    assert!(clicked > 8, "{clicked}: {}", bench.screen(80, 24));
}

#[test]
fn over_a_form_it_touches_nothing_and_in_the_finder_it_chooses() {
    let mut bench = Bench::demo();
    bench.press("Sgpa").type_text("Quartz");
    let before = bench.screen(80, 24);
    bench.happen(vec![Input::Click(14, 0)]);
    bench.happen(vec![Input::Click(5, 5)]);
    assert_eq!(bench.screen(80, 24), before);
    bench.press("<Esc>y/w4");
    click(&mut bench, "W43");
    bench.press("<Enter>");
    bench.shows("▸ W43");
}
