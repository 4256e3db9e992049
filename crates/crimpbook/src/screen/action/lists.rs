//! What holds where a list is shown: its order, and the words its rows are held to.

use super::{Action, Available, Do, Facts, Where};
use crate::screen::keys::Key;

const LISTS: &[Where] = &[
    Where::Overview,
    Where::Sources,
    Where::Protection,
    Where::States,
    Where::Tests,
    Where::Settings,
    Where::Trials,
    Where::Log,
    Where::Parts,
];

fn has_orders(facts: &Facts) -> Available {
    Available::when(
        facts.has_orders,
        "what is shown has one order only, which means something",
    )
}

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::ListOrder,
        name: "list-order",
        label: "order",
        help: "The next order of this list, such as by size; it stays for the next time.",
        holds: LISTS,
        keys: &[Key::Char('O')],
        hint: 83,
        available: has_orders,
    },
    Action {
        act: Do::TurnOrder,
        name: "turn-order",
        label: "turn order",
        help: "Turn the order of this list round.",
        holds: LISTS,
        keys: &[Key::Char('V')],
        hint: 0,
        available: has_orders,
    },
    Action {
        act: Do::OnlyWith,
        name: "only-with",
        label: "filter",
        help: "Only rows with some words, such as RD 0.5; it stays for the next time.",
        holds: LISTS,
        keys: &[Key::Char('F')],
        hint: 84,
        available: |f| Available::when(f.has_list, "what is shown is no list; go to a list first"),
    },
];
