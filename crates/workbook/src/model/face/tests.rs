use std::collections::{BTreeSet, HashSet};

use proptest::prelude::*;

use super::*;

fn face(line: &str) -> Face {
    Face::parse(line).unwrap_or_else(|e| panic!("{line}: {e}"))
}

/// The numbers as drawn, one text row a row of cavities, with a dot for each empty half pitch.
fn drawn(face: &Face, view: View) -> Vec<String> {
    let cells = face.cells(view);
    let rows: BTreeSet<i32> = cells.iter().map(|c| c.y_half).collect();
    let draw = |y: i32| {
        let mut row: Vec<_> = cells.iter().filter(|c| c.y_half == y).collect();
        row.sort_by_key(|c| c.x_half);
        let mut text = String::new();
        let mut x = 0;
        for cell in row {
            text.push_str(&".".repeat(usize::try_from(cell.x_half - x).unwrap()));
            text.push_str(&cell.number);
            x = cell.x_half + 1;
        }
        text
    };
    rows.into_iter().map(draw).collect()
}

#[test]
fn staggered_rows_from_the_lower_left() {
    let face = face("rows 3 3 3 staggered, from lower left, bar at 1, seen from mating side");
    assert_eq!(drawn(&face, View::MatingSide), ["7.8.9", ".4.5.6", "1.2.3"]);
    // From the wire side left and right change places, up and down do not.
    assert_eq!(drawn(&face, View::WireSide), [".9.8.7", "6.5.4", ".3.2.1"]);
    assert_eq!(face.mark.as_deref(), Some("1"));
    assert_eq!((face.seen_from, face.len()), (Some(View::MatingSide), 9));
    assert_eq!(face.row_and_place("1", View::MatingSide), Some((3, 1)));
    assert_eq!(face.row_and_place("1", View::WireSide), Some((3, 3)));
}

#[test]
fn a_line_from_the_wire_side_is_mirrored_the_other_way() {
    let face = face("rows 3 3, from upper left, seen from wire side");
    assert_eq!(drawn(&face, View::WireSide), ["1.2.3", "4.5.6"]);
    assert_eq!(drawn(&face, View::MatingSide), ["3.2.1", "6.5.4"]);
}

#[test]
fn gaps_stand_where_they_are_named_and_move_with_the_mirror() {
    let face = face("rows 4 4 4, gap after 3, gap below 1, from upper left, seen from mating side");
    assert_eq!(
        drawn(&face, View::MatingSide),
        ["1.2.3...4", "5.6.7...8", "9.10.11...12"]
    );
    assert_eq!(drawn(&face, View::WireSide)[0], "4...3.2.1");
    let heights: BTreeSet<i32> = face.cells(View::MatingSide).iter().map(|c| c.y_half).collect();
    assert_eq!(heights.into_iter().collect::<Vec<_>>(), [0, 4, 6]);
}

#[test]
fn rows_of_other_lengths_lie_centred() {
    assert_eq!(
        drawn(&face("rows 3 2 3"), View::MatingSide),
        ["1.2.3", ".4.5", "6.7.8"]
    );
    assert_eq!(
        drawn(&face("rows 3 2 3 staggered"), View::MatingSide),
        ["1.2.3", ".4.5", "6.7.8"]
    );
    assert_eq!(
        drawn(&face("rows 2 2 staggered left"), View::MatingSide),
        [".1.2", "3.4"]
    );
}

#[test]
fn numbers_run_from_any_corner_in_any_order() {
    let draw = |line: &str| drawn(&face(line), View::MatingSide);
    assert_eq!(draw("rows 2 2 from upper right"), ["2.1", "4.3"]);
    assert_eq!(draw("rows 2 2, from lower right"), ["4.3", "2.1"]);
    assert_eq!(draw("rows 3 3, column by column"), ["1.3.5", "2.4.6"]);
    assert_eq!(
        draw("rows 3 3, from lower right, column by column"),
        ["6.4.2", "5.3.1"]
    );
    assert_eq!(draw("rows 3 3, back and forth"), ["1.2.3", "6.5.4"]);
    assert_eq!(
        draw("rows 3 3, column by column, back and forth"),
        ["1.4.5", "2.3.6"]
    );
    assert_eq!(draw("rows 2 2, numbered 1A 2A 1B 2B"), ["1A.2A", "1B.2B"]);
    assert_eq!(draw("rows 2 2, numbered from 21"), ["21.22", "23.24"]);
    assert_eq!(
        draw("rows 2 2, from lower right, rows called a b"),
        ["b2.b1", "a2.a1"]
    );
}

#[test]
fn big_cavities_are_big() {
    let face = face("rows 6 6 6 6, big 16 18, from upper left, seen from mating side");
    let big: Vec<String> = face
        .cells(View::WireSide)
        .into_iter()
        .filter(|c| c.big)
        .map(|c| c.number)
        .collect();
    assert_eq!(big, ["16", "18"]);
}

#[test]
fn a_ring_lies_round_its_centre() {
    let face = face("ring 7 around 1, seen from mating side");
    assert!(face.round);
    let cells = face.cells(View::MatingSide);
    let centre = &cells[7];
    for cell in &cells[..7] {
        let distance = (cell.x_pitch - centre.x_pitch).hypot(cell.y_pitch - centre.y_pitch);
        // 7 cavities one pitch apart: radius 1 / (2 sin 180°/7) = 1.1524 pitches.
        assert!((distance - 1.1524).abs() < 1e-4, "{distance}");
    }
    assert!(cells[0].y_pitch.abs() < 1e-9, "the first is at the top");
    assert!(cells[1].x_pitch > cells[0].x_pitch, "clockwise is to the right");
    let mirrored = face.cells(View::WireSide);
    assert!(mirrored[1].x_pitch < mirrored[0].x_pitch);
    assert_eq!(
        self::face("ring 1 7")
            .cells(View::MatingSide)
            .first()
            .map(|c| (c.x_half, c.y_half)),
        cells.last().map(|c| (c.x_half, c.y_half))
    );
}

#[test]
fn rings_start_and_turn_as_told() {
    let at = |line: &str, place: usize| {
        let cell = face(line).cells(View::MatingSide).remove(place);
        (cell.x_half, cell.y_half)
    };
    assert_eq!(at("ring 4, from left", 0).0, 0);
    assert_eq!(
        at("ring 4, from left, anticlockwise", 1),
        at("ring 4, from bottom", 0)
    );
    assert_eq!(at("ring 4, from left, clockwise", 1), at("ring 4, from top", 0));
    let beside = face("ring 8, from upper right").cells(View::MatingSide);
    assert!((beside[0].y_pitch - beside[7].y_pitch).abs() < 1e-9 && beside[0].x_pitch > beside[7].x_pitch);
}

#[test]
fn what_is_not_understood_is_told_with_its_place() {
    let refused = |line: &str| {
        let error = Face::parse(line).unwrap_err();
        (error.at, error.problem)
    };
    for (line, at, words) in [
        ("", 1, "the line ends; expected `rows` or `ring`"),
        ("grid 4", 1, "found `grid`; expected `rows` or `ring`"),
        ("rows", 5, "the line ends; expected cavities (a number)"),
        ("rows seven", 6, "found `seven`"),
        ("rows 7, sideways", 9, "found `sideways`; expected `staggered`"),
        ("rows 7, from middle", 14, "`upper`, `lower`, `top` or `bottom`"),
        (
            "rows 7, seen from behind",
            19,
            "found `behind`; expected `mating` or `wire`",
        ),
        ("rows 7, seen from wire", 23, "the line ends; expected `side`"),
        ("rows 7,", 8, "another statement"),
        ("rows 7, big 8", 13, "no cavity 8"),
        ("rows 7, mark at 9", 17, "no cavity 9"),
        ("rows 2, numbered A", 9, "2 cavities need as many numbers, not 1"),
        ("rows 2, numbered A a", 1, "two cavities would be numbered a"),
        ("rows 2 2, rows called A", 11, "2 rows need as many names"),
        ("rows 2, from upper left, from upper left", 26, "said twice"),
        ("rows 7, gap after 7", 19, "from 1 to 6"),
        ("ring 7, gap after 2", 9, "needs `rows`"),
        ("ring 3 9 3", 6, "from inside to outside"),
        ("rows 0", 6, "from 1 to 400"),
        ("rows 200 201", 6, "more than 400 cavities"),
        ("rows 99999999999999999999999999", 6, "from 1 to 400"),
    ] {
        let (found_at, found) = refused(line);
        assert_eq!(found_at, at, "{line}: {found}");
        assert!(found.contains(words), "{line}: {found}");
    }
    assert!(Face::parse(&"rows 1 ".repeat(100_000)).is_err());
    assert!(Face::parse(&"\u{e9}\u{1f600},".repeat(1000)).is_err());
}

#[test]
fn the_cursor_moves_as_the_cavities_lie() {
    let face = face("rows 3 3 3 staggered, from lower left, seen from mating side");
    let go = |from, view, direction| face.neighbour(from, view, direction);
    assert_eq!(go("1", View::MatingSide, Direction::Right), Some("2"));
    assert_eq!(go("1", View::WireSide, Direction::Right), None);
    assert_eq!(go("1", View::WireSide, Direction::Left), Some("2"));
    assert_eq!(go("1", View::MatingSide, Direction::Up), Some("4"));
    assert_eq!(go("4", View::MatingSide, Direction::Up), Some("7"));
    assert_eq!(go("7", View::MatingSide, Direction::Up), None);
    assert_eq!(go("no such", View::MatingSide, Direction::Up), None);
}

#[test]
fn a_guessed_face_says_so() {
    let numbers: Vec<String> = (1..=13).map(|n| n.to_string()).collect();
    let face = Face::guess(numbers.iter().map(String::as_str));
    assert!(face.guessed && face.seen_from.is_none() && !face.round);
    assert_eq!(
        drawn(&face, View::MatingSide),
        ["1.2.3.4.5.6.7.8.9.10", "11.12.13"]
    );
    assert!(Face::guess([]).is_empty());
}

fn any_line() -> impl Strategy<Value = String> {
    let rows = (
        prop::collection::vec(1..9usize, 1..6),
        prop::sample::select(vec!["", " staggered", " STAGGERED left"]),
        prop::sample::select(vec!["", ", gap after 1", ", gap below 1"]),
        prop::sample::select(vec![
            "",
            ", from lower right",
            " from top left",
            ", from bottom left",
        ]),
        prop::sample::select(vec!["", ", column by column", ", row by row, back and forth"]),
        prop::sample::select(vec!["", ", numbered from 7", ", big 1 2", ", mark at 1"]),
    )
        .prop_map(|(counts, a, b, c, d, e)| {
            let counts: Vec<String> = counts.iter().map(usize::to_string).collect();
            format!("rows {}{a}{b}{c}{d}{e}", counts.join(" "))
        });
    let rings = (
        prop::collection::btree_set(1..20usize, 1..4),
        any::<bool>(),
        prop::sample::select(vec!["", ", from bottom", ", from lower left"]),
        prop::sample::select(vec!["", ", anticlockwise", ", clockwise, big 1"]),
    )
        .prop_map(|(counts, inwards, a, b)| {
            let mut counts: Vec<String> = counts.iter().map(usize::to_string).collect();
            if inwards {
                counts.reverse();
            }
            format!(
                "ring {}{a}{b}",
                counts.join(if inwards { " around " } else { " " })
            )
        });
    (
        prop_oneof![rows, rings],
        prop::sample::select(vec!["", ", seen from wire side", "; seen from mating side"]),
    )
        .prop_map(|(line, side)| line + side)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_printed_reads_back_as_the_same_face(line in any_line()) {
        if let Ok(face) = Face::parse(&line) {
            let printed = face.to_string();
            prop_assert_eq!(Face::parse(&printed), Ok(face), "{}", printed);
        }
    }

    #[test]
    fn no_two_cavities_share_a_place_and_the_mirror_mirrors(line in any_line()) {
        let Ok(face) = Face::parse(&line) else { return Ok(()) };
        let (a, b) = (face.cells(View::MatingSide), face.cells(View::WireSide));
        let places: HashSet<(i32, i32)> = a.iter().map(|c| (c.x_half, c.y_half)).collect();
        prop_assert_eq!(places.len(), face.len());
        let widest = a.iter().map(|c| c.x_half).max().unwrap_or(0);
        for (a, b) in a.iter().zip(&b) {
            prop_assert_eq!((a.x_half, a.y_half), (widest - b.x_half, b.y_half));
        }
    }

    #[test]
    fn every_cavity_is_reached_and_left_is_right_from_the_other_side(line in any_line()) {
        let Ok(face) = Face::parse(&line) else { return Ok(()) };
        let mut seen: BTreeSet<String> = face.numbers().take(1).map(str::to_owned).collect();
        let mut open: Vec<String> = seen.iter().cloned().collect();
        while let Some(at) = open.pop() {
            for direction in [Direction::Left, Direction::Right, Direction::Up, Direction::Down] {
                let next = face.neighbour(&at, View::MatingSide, direction);
                let other = match direction {
                    Direction::Left => Direction::Right,
                    Direction::Right => Direction::Left,
                    same => same,
                };
                prop_assert_eq!(next, face.neighbour(&at, View::WireSide, other));
                if let Some(next) = next.filter(|n| !seen.contains(*n)) {
                    seen.insert(next.to_owned());
                    open.push(next.to_owned());
                }
            }
        }
        prop_assert_eq!(seen.len(), face.len());
    }

    #[test]
    fn no_text_makes_it_panic(line in "(rows|ring)?[ 0-9a-z,;\\-]{0,60}", other in ".{0,40}") {
        let _ = Face::parse(&line);
        let _ = Face::parse(&other);
    }
}
