//! Indexes over the tables: who is in what, who ends where.

use std::collections::{BTreeMap, HashMap};

use crate::model::{
    Candidate, Cavity, Connector, End, Id, Junction, Key, Kind, Part, Record, Row, StepDone, Tables,
    Terminal, Unit, Wire, WireEnd,
};

/// Everything that is looked up the other way round.
#[derive(Debug, Clone, Default)]
pub struct Index {
    /// Cavities of a connector, in the order of their numbers.
    pub cavities_of: HashMap<Id<Connector>, Vec<Id<Cavity>>>,
    /// Connectors of a unit, by label.
    pub connectors_of: HashMap<Id<Unit>, Vec<Id<Connector>>>,
    /// Inside parts of a unit, by label.
    pub parts_of: HashMap<Id<Unit>, Vec<Id<Part>>>,
    /// Inside parts at a terminal, with the place of the end.
    pub parts_at: HashMap<Terminal, Vec<(Id<Part>, usize)>>,
    /// Wires that end at a cavity.
    pub wires_at_cavity: HashMap<Id<Cavity>, Vec<(Id<Wire>, WireEnd)>>,
    /// Wires that end at a splice or stud.
    pub wires_at_junction: HashMap<Id<Junction>, Vec<(Id<Wire>, WireEnd)>>,
    /// Build steps of a wire.
    pub steps_of: HashMap<Id<Wire>, Vec<Id<StepDone>>>,
    /// Candidates weighed for a cavity.
    pub candidates_of: HashMap<Id<Cavity>, Vec<Id<Candidate>>>,
    /// Records by kind and label, in lower case.
    pub by_label: BTreeMap<(Kind, String), Key>,
}

impl Index {
    /// The indexes of these tables.
    pub fn of(tables: &Tables) -> Self {
        let mut index = Self::default();
        index.place_labels(tables);
        for cavity in tables.cavities.values() {
            index
                .cavities_of
                .entry(cavity.connector)
                .or_default()
                .push(cavity.id);
        }
        for list in index.cavities_of.values_mut() {
            list.sort_by_cached_key(|id| tables.cavities.get(id).map(|c| natural(&c.number)));
        }
        for connector in tables.connectors.values() {
            index
                .connectors_of
                .entry(connector.unit)
                .or_default()
                .push(connector.id);
        }
        for list in index.connectors_of.values_mut() {
            list.sort_by_cached_key(|id| tables.connectors.get(id).map(|c| natural(&c.label)));
        }
        for part in tables.parts.values() {
            index.parts_of.entry(part.unit).or_default().push(part.id);
            for (place, end) in part.ends.iter().enumerate() {
                index
                    .parts_at
                    .entry(end.clone())
                    .or_default()
                    .push((part.id, place));
            }
        }
        for wire in tables.wires.values() {
            for (end, which) in [(wire.from, WireEnd::From), (wire.to, WireEnd::To)] {
                match end {
                    End::Cavity(id) => index
                        .wires_at_cavity
                        .entry(id)
                        .or_default()
                        .push((wire.id, which)),
                    End::Junction(id) => index
                        .wires_at_junction
                        .entry(id)
                        .or_default()
                        .push((wire.id, which)),
                    End::Free => {}
                }
            }
        }
        for step in tables.steps_done.values() {
            if let crate::model::Built::Wire(wire) | crate::model::Built::End { wire, .. } = step.of {
                index.steps_of.entry(wire).or_default().push(step.id);
            }
        }
        for candidate in tables.candidates.values() {
            index
                .candidates_of
                .entry(candidate.sink)
                .or_default()
                .push(candidate.id);
        }
        index
    }

    fn place_labels(&mut self, tables: &Tables) {
        fn place<R: Row>(index: &mut Index, tables: &Tables) {
            for row in R::table(tables).values().filter(|row| !row.label().is_empty()) {
                index
                    .by_label
                    .insert((R::KIND, row.label().to_lowercase()), Key::of(row.id()));
            }
        }
        place::<Unit>(self, tables);
        place::<Connector>(self, tables);
        place::<Junction>(self, tables);
        place::<Wire>(self, tables);
        place::<Part>(self, tables);
        place::<crate::model::Zone>(self, tables);
        place::<crate::model::Bundle>(self, tables);
        place::<crate::model::ContactFamily>(self, tables);
        place::<crate::model::Fuse>(self, tables);
        place::<crate::model::Switch>(self, tables);
        place::<crate::model::State>(self, tables);
        place::<crate::model::Expression>(self, tables);
        place::<crate::model::Rule>(self, tables);
    }

    /// The record of kind `R` with this label, whatever its case.
    pub fn labelled<R: Row>(&self, label: &str) -> Option<Id<R>> {
        self.by_label
            .get(&(R::KIND, label.to_lowercase()))
            .and_then(|key| key.as_id())
    }
}

/// Whether two records may not share a label: all kinds whose label people type.
pub fn unique_label(record: &Record) -> bool {
    !record.label().is_empty() && !matches!(record.key().kind, Kind::About | Kind::Setting)
}

/// A key that sorts `A2` before `A10`.
pub fn natural(text: &str) -> Vec<(String, u64)> {
    let mut key = Vec::new();
    let mut word = String::new();
    let mut digits = String::new();
    for c in text.chars() {
        if c.is_ascii_digit() {
            digits.push(c);
        } else {
            if !digits.is_empty() {
                key.push((std::mem::take(&mut word), digits.parse().unwrap_or(u64::MAX)));
                digits.clear();
            }
            word.extend(c.to_lowercase());
        }
    }
    key.push((word, digits.parse().unwrap_or(0)));
    key
}

#[cfg(test)]
mod tests {
    use super::natural;

    #[test]
    fn numbers_sort_as_numbers() {
        let mut labels = ["W10", "W2", "SP1", "w1", "A", "10", "9"];
        labels.sort_by_key(|l| natural(l));
        assert_eq!(labels, ["9", "10", "A", "SP1", "w1", "W2", "W10"]);
    }
}
