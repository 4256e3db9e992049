//! Ten wires of the demonstration at the car: one key a step, a failure, a pause, a kill.

use vt100::Screen;

use crate::harness::{ENTER, Home, Terminal};

fn grid(screen: &Screen) -> Vec<String> {
    let width = screen.size().1;
    screen.rows(0, width).collect()
}

/// How many wires the screen shows as done (`34 of 90 wires done`).
fn done(screen: &Screen) -> Option<usize> {
    let lines = grid(screen);
    let line = lines.iter().find(|line| line.contains(" wires done"))?;
    line.split_whitespace().next()?.parse().ok()
}

/// The wire at hand as its ends, and the step: what tells where one is.
fn place(screen: &Screen) -> (String, String) {
    let lines = grid(screen);
    let ends = lines
        .iter()
        .find(|line| line.contains(" → ") && !line.contains("then "));
    let words = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    let ends = ends.map_or_else(String::new, |line| {
        let words: Vec<&str> = line.split_whitespace().filter(|w| !w.starts_with('█')).collect();
        words.join(" ")
    });
    let step = lines.iter().find(|line| line.starts_with("─ step "));
    (
        ends,
        step.map_or_else(String::new, |line| words(line.trim_matches(['─', ' ']))),
    )
}

/// Steps with one key until `more` wires more are done; how many presses that took.
fn build(screen: &mut Terminal, more: usize, most: usize) -> usize {
    let seen = |screen: &Terminal| {
        let shown = screen.now();
        (done(&shown), place(&shown))
    };
    let (start, _) = seen(screen);
    let goal = start.unwrap() + more;
    for press in 0..most {
        let before = seen(screen);
        if before.0 == Some(goal) {
            return press;
        }
        screen.press(" ");
        screen.wait_until("the next step", |shown| {
            place(shown) != before.1 && done(shown).is_some()
        });
    }
    panic!("{more} wires take more than {most} presses");
}

fn ten_wires(columns: u16, rows: u16) {
    let home = Home::new();
    home.well(&["demo"]);
    let file = "marrowby-pipit.crimpbook";
    let mut screen = Terminal::start(&home, &[file, "--as", "C."]);
    screen.wait_for("Marrowby Pipit, rev A");
    screen.resize(columns, rows);
    // Connector by connector, where each step has a key of its own.
    screen.then(&["gbo"], "by connector");
    let before = done(&screen.now()).unwrap();
    let presses = build(&mut screen, 4, 60);
    assert!(
        presses >= 4 * 5,
        "{presses} presses for four wires: a step was not a press"
    );

    // One fails, is said, and is done again.
    let at = place(&screen.now());
    screen.then(&["x"], "What was wrong?");
    screen.then(
        &["drum end was nicked", ENTER],
        "FAILED just now, by C.: drum end was nicked",
    );
    assert_eq!(place(&screen.now()), at, "what failed stays in sight");
    build(&mut screen, 3, 60);

    // A pause in the middle of a wire, the program left and started again.
    screen.press(" ");
    screen.wait_for("✓ cut");
    let at = place(&screen.now());
    screen.then(&["p"], "paused at");
    screen.press("q");
    screen.ends_tidily();
    let mut screen = Terminal::start(&home, &[file, "--as", "C."]);
    screen.wait_for("You were here: ");
    screen.resize(columns, rows);
    // In the order it was left in.
    screen.then(&["gb"], "by connector");
    screen.wait_until("the place of the pause", |shown| place(shown) == at);
    build(&mut screen, 2, 60);

    // Killed in the middle of a wire.
    screen.press(" ");
    screen.wait_for("✓ cut");
    let at = place(&screen.now());
    screen.signal("KILL");
    assert!(!screen.ended().success());
    let mut screen = Terminal::start(&home, &[file, "--as", "C."]);
    screen.wait_for("You were here: ");
    screen.resize(columns, rows);
    screen.then(&["gb"], "You were here: ");
    screen.wait_for("by connector");
    screen.wait_until("the place of the kill", |shown| place(shown) == at);
    build(&mut screen, 1, 60);
    assert_eq!(done(&screen.now()), Some(before + 10));
    screen.press("q");
    screen.ends_tidily();
    let log = home.well(&["log", file, "--all", "--verify"]);
    assert!(log.contains("failed") && log.contains("paused at"), "{log}");
}

#[test]
fn ten_wires_on_a_small_screen() {
    ten_wires(80, 24);
}

#[test]
fn ten_wires_on_a_larger_screen() {
    ten_wires(100, 30);
}
