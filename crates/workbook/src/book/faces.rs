//! The face of a connector as the book knows it.

use super::Book;
use crate::model::{Cavity, Connector, Id, face::Face};

impl Book {
    /// The connector's face; a plain list of its cavities, marked as guessed, where its line says nothing usable.
    pub fn face_of(&self, connector: Id<Connector>) -> Face {
        let cavities = self.cavities_of(connector);
        let line = self.get(connector).map_or("", |c| c.face.as_str());
        match Face::parse(line) {
            Ok(face) if fits(&face, &cavities) => face,
            _ => Face::guess(cavities.iter().map(|c| c.number.as_str())),
        }
    }

    /// The cavities of a connector in the order of their numbers.
    pub fn cavities_of(&self, connector: Id<Connector>) -> Vec<&Cavity> {
        let ids = self.index().cavities_of.get(&connector);
        ids.into_iter().flatten().filter_map(|id| self.get(*id)).collect()
    }
}

/// Whether the face's numbers are those of the cavities (all of them, and no other).
fn fits(face: &Face, cavities: &[&Cavity]) -> bool {
    let lower: std::collections::HashSet<String> = face.numbers().map(str::to_lowercase).collect();
    face.len() == cavities.len() && cavities.iter().all(|c| lower.contains(&c.number.to_lowercase()))
}
