//! Build read without colours, in 16 of them and in ASCII; and the face with the one cavity marked, from both sides.

use crimpbook_workbook::model::End;

use crate::screen::{
    model::build::{Item, at_hand, items},
    testkit::{Bench, small::Maker},
    theme::{Look, Scheme},
};

const LOOKS: [(&str, Look); 3] = [
    (
        "no_color",
        Look {
            scheme: Scheme::Own,
            colour: false,
            ascii: false,
        },
    ),
    (
        "sixteen",
        Look {
            scheme: Scheme::Dark,
            colour: true,
            ascii: false,
        },
    ),
    (
        "ascii",
        Look {
            scheme: Scheme::Own,
            colour: false,
            ascii: true,
        },
    ),
];

/// The passes on the demonstration vehicle: crimping, inserting, a stud, a step that failed; a pair, a shield, a splice and a plug
/// as a whole.
#[test]
fn build_reads_without_colours_in_sixteen_and_in_ascii() {
    for (keys, filter, name) in [
        ("37<Enter>", "crimp MC-A", "crimp"),
        ("37<Enter>", "insert MC-A", "insert"),
        ("", "bolt G2", "stud"),
        ("37<Enter>xnicked<Enter>", "test", "failed"),
        ("", "twist", "twist"),
        ("", "shield", "shield"),
        ("", "join", "splice"),
        ("", "finish MC-A", "finish"),
    ] {
        let mut bench = Bench::demo();
        bench.press("gbf").type_text(filter).press("<Enter>").press(keys);
        let pass = filter.split(' ').next().unwrap_or_default();
        let is_of_pass = |bench: &Bench| {
            let item = at_hand(&bench.model).map(|hand| hand.item);
            matches!(item, Some(Item::Piece(piece)) if piece.pass.words() == pass)
        };
        // The words may be those of a signal, too, whose wire is cut first.
        for _ in 0..items(&bench.model).len() {
            if !is_of_pass(&bench) {
                bench.press("<Down>");
            }
        }
        assert!(is_of_pass(&bench), "nothing of the pass {pass}");
        for (look_name, look) in LOOKS {
            bench.model.look = look;
            insta::assert_snapshot!(
                format!("build_{name}_{look_name}"),
                bench.screen_and_styles(80, 24)
            );
        }
    }
}

/// The rows of a face as drawn, the cavity marked among them in brackets.
fn rows(screen: &str) -> Vec<String> {
    let words = |line: &str| -> Vec<String> {
        let words = line.split_whitespace();
        words
            .filter_map(|word| {
                let word = word.trim_matches(['┃', '│']);
                let digits = |rest: &str| rest.chars().all(|c| c.is_ascii_digit()) && !rest.is_empty();
                match (word.strip_prefix('·'), word.strip_prefix('▣')) {
                    (Some(number), _) if digits(number) => Some(number.to_owned()),
                    (_, Some(number)) if digits(number) => Some(format!("[{number}]")),
                    _ => None,
                }
            })
            .collect()
    };
    let lines = screen.lines().map(words);
    lines.filter(|l| !l.is_empty()).map(|l| l.join(" ")).collect()
}

/// Every cavity of a face, one after the other, in large type from both sides.
fn marked(face: &str, mating: &[&str], wire_side: &[&str]) {
    let mut maker = Maker::new();
    let unit = maker.unit("MC", "controller");
    let count = mating.iter().map(|row| row.split(' ').count()).sum();
    let cavities = maker.connector(unit, "MC-A", face, count);
    for (number, cavity) in (1..).zip(&cavities) {
        maker.wire(
            &format!("W{number}"),
            "",
            End::Cavity(*cavity),
            End::Free,
            "RD",
            0.5,
        );
    }
    let mut bench = Bench::over(maker.book());
    bench.press("gbf").type_text("insert").press("<Enter>");
    for number in 1..=count {
        bench.press(&format!("{number}<Enter>"));
        for (side, drawn) in [("WIRE SIDE", wire_side), ("MATING SIDE", mating)] {
            let screen = bench.screen(80, 30);
            assert!(screen.contains(side), "{screen}");
            let expected: Vec<String> = drawn
                .iter()
                .map(|row| {
                    let words = row.split(' ').map(|word| match word == number.to_string() {
                        true => format!("[{word}]"),
                        false => word.to_owned(),
                    });
                    words.collect::<Vec<_>>().join(" ")
                })
                .collect();
            assert_eq!(
                rows(&screen),
                expected,
                "{face}, cavity {number}, {side}\n{screen}"
            );
            bench.press("v");
        }
    }
}

#[test]
fn the_one_cavity_is_marked_on_a_grid_from_both_sides() {
    marked(
        "rows 3 3 3, from upper left, mark at 1, seen from mating side",
        &["1 2 3", "4 5 6", "7 8 9"],
        &["3 2 1", "6 5 4", "9 8 7"],
    );
}

#[test]
fn the_one_cavity_is_marked_on_staggered_rows_from_both_sides() {
    marked(
        "rows 3 4 3 staggered, from lower left, mark at 1, seen from mating side",
        &["8 9 10", "4 5 6 7", "1 2 3"],
        &["10 9 8", "7 6 5 4", "3 2 1"],
    );
}

#[test]
fn the_one_cavity_is_marked_on_a_ring_from_both_sides() {
    marked(
        "ring 6, from top, clockwise, mark at 1, seen from mating side",
        &["1", "6 2", "5 3", "4"],
        &["1", "2 6", "3 5", "4"],
    );
}

/// On a ring there is no row to count along: it is counted round from the moulded mark, the shorter way.
#[test]
fn on_a_ring_one_counts_round_from_the_mark() {
    use crimpbook_workbook::model::{View, face::Face};
    let face = Face::parse("ring 6, from top, clockwise, mark at 1, seen from mating side").unwrap();
    let at = |number: &str, view| face.whereabouts(number, view);
    assert_eq!(at("3", View::MatingSide), "2 on clockwise from 1; bar at 1");
    assert_eq!(at("3", View::WireSide), "2 on anticlockwise from 1; bar at 1");
    assert_eq!(at("6", View::MatingSide), "1 on anticlockwise from 1; bar at 1");
    assert_eq!(at("1", View::MatingSide), "bar at 1");
}

/// G2 has a torque, G1 has none: the step shows the figure, or says that it cannot be checked.
#[test]
fn a_studs_torque_stands_in_sight_or_is_said_to_be_missing() {
    for (stud, words) in [
        ("G2", "9 N·m, then marked with paint"),
        ("G1", "cannot check: torque not given, see the unit's manual"),
    ] {
        let mut bench = Bench::demo();
        bench
            .press("gbf")
            .type_text(&format!("bolt {stud}"))
            .press("<Enter>");
        for _ in 0..20 {
            if bench.screen(80, 24).contains(": TORQUE ") {
                break;
            }
            bench.press("<Right>");
        }
        let screen = bench.screen(80, 24);
        assert!(screen.contains(words), "{screen}");
    }
}
