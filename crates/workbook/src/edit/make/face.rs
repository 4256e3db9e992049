//! The face of a connector that is there.

use std::collections::HashSet;

use super::{Change, Edit, Refusal, cannot, connector::cavity_row, need};
use crate::{
    Book,
    model::{Cavity, Connector, Decision, Id, IdMaker, Key, face::Face},
};

/// Describes the face. Cavities that it shows and the workbook lacks are made; ones that it does not show are removed if
/// nothing is known of them.
///
/// # Errors
/// The line is not understood; a cavity that something is known of would be lost.
pub fn set_face(
    book: &Book,
    ids: &mut IdMaker,
    connector: Id<Connector>,
    line: &str,
) -> Result<Edit, Refusal> {
    let before = need(book, connector)?;
    let line = line.trim();
    let mut after = before.clone();
    let mut changes = Vec::new();
    if line.is_empty() {
        after.face = String::new();
    } else {
        let face = Face::parse(line).map_err(|e| cannot(book, connector, e.to_string()))?;
        after.face = face.to_string();
        let shown: HashSet<String> = face.numbers().map(str::to_lowercase).collect();
        let cavities = book.cavities_of(connector);
        let there: HashSet<String> = cavities.iter().map(|c| c.number.to_lowercase()).collect();
        for lost in cavities
            .iter()
            .filter(|c| !shown.contains(&c.number.to_lowercase()))
        {
            if is_known(book, lost) {
                return Err(cannot(
                    book,
                    lost.id,
                    "is not on this face, but something is known of it; change the line, or remove the cavity first",
                ));
            }
            changes.push(Change::remove((*lost).clone()));
        }
        for number in face.numbers().filter(|n| !there.contains(&n.to_lowercase())) {
            changes.push(Change::make(cavity_row(ids.make(), connector, number)));
        }
    }
    if after != *before {
        changes.insert(0, Change::replace(before.clone(), after.clone()));
    }
    if changes.is_empty() {
        return Err(cannot(
            book,
            connector,
            "has this face already; nothing to change",
        ));
    }
    let title = match after.face.as_str() {
        "" => format!("{}: face taken away", before.label),
        face => format!(
            "{}: face {}",
            before.label,
            face.chars().take(60).collect::<String>()
        ),
    };
    Ok(Edit::design(title, changes))
}

/// Whether anybody has said anything of a cavity.
fn is_known(book: &Book, cavity: &Cavity) -> bool {
    let bare = cavity_row(cavity.id, cavity.connector, &cavity.number);
    cavity.decision != Decision::Undecided
        || *cavity != bare
        || !book.index().users_of(Key::of(cavity.id)).is_empty()
}
