//! What holds on the Face.

use super::{Action, Available, Do, Facts, Where, always, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Face];

fn on_cavity(facts: &Facts) -> Available {
    Available::when(
        facts.on_cavity,
        "there is no cavity here yet; add a connector first",
    )
}

pub(super) const ROWS: &[Action] = &[
    entry(
        HERE,
        Do::Decide,
        "decide",
        "decide",
        "Decide this cavity, or all that are marked, with a why.",
        &[Key::Char('d')],
        1,
    )
    .when(on_cavity),
    Action {
        act: Do::SameAgain,
        name: "same-again",
        label: "same again",
        help: "The last decision with the same why, for this one or all marked; moves on.",
        holds: HERE,
        keys: &[Key::Char('.')],
        hint: 2,
        available: |f| {
            if f.has_last_decision {
                Available::when(f.on_cavity, "there is no cavity here yet")
            } else {
                Available::No("nothing was decided yet since the start")
            }
        },
    },
    entry(
        HERE,
        Do::WireFromHere,
        "wire-here",
        "wire",
        "Add a wire here, or change the one that is there.",
        &[Key::Char('w'), Key::Enter],
        3,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::Flip,
        "flip",
        "flip",
        "Look from the other side: mating side, wire side.",
        &[Key::Char('f')],
        4,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::Mark,
        "mark",
        "mark",
        "Mark this cavity, or take the mark off.",
        &[Key::Char(' ')],
        5,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::MarkRun,
        "mark-run",
        "run",
        "Start marking a run; move to its other end. Again: done.",
        &[Key::Char('v')],
        6,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::Bridge,
        "bridge",
        "bridge",
        "Bridge two marked cavities, or the marked one and this one.",
        &[Key::Char('b')],
        7,
    )
    .when(on_cavity),
    Action {
        act: Do::LikeLastWire,
        name: "like-last-wire",
        label: "like last wire",
        help: "A wire like the last one at this cavity, both ends moved on; then the next.",
        holds: HERE,
        keys: &[Key::Char('n')],
        hint: 9,
        available: |f| {
            if f.has_wire {
                Available::when(!f.on_wire && f.on_cavity, "this cavity has a wire already")
            } else {
                Available::No("there is no wire yet to do it like")
            }
        },
    },
    entry(
        HERE,
        Do::PairFromHere,
        "pair-here",
        "pair",
        "Add both wires of a twisted or shielded pair at once.",
        &[Key::Char('t')],
        0,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::EditCavity,
        "edit-cavity",
        "edit",
        "What the manual says of this cavity: function, kind, levels.",
        &[Key::Char('e')],
        8,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::Describe,
        "describe",
        "describe",
        "Type function and kind of one cavity after the other; rows can be pasted.",
        &[Key::Char('i')],
        9,
    )
    .when(on_cavity),
    entry(
        HERE,
        Do::Weigh,
        "weigh-here",
        "weigh a source",
        "Weigh a source for this cavity.",
        &[Key::Char('y')],
        0,
    )
    .when(on_cavity),
    Action {
        act: Do::EditConnector,
        name: "edit-connector",
        label: "edit connector",
        help: "The connector itself: name, face, sealed.",
        holds: HERE,
        keys: &[Key::Char('E')],
        hint: 0,
        available: |f| Available::when(f.has_connector, "there is no connector yet"),
    },
    Action {
        act: Do::AddConnector,
        name: "add-connector",
        label: "add connector",
        help: "Add a connector with a face; its cavities come with it.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 10,
        available: |f| {
            Available::when(
                f.has_unit,
                "a connector belongs to a unit; add a unit in Parts first",
            )
        },
    },
    Action {
        act: Do::NextConnector,
        name: "next-connector",
        label: "next connector",
        help: "The next connector.",
        holds: &[Where::Face, Where::States],
        keys: &[Key::Char(']')],
        hint: 0,
        available: always,
    },
    Action {
        act: Do::PreviousConnector,
        name: "previous-connector",
        label: "connector before",
        help: "The connector before.",
        holds: &[Where::Face, Where::States],
        keys: &[Key::Char('[')],
        hint: 0,
        available: always,
    },
];
