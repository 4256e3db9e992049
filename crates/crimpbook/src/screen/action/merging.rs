//! What holds while another copy is merged.

use super::{Action, Available, Do, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Merging];
const NO_CONFLICT: &str = "nothing is to be chosen in this row; go up to one that is";

pub(super) const ROWS: &[Action] = &[
    entry(
        &[Where::Log],
        Do::Merge,
        "merge",
        "merge",
        "Bring in what another laptop's copy of this workbook has.",
        &[Key::Char('m')],
        6,
    )
    .when(|f| Available::when(!f.trying, "edits are being tried; keep or drop them first")),
    entry(
        HERE,
        Do::KeepMine,
        "keep-mine",
        "mine",
        "Keep what this copy says where both changed it.",
        &[Key::Char('m')],
        1,
    )
    .when(|f| Available::when(f.on_conflict, NO_CONFLICT)),
    entry(
        HERE,
        Do::KeepTheirs,
        "keep-theirs",
        "theirs",
        "Take what the other copy says.",
        &[Key::Char('t')],
        2,
    )
    .when(|f| Available::when(f.on_conflict, NO_CONFLICT)),
    entry(
        HERE,
        Do::ChooseLater,
        "choose-later",
        "reopen",
        "Take the choice back: it is open again.",
        &[Key::Char('o')],
        3,
    )
    .when(|f| Available::when(f.on_conflict, NO_CONFLICT)),
    entry(
        HERE,
        Do::RestMine,
        "rest-mine",
        "rest mine",
        "Keep what this copy says in all that is still open.",
        &[Key::Char('M')],
        0,
    ),
    entry(
        HERE,
        Do::RestTheirs,
        "rest-theirs",
        "rest theirs",
        "Take what the other copy says in all that is still open.",
        &[Key::Char('T')],
        0,
    ),
    entry(
        HERE,
        Do::BringIn,
        "bring-in",
        "bring it in",
        "Write the merge, once everything is chosen; it is asked for once more.",
        &[Key::Enter],
        4,
    )
    .when(|f| {
        Available::when(
            f.all_chosen,
            "something is not chosen yet; nothing is written before",
        )
    }),
    entry(
        HERE,
        Do::LeaveMerge,
        "leave-merge",
        "leave it",
        "Leave; neither copy is changed.",
        &[Key::Esc, Key::Char('q')],
        90,
    ),
    entry(
        HERE,
        Do::MergeUp,
        "merge-up",
        "up",
        "One row up.",
        &[Key::Up, Key::Char('k')],
        0,
    ),
    entry(
        HERE,
        Do::MergeDown,
        "merge-down",
        "down",
        "One row down.",
        &[Key::Down, Key::Char('j')],
        5,
    ),
    entry(
        HERE,
        Do::MergePageUp,
        "merge-page-up",
        "page up",
        "Ten up.",
        &[Key::PageUp],
        0,
    ),
    entry(
        HERE,
        Do::MergePageDown,
        "merge-page-down",
        "page down",
        "Ten down.",
        &[Key::PageDown],
        0,
    ),
];
