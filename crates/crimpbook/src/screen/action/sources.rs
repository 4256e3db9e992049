//! What holds on Sources.

use super::{Action, Available, Do, Facts, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Sources];

fn on_signal(facts: &Facts) -> Available {
    Available::when(facts.on_signal, "there is no input or output here")
}

fn on_candidate(facts: &Facts) -> Available {
    Available::when(
        facts.on_candidate,
        "go to a source that was weighed first, with the right arrow",
    )
}

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Weigh,
        name: "weigh",
        label: "weigh a source",
        help: "Enter a source that could give this signal, with what speaks for and against.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 2,
        available: on_signal,
    },
    Action {
        act: Do::Choose,
        name: "choose",
        label: "choose",
        help: "Take the source under the cursor; adds the wire where there is none.",
        holds: HERE,
        keys: &[Key::Char('y')],
        hint: 3,
        available: on_candidate,
    },
    Action {
        act: Do::Refuse,
        name: "refuse",
        label: "refuse",
        help: "Refuse the source under the cursor, with a why; it stays on record.",
        holds: HERE,
        keys: &[Key::Char('n')],
        hint: 4,
        available: on_candidate,
    },
    Action {
        act: Do::OnlyOpen,
        name: "only-open",
        label: "only open",
        help: "Only inputs that have no source, or all again.",
        holds: HERE,
        keys: &[Key::Char('o')],
        hint: 5,
        available: always,
    },
    Action {
        act: Do::ShowOnFace,
        name: "show-cavity",
        label: "face",
        help: "Go to this cavity on the Face.",
        holds: HERE,
        keys: &[Key::Char('f')],
        hint: 6,
        available: on_signal,
    },
    Action {
        act: Do::EditCavity,
        name: "edit-signal",
        label: "edit",
        help: "What the manual says of this cavity: function, kind, levels.",
        holds: HERE,
        keys: &[Key::Char('e')],
        hint: 7,
        available: on_signal,
    },
];
