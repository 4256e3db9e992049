//! Units as part files, wherever a unit is at hand.

use super::{Action, Available, Do, Where, entry};
use crate::screen::keys::Key;

const HERE: &[Where] = &[Where::Face, Where::Sources, Where::Parts];

pub(super) const ROWS: &[Action] = &[
    entry(
        HERE,
        Do::UsePart,
        "use-part",
        "use a part",
        "Add a unit from a part file, or a generic one: relay, pedal, fuse box.",
        &[Key::Char('p')],
        0,
    ),
    entry(
        HERE,
        Do::SavePart,
        "save-part",
        "save as part",
        "Save the unit here as a part file, to be used in any workbook.",
        &[Key::Char('P')],
        0,
    )
    .when(|f| Available::when(f.unit_here, "there is no unit here")),
];
