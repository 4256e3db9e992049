//! Testing with a meter: a state, twelve readings, one of them wrong, a wire changed, what lapses, and the record.

use std::fs;

use crate::harness::{DOWN, ENTER, Home, PAGE_DOWN, Terminal};

#[test]
fn twelve_readings_a_change_and_the_record() {
    let home = Home::new();
    let mut screen = Terminal::start(&home, &["demo"]);
    screen.wait_for("Marrowby Pipit, rev A");
    screen.then(&["gm"], "stage 1 of ");
    screen.then(&["sbrake", ENTER], "BRAKE, plugs on");
    screen.wait_for("Control wiring up to 60 V only");
    screen.then(&["mmeter 1", ENTER], "taken with meter 1");
    screen.then(&["b12,6", ENTER], "battery reads 12.6 V");
}
