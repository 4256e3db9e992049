//! What holds on the Log.

use super::{Action, Do, Where, always};
use crate::screen::keys::Key;

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::ShowTicks,
        name: "show-ticks",
        label: "ticks",
        help: "Show or hide build steps, readings and trials among the changes.",
        holds: &[Where::Log],
        keys: &[Key::Char('t')],
        hint: 2,
        available: always,
    },
    Action {
        act: Do::Compare,
        name: "compare",
        label: "compare",
        help: "Compare two points of the log: this key on one entry, then on the other.",
        holds: &[Where::Log],
        keys: &[Key::Char('d')],
        hint: 3,
        available: always,
    },
    Action {
        act: Do::CompareWith,
        name: "compare-with",
        label: "other workbook",
        help: "Compare with another workbook, named by its path.",
        holds: &[Where::Log],
        keys: &[Key::Char('w')],
        hint: 5,
        available: always,
    },
    Action {
        act: Do::Release,
        name: "release",
        label: "release",
        help: "Release the plan for building as the next revision; asks for a why.",
        holds: &[Where::Log],
        keys: &[Key::Char('R')],
        hint: 4,
        available: always,
    },
];
