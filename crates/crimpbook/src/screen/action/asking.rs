//! What holds while missing facts are answered.

use super::{Action, Do, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Asking];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Answer,
        name: "answer",
        label: "answer, next",
        help: "Take what is typed as the answer, and go on to the next question.",
        holds: HERE,
        keys: &[Key::Enter],
        hint: 1,
        available: always,
    },
    Action {
        act: Do::SkipQuestion,
        name: "skip-question",
        label: "skip",
        help: "Leave this one open and go on; after the last comes the first again.",
        holds: HERE,
        keys: &[Key::Tab, Key::Down],
        hint: 2,
        available: always,
    },
    Action {
        act: Do::QuestionBefore,
        name: "question-before",
        label: "before",
        help: "Back to the question before.",
        holds: HERE,
        keys: &[Key::BackTab, Key::Up],
        hint: 0,
        available: always,
    },
    Action {
        act: Do::ShowPlace,
        name: "show-place",
        label: "place",
        help: "Leave, and go to what is asked about.",
        holds: HERE,
        keys: &[Key::PageDown],
        hint: 3,
        available: always,
    },
];
