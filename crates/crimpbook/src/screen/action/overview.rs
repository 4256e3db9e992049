//! What holds on the Overview.

use super::{Action, Available, Do, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Overview];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Open,
        name: "open",
        label: "open",
        help: "Open what the cursor is on, or go to it.",
        holds: &[
            Where::Overview,
            Where::Log,
            Where::Sources,
            Where::Protection,
            Where::States,
        ],
        keys: &[Key::Enter],
        hint: 1,
        available: always,
    },
    Action {
        act: Do::Mend,
        name: "mend",
        label: "make the mend",
        help: "Make the change that mends this finding, with a why; it can be undone.",
        holds: HERE,
        keys: &[Key::Char('m')],
        hint: 2,
        available: |f| {
            if f.on_finding {
                f.mend.available()
            } else {
                Available::No("the cursor is not on a finding")
            }
        },
    },
    Action {
        act: Do::AcceptFinding,
        name: "accept-finding",
        label: "accept",
        help: "Accept this finding with a why, or take that back; it stays in sight.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 3,
        available: |f| Available::when(f.on_finding, "the cursor is not on a finding"),
    },
    Action {
        act: Do::ShowNotes,
        name: "show-notes",
        label: "notes",
        help: "List the notes among the findings as well, or only count them.",
        holds: HERE,
        keys: &[Key::Char('n')],
        hint: 4,
        available: always,
    },
    Action {
        act: Do::BriefFindings,
        name: "brief-findings",
        label: "brief",
        help: "List the findings alone, a line each, or the whole page again.",
        holds: HERE,
        keys: &[Key::Char('b')],
        hint: 9,
        available: always,
    },
    Action {
        act: Do::AskFacts,
        name: "ask-facts",
        label: "facts",
        help: "Answer what the checks lack, manual by manual, one after the other.",
        holds: HERE,
        keys: &[Key::Char('f')],
        hint: 6,
        available: |f| {
            Available::when(
                f.has_questions,
                "no fact is missing, or the checks are not through yet",
            )
        },
    },
];
