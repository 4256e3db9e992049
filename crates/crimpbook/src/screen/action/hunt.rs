//! What holds while a fault is looked for.

use super::{Action, Available, Do, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Hunt];

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::FindFault,
        name: "find-fault",
        label: "find a fault",
        help: "Type what the vehicle does and what a meter shows: which faults fit.",
        holds: &[Where::States],
        keys: &[Key::Char('f')],
        hint: 1,
        available: |f| Available::when(f.computed, "the figures are being computed"),
    },
    entry(
        HERE,
        Do::TakeSeen,
        "take-seen",
        "take it",
        "Take what is typed or chosen: \"F4 blown\", \"MC-A14 0.02\".",
        &[Key::Enter],
        1,
    ),
    entry(
        HERE,
        Do::ChoiceDown,
        "choice-down",
        "choose",
        "Down the list of what can be seen, and of cavities to measure.",
        &[Key::Down],
        2,
    ),
    entry(
        HERE,
        Do::ChoiceUp,
        "choice-up",
        "up",
        "Up the list.",
        &[Key::Up],
        0,
    ),
    entry(
        HERE,
        Do::ElseUsual,
        "else-usual",
        "else as usual",
        "Every other lamp and load does what it should; again takes it back.",
        &[Key::Tab],
        3,
    ),
    entry(
        HERE,
        Do::TakeBack,
        "take-back",
        "take back",
        "Take the last symptom or reading back.",
        &[Key::BackTab],
        4,
    ),
    entry(
        HERE,
        Do::SuspectsDown,
        "suspects-down",
        "more",
        "Further down.",
        &[Key::PageDown],
        5,
    ),
    entry(
        HERE,
        Do::SuspectsUp,
        "suspects-up",
        "back up",
        "Further up.",
        &[Key::PageUp],
        0,
    ),
];
