//! What holds among the calculators. Digits are a figure here, and nothing else.

use super::{Action, Do, PLACES, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Reckon];

const fn row(
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
        holds: HERE,
        keys,
        hint,
        available: always,
    }
}

pub(super) const ROWS: &[Action] = &[
    Action {
        holds: PLACES,
        ..row(
            Do::Reckon,
            "reckon",
            "calculators",
            "Calculators: pedal, tracks, regeneration, potentiometer, divider, precharge.",
            &[Key::Char('=')],
            0,
        )
    },
    row(
        Do::TypeFigure,
        "type-figure",
        "figure",
        "A figure begins what stands in the input: 0,82 and Enter takes it.",
        super::meter::FIGURES,
        0,
    ),
    row(
        Do::EnterFigure,
        "enter-figure",
        "type",
        "Type over the input here; where there are only a few words, the next of them.",
        &[Key::Enter],
        1,
    ),
    row(
        Do::ClearFigure,
        "clear-figure",
        "empty",
        "Empty the input here.",
        &[Key::Char('x'), Key::Delete],
        6,
    ),
    row(
        Do::AsKnown,
        "as-known",
        "as planned",
        "All inputs again as the workbook knows them.",
        &[Key::Char('w')],
        7,
    ),
    row(
        Do::InputUp,
        "input-up",
        "input above",
        "The input above.",
        &[Key::Up, Key::Char('k')],
        0,
    ),
    row(
        Do::InputDown,
        "input-down",
        "input below",
        "The input below.",
        &[Key::Down, Key::Char('j')],
        0,
    ),
    row(
        Do::NextSubject,
        "next-subject",
        "next place",
        "The next pedal, potentiometer or output of the workbook.",
        &[Key::Right, Key::Char('l')],
        4,
    ),
    row(
        Do::PreviousSubject,
        "previous-subject",
        "place before",
        "The one before.",
        &[Key::Left, Key::Char('h')],
        0,
    ),
    row(
        Do::NextSum,
        "next-sum",
        "next",
        "The next calculator.",
        &[Key::Tab, Key::Char('n')],
        2,
    ),
    row(
        Do::PreviousSum,
        "previous-sum",
        "sum before",
        "The calculator before.",
        &[Key::BackTab, Key::Char('N')],
        0,
    ),
    row(
        Do::Curve,
        "whole-answer",
        "answer",
        "The whole answer with its curve; the same key goes back to the inputs.",
        &[Key::Char('p')],
        3,
    ),
    row(
        Do::HelpReckon,
        "help-reckon",
        "keys",
        "The keys of the calculators.",
        &[Key::Char('?')],
        99,
    ),
    row(
        Do::CloseReckon,
        "close-reckon",
        "close",
        "Back to the screen; what is typed stays here until the program is left.",
        &[Key::Esc, Key::Char('q'), Key::Char('='), Key::Ctrl('c')],
        98,
    ),
];
