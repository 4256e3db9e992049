//! What holds on Protection.

use super::{Action, Available, Do, Facts, Where};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Protection];

fn computed(facts: &Facts) -> Available {
    Available::when(facts.computed, "the figures are being computed")
}

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Picture,
        name: "picture",
        label: "picture",
        help: "The fuse and wire picture of the fuse here; the same key goes back.",
        holds: HERE,
        keys: &[Key::Char('p')],
        hint: 3,
        available: computed,
    },
    Action {
        act: Do::FarEnds,
        name: "far-ends",
        label: "far ends",
        help: "Shorts at the far end of every wire: what flows, when the fuse has opened.",
        holds: HERE,
        keys: &[Key::Char('f')],
        hint: 4,
        available: computed,
    },
    Action {
        holds: &[Where::Protection, Where::States],
        hint: 2,
        ..SUPPOSE
    },
    // Where more is done with a wire than looked at, other keys come first in the bottom line.
    Action {
        name: "suppose-here",
        holds: &[Where::Face, Where::Sources, Where::Parts],
        hint: 12,
        ..SUPPOSE
    },
];

const SUPPOSE: Action = Action {
    act: Do::Suppose,
    name: "suppose",
    label: "suppose",
    help: "What happens if this wire is off or touches, its fuse, plug or ground fails.",
    holds: &[],
    keys: &[Key::Char('s')],
    hint: 0,
    available: |f| Available::when(f.wire_here, "there is no wire here"),
};
