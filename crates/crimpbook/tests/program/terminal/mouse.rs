//! The mouse is the terminal's unless somebody asks for it, and is given back on every way out.

use crate::harness::{Home, Terminal, WIRED, book};

const ON: &str = "\x1b[?1000h";
const OFF: &str = "\x1b[?1000l";

/// Every mode by which a program can have a mouse reported to it.
const MODES: [&str; 9] = [
    "9", "1000", "1001", "1002", "1003", "1004", "1005", "1006", "1015",
];

fn started(args: &[&str]) -> (Home, Terminal) {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    let mut all = vec!["van.crimpbook"];
    all.extend(args);
    let screen = Terminal::start(&home, &all);
    screen.opened();
    (home, screen)
}

/// Where words stand on the grid.
fn place(screen: &Terminal, words: &str) -> (usize, usize) {
    let lines = screen.lines();
    let found = lines.iter().enumerate().find_map(|(y, line)| {
        let (before, _) = line.split_once(words)?;
        Some((before.chars().count(), y))
    });
    found.unwrap_or_else(|| panic!("{words} is not shown:\n{}", lines.join("\n")))
}

#[test]
fn of_the_mouse_nothing_is_ever_said_to_the_terminal_unasked() {
    let (_home, mut screen) = started(&[]);
    screen.then(&["gf", "gs", "gb", "gp", "/"], "A wire's number");
    screen.press("\x1b");
    screen.wait_gone("A wire's number");
    screen.then(&["gl"], "entries");
    screen.press("\x1a");
    screen.wait_stopped();
    screen.as_before();
    screen.signal("CONT");
    screen.wait_for("entries");
    screen.press("q");
    assert!(screen.ended().success());
    for mode in MODES {
        for end in ["h", "l"] {
            assert_eq!(screen.wrote(&format!("\x1b[?{mode}{end}")), 0, "{mode}{end}");
        }
    }
}

#[test]
fn asked_for_it_clicks_and_scrolls_and_goes_on_after_a_stop() {
    let (_home, mut screen) = started(&["--mouse"]);
    screen.wait_until("the mouse reported", |shown| {
        shown.mouse_protocol_mode() != vt100::MouseProtocolMode::None
    });
    let (x, y) = place(&screen, "Parts");
    screen.click(x, y);
    screen.wait_for("splices and studs");
    screen.press("\x1a");
    screen.wait_stopped();
    screen.as_before();
    assert_eq!(screen.now().mouse_protocol_mode(), vt100::MouseProtocolMode::None);
    screen.signal("CONT");
    screen.wait_until("the mouse reported again", |shown| {
        shown.mouse_protocol_mode() != vt100::MouseProtocolMode::None
    });
    screen.wait_for("splices and studs");
    let (x, y) = place(&screen, "Log");
    screen.click(x, y);
    screen.wait_for("entries");
    assert_eq!(
        screen.wrote("\x1b[?1003h"),
        0,
        "where it merely moves is not asked for"
    );
    screen.press("q");
    screen.ends_tidily();
}

/// How often the terminal is asked for the mouse in a run with these keys, until these words are shown.
fn asked_in_a_run(home: &Home, args: &[&str], keys: &[&str], shown: &str) -> usize {
    let mut screen = Terminal::start(home, args);
    screen.opened();
    let asked = screen.wrote(ON);
    screen.then(keys, shown);
    assert_eq!(
        screen.wrote(OFF),
        usize::from(keys.contains(&"S")),
        "given back by its key alone"
    );
    screen.press("q");
    screen.ends_tidily();
    asked
}

#[test]
fn it_is_given_back_on_every_way_out_and_remembered_where_it_was_switched_on() {
    const BOOK: &[&str] = &["van.crimpbook"];
    for way in ["TERM", "HUP", "q"] {
        let (home, mut screen) = started(&[]);
        screen.then(&["S"], "the mouse is on");
        assert_eq!((screen.wrote(ON), screen.wrote(OFF)), (1, 0));
        match way {
            "q" => screen.press("q"),
            signal => screen.signal(signal),
        }
        screen.ends_tidily();
        let off = "the mouse is the terminal's again";
        assert_eq!(asked_in_a_run(&home, BOOK, &["S"], off), 1);
        assert_eq!(asked_in_a_run(&home, BOOK, &[], "what to do next"), 0);
        // Asked for in one run, it is not for the next.
        let once = ["--mouse", "van.crimpbook"];
        assert_eq!(asked_in_a_run(&home, &once, &["c"], "white on black"), 1);
        assert_eq!(asked_in_a_run(&home, BOOK, &[], "what to do next"), 0);
    }
}
