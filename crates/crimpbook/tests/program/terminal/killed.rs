//! SIGKILL in the middle of ticking: what was shown as done is done.

use crate::harness::{Home, Terminal, WIRED, book};

/// How many of the ten steps of W1 the screen shows as done, as in `✓ cut ✓ label · strip`.
fn shown_done(screen: &vt100::Screen) -> usize {
    let grid = screen.contents();
    let count = |line: &str, mark| line.matches(mark).count();
    let steps = grid
        .lines()
        .find(|line| count(line, '✓') + count(line, '·') == 10);
    steps.map_or(0, |line| count(line, '✓'))
}

fn kept_done(home: &Home) -> usize {
    let log = home.well(&["log", "van.crimpbook", "--all", "--verify"]);
    log.lines()
        .filter(|line| line.ends_with(" done") && line.contains(" W1"))
        .count()
}

#[test]
fn every_tick_that_was_shown_is_there_after_a_kill() {
    let home = Home::new();
    home.make("van.crimpbook", &book(WIRED));
    for waited_for in [1, 3, 5] {
        let mut screen = Terminal::start(&home, &["van.crimpbook"]);
        // The order was chosen once; a program that is killed leaves it as it was.
        let keys = if waited_for == 1 { "gbok" } else { "gbk" };
        screen.then(&[keys], "PB-A1 → MC-A1");
        screen.wait_for("by connector");
        let before = kept_done(&home);
        screen.wait_until("the ticks of the last time", |shown| shown_done(shown) == before);
        for _ in before..waited_for {
            screen.press(" ");
        }
        screen.wait_until("the ticks", |shown| shown_done(shown) == waited_for);
        // One more is on its way, perhaps done and not shown, perhaps shown.
        screen.press(" ");
        screen.signal("KILL");
        assert!(!screen.ended().success());
        let kept = kept_done(&home);
        assert!(kept >= waited_for, "{waited_for} were shown, {kept} are kept");
        assert!(kept <= waited_for + 1, "no more than were asked for");
    }
}
