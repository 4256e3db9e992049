//! What holds on Trials.

use super::{Action, Available, Do, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Trials];
const NONE: &str = "no trial is logged yet";

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::GoneThrough,
        name: "gone-through",
        label: "gone through",
        help: "The step of the first run under the cursor was gone through.",
        holds: HERE,
        keys: &[Key::Char(' ')],
        hint: 1,
        available: |f| Available::when(f.on_first_run, "the steps of the first run are not shown"),
    },
    Action {
        act: Do::AddTrial,
        name: "add-trial",
        label: "log a drive",
        help: "Log a trial, with every setting as it is now.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 2,
        available: |f| {
            Available::when(
                f.has_trial || f.first_run_done,
                "the first run comes first: go through its steps, each with its caution",
            )
        },
    },
    Action {
        act: Do::EditTrial,
        name: "edit-trial",
        label: "say more",
        help: "Say more of the trial; the settings it was driven with stay.",
        holds: HERE,
        keys: &[Key::Enter, Key::Char('e')],
        hint: 3,
        available: |f| match f.on_first_run {
            true => Available::No("the steps of the first run are shown; leave them first"),
            false => Available::when(f.has_trial, NONE),
        },
    },
    Action {
        act: Do::TrialDetail,
        name: "trial-detail",
        label: "all of it",
        help: "All that is said of the trial, with the settings it was driven with.",
        holds: HERE,
        keys: &[Key::Char('d')],
        hint: 4,
        available: |f| Available::when(f.has_trial, NONE),
    },
    Action {
        act: Do::Plot,
        name: "plot",
        label: "plot",
        help: "A trait over the trials, with a setting beside it.",
        holds: HERE,
        keys: &[Key::Char('p')],
        hint: 5,
        available: |f| Available::when(f.has_trial, NONE),
    },
    Action {
        act: Do::FirstRun,
        name: "first-run",
        label: "first run",
        help: "The steps of the first run, each with its caution.",
        holds: HERE,
        keys: &[Key::Char('f')],
        hint: 6,
        available: always,
    },
    Action {
        act: Do::RemoveTrial,
        name: "remove-trial",
        label: "remove",
        help: "Remove the trial; a word has to be typed, and it can be undone.",
        holds: HERE,
        keys: &[Key::Char('D')],
        hint: 0,
        available: |f| Available::when(f.has_trial, NONE),
    },
];
