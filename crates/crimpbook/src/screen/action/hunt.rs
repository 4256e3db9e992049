//! What holds while a fault is looked for.

use super::{Action, Available, Do, Where, always};
use crate::screen::keys::Key;

/// A row of this page.
const fn here(
    act: Do,
    name: &'static str,
    label: &'static str,
    help: &'static str,
    keys: &'static [Key],
    hint: u8,
) -> Action {
    Action {
        act,
        name,
        label,
        help,
        holds: &[Where::Hunt],
        keys,
        hint,
        available: always,
    }
}

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::FindFault,
        name: "find-fault",
        label: "find a fault",
        help: "Type what the vehicle does and what a meter shows: which faults fit.",
        holds: &[Where::States],
        keys: &[Key::Char('f')],
        hint: 2,
        available: |f| Available::when(f.computed, "the figures are being computed"),
    },
    here(
        Do::TakeSeen,
        "take-seen",
        "take it",
        "Take what is typed or chosen: \"F4 blown\", \"MC-A14 0.02\".",
        &[Key::Enter],
        1,
    ),
    here(
        Do::ChoiceDown,
        "choice-down",
        "choose",
        "Down the list of what can be seen, and of cavities to measure.",
        &[Key::Down],
        2,
    ),
    here(Do::ChoiceUp, "choice-up", "up", "Up the list.", &[Key::Up], 0),
    here(
        Do::ElseUsual,
        "else-usual",
        "else as usual",
        "Every other lamp and load does what it should; again takes it back.",
        &[Key::Tab],
        3,
    ),
    here(
        Do::TakeBack,
        "take-back",
        "take back",
        "Take the last symptom or reading back.",
        &[Key::BackTab],
        4,
    ),
    here(
        Do::SuspectsDown,
        "suspects-down",
        "more",
        "Further down.",
        &[Key::PageDown],
        5,
    ),
    here(
        Do::SuspectsUp,
        "suspects-up",
        "back up",
        "Further up.",
        &[Key::PageUp],
        0,
    ),
];
