//! What holds on Build. The keys that answer for a step lie far apart.

use super::{Action, Available, Do, Facts, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Build];

fn has_step(facts: &Facts) -> Available {
    Available::when(facts.has_step, "there is nothing to build yet; add wires first")
}

pub(super) const ROWS: &[Action] = &[
    entry(
        HERE,
        Do::StepDone,
        "step-done",
        "done",
        "This step is done and accepted; goes on to the next.",
        &[Key::Char(' '), Key::Enter],
        1,
    )
    .when(has_step),
    entry(
        HERE,
        Do::StepFailed,
        "step-failed",
        "failed",
        "This step was tried and not accepted; asks what was wrong.",
        &[Key::Char('x')],
        2,
    )
    .when(has_step),
    entry(
        HERE,
        Do::StepSkipped,
        "step-skipped",
        "skip",
        "Leave this step out on purpose; goes on to the next.",
        &[Key::Char('s')],
        3,
    )
    .when(has_step),
    entry(
        HERE,
        Do::Pause,
        "pause",
        "pause",
        "Leave this place; the next start comes back to it.",
        &[Key::Char('p')],
        4,
    )
    .when(has_step),
    entry(
        HERE,
        Do::NextItem,
        "next-open",
        "next open",
        "To the next wire that has something open.",
        &[Key::Char('n')],
        5,
    )
    .when(has_step),
    entry(
        HERE,
        Do::Order,
        "order",
        "order",
        "Next order: in passes, by connector, size and colour, route, number.",
        &[Key::Char('o'), Key::Char('O')],
        6,
    )
    .when(has_step),
    entry(
        HERE,
        Do::Filter,
        "filter",
        "filter",
        "Only some of it, such as RD 0.5, or insert MC-A.",
        &[Key::Char('f'), Key::Char('F')],
        7,
    )
    .when(has_step),
    entry(
        HERE,
        Do::Flip,
        "flip-build",
        "other side",
        "Look at the face from the other side.",
        &[Key::Char('v')],
        8,
    )
    .when(has_step),
    entry(
        HERE,
        Do::ShowOnFace,
        "show-on-face",
        "show on face",
        "Go to this cavity on the Face.",
        &[Key::Char('w')],
        0,
    )
    .when(has_step),
    entry(
        HERE,
        Do::Bell,
        "bell",
        "bell",
        "The bell: once for a step done, twice for one failed; off at the start.",
        &[Key::Char('b')],
        0,
    )
    .when(has_step),
];
