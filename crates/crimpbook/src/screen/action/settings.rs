//! What holds on Settings.

use super::{Action, Available, Do, Where, always};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Settings];
const EMPTY: &str = "no setting is entered yet";

pub(super) const ROWS: &[Action] = &[
    Action {
        act: Do::Turn,
        name: "turn",
        label: "turn",
        help: "Turn the setting to another value, with its why.",
        holds: HERE,
        keys: &[Key::Char('v'), Key::Char(' ')],
        hint: 1,
        available: |f| Available::when(f.on_setting, EMPTY),
    },
    Action {
        act: Do::EditSetting,
        name: "edit-setting",
        label: "edit",
        help: "All of the setting: limits, what it comes with, page, cavities, what it sets.",
        holds: HERE,
        keys: &[Key::Enter, Key::Char('e')],
        hint: 2,
        available: |f| Available::when(f.on_setting, EMPTY),
    },
    Action {
        act: Do::AddSetting,
        name: "add-setting",
        label: "add",
        help: "Enter a setting of a unit's software.",
        holds: HERE,
        keys: &[Key::Char('a')],
        hint: 3,
        available: |f| Available::when(f.has_unit, "enter a unit first, in Parts"),
    },
    Action {
        act: Do::SettingPast,
        name: "setting-past",
        label: "past",
        help: "What the setting was, when, and why it was turned.",
        holds: HERE,
        keys: &[Key::Char('d')],
        hint: 4,
        available: |f| Available::when(f.on_setting, EMPTY),
    },
    Action {
        act: Do::AsLeft,
        name: "as-left",
        label: "as left",
        help: "Hold values against those left at the last release; again: the one before.",
        holds: HERE,
        keys: &[Key::Char('r')],
        hint: 5,
        available: always,
    },
    Action {
        act: Do::RemoveSetting,
        name: "remove-setting",
        label: "remove",
        help: "Remove the setting; a word and a why have to be typed, and it can be undone.",
        holds: HERE,
        keys: &[Key::Char('D')],
        hint: 6,
        available: |f| Available::when(f.on_setting, EMPTY),
    },
];
