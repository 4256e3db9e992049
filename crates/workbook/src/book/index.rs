//! Indexes over the tables: who is in what, who ends where, who names whom. Kept up to date change by change.

use std::collections::HashSet;

use super::{Lists, natural};
use crate::edit::Change;
use crate::model::{
    Built, Candidate, Cavity, Connector, Decision, End, Id, Junction, Key, Kind, Part, Record, RecordRef,
    Row, StepDone, Tables, Terminal, Unit, Wire, WireEnd,
};

/// Everything that is looked up the other way round. Lists are in order of ids where nothing else is said.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Index {
    /// Cavities of a connector, in the order of their numbers.
    pub cavities_of: Lists<Id<Connector>, Id<Cavity>>,
    /// Connectors of a unit, by label.
    pub connectors_of: Lists<Id<Unit>, Id<Connector>>,
    /// Inside parts of a unit, by label.
    pub parts_of: Lists<Id<Unit>, Id<Part>>,
    /// Inside parts at a terminal, with the place of the end.
    pub parts_at: Lists<Terminal, (Id<Part>, usize)>,
    /// Wires that end at a cavity.
    pub wires_at_cavity: Lists<Id<Cavity>, (Id<Wire>, WireEnd)>,
    /// Wires that end at a splice or stud.
    pub wires_at_junction: Lists<Id<Junction>, (Id<Wire>, WireEnd)>,
    /// Cavities that are bridged to a cavity.
    pub bridged_to: Lists<Id<Cavity>, Id<Cavity>>,
    /// Build steps of a wire, its ends included.
    pub steps_of: Lists<Id<Wire>, Id<StepDone>>,
    /// Candidates weighed for a cavity.
    pub candidates_of: Lists<Id<Cavity>, Id<Candidate>>,
    /// Records by kind and label, in lower case; several only while a label is taken twice, which no edit may leave.
    pub by_label: Lists<(Kind, String), Key>,
    /// Records that name a record.
    pub users: Lists<Key, Key>,
}

/// One place of one index that a record takes.
#[derive(Debug, Clone, PartialEq)]
enum Entry {
    Cavity(Id<Connector>, Id<Cavity>, String),
    Connector(Id<Unit>, Id<Connector>, String),
    Part(Id<Unit>, Id<Part>, String),
    PartAt(Terminal, Id<Part>, usize),
    AtCavity(Id<Cavity>, Id<Wire>, WireEnd),
    AtJunction(Id<Junction>, Id<Wire>, WireEnd),
    Bridge(Id<Cavity>, Id<Cavity>),
    Step(Id<Wire>, Id<StepDone>),
    Candidate(Id<Cavity>, Id<Candidate>),
    Label(Kind, String, Key),
    User(Key, Key),
}

impl Index {
    /// The indexes of these tables.
    pub fn of(tables: &Tables) -> Self {
        let mut index = Self::default();
        for kind in Kind::ALL {
            tables.each_ref(*kind, &mut |record| {
                entries(record, &mut |entry| index.push(entry))
            });
        }
        let cavity = |id: &Id<Cavity>| tables.cavities.get(id).map(|c| natural(&c.number));
        index
            .cavities_of
            .sort_each(|list| list.sort_by_cached_key(cavity));
        let connector = |id: &Id<Connector>| tables.connectors.get(id).map(|c| natural(&c.label));
        index
            .connectors_of
            .sort_each(|list| list.sort_by_cached_key(connector));
        let part = |id: &Id<Part>| tables.parts.get(id).map(|p| natural(&p.label));
        index.parts_of.sort_each(|list| list.sort_by_cached_key(part));
        index
    }

    /// Follows changes of records that `tables` already hold, each as it was and as it is.
    pub(super) fn follow(&mut self, tables: &Tables, changes: &[Change]) {
        let of = |record: &Option<Record>| {
            let mut all = Vec::new();
            if let Some(record) = record {
                entries(record.as_ref(), &mut |entry| all.push(entry));
            }
            all
        };
        let mut added = Vec::new();
        // All that goes before all that comes: in between, the lists hold only records that did not change.
        for change in changes {
            let (old, new) = (of(&change.before), of(&change.after));
            for entry in &old {
                if !new.contains(entry) {
                    self.take(entry);
                }
            }
            added.extend(new.into_iter().filter(|entry| !old.contains(entry)));
        }
        for entry in added {
            self.add(tables, entry);
        }
    }

    fn push(&mut self, entry: Entry) {
        match entry {
            Entry::Cavity(of, id, _) => self.cavities_of.push(of, id),
            Entry::Connector(of, id, _) => self.connectors_of.push(of, id),
            Entry::Part(of, id, _) => self.parts_of.push(of, id),
            Entry::PartAt(at, id, place) => self.parts_at.push(at, (id, place)),
            Entry::AtCavity(at, id, end) => self.wires_at_cavity.push(at, (id, end)),
            Entry::AtJunction(at, id, end) => self.wires_at_junction.push(at, (id, end)),
            Entry::Bridge(to, id) => self.bridged_to.push(to, id),
            Entry::Step(of, id) => self.steps_of.push(of, id),
            Entry::Candidate(of, id) => self.candidates_of.push(of, id),
            Entry::Label(kind, label, key) => self.by_label.push((kind, label), key),
            Entry::User(of, user) => self.users.push(of, user),
        }
    }

    fn add(&mut self, tables: &Tables, entry: Entry) {
        match entry {
            Entry::Cavity(of, id, number) => {
                let place = (natural(&number), id);
                let key = |c: &Id<Cavity>| tables.cavities.get(c).map(|row| (natural(&row.number), *c));
                self.cavities_of.insert(of, id, |c| key(c) < Some(place.clone()));
            }
            Entry::Connector(of, id, label) => {
                let place = (natural(&label), id);
                let key = |c: &Id<Connector>| tables.connectors.get(c).map(|row| (natural(&row.label), *c));
                self.connectors_of
                    .insert(of, id, |c| key(c) < Some(place.clone()));
            }
            Entry::Part(of, id, label) => {
                let place = (natural(&label), id);
                let key = |p: &Id<Part>| tables.parts.get(p).map(|row| (natural(&row.label), *p));
                self.parts_of.insert(of, id, |p| key(p) < Some(place.clone()));
            }
            Entry::PartAt(at, id, place) => {
                self.parts_at
                    .insert(at, (id, place), |other| *other < (id, place));
            }
            Entry::AtCavity(at, id, end) => {
                self.wires_at_cavity
                    .insert(at, (id, end), |other| *other < (id, end));
            }
            Entry::AtJunction(at, id, end) => {
                self.wires_at_junction
                    .insert(at, (id, end), |other| *other < (id, end));
            }
            Entry::Bridge(to, id) => self.bridged_to.insert(to, id, |other| *other < id),
            Entry::Step(of, id) => self.steps_of.insert(of, id, |other| *other < id),
            Entry::Candidate(of, id) => self.candidates_of.insert(of, id, |other| *other < id),
            Entry::Label(kind, label, key) => self.by_label.insert((kind, label), key, |other| *other < key),
            Entry::User(of, user) => self.users.insert(of, user, |other| *other < user),
        }
    }

    fn take(&mut self, entry: &Entry) {
        match entry {
            Entry::Cavity(of, id, _) => self.cavities_of.take(of, |c| c == id),
            Entry::Connector(of, id, _) => self.connectors_of.take(of, |c| c == id),
            Entry::Part(of, id, _) => self.parts_of.take(of, |p| p == id),
            Entry::PartAt(at, id, place) => self.parts_at.take(at, |p| *p == (*id, *place)),
            Entry::AtCavity(at, id, end) => self.wires_at_cavity.take(at, |w| *w == (*id, *end)),
            Entry::AtJunction(at, id, end) => self.wires_at_junction.take(at, |w| *w == (*id, *end)),
            Entry::Bridge(to, id) => self.bridged_to.take(to, |c| c == id),
            Entry::Step(of, id) => self.steps_of.take(of, |s| s == id),
            Entry::Candidate(of, id) => self.candidates_of.take(of, |c| c == id),
            Entry::Label(kind, label, key) => self.by_label.take(&(*kind, label.clone()), |k| k == key),
            Entry::User(of, user) => self.users.take(of, |u| u == user),
        }
    }

    /// The record of kind `R` with this label, whatever its case.
    pub fn labelled<R: Row>(&self, label: &str) -> Option<Id<R>> {
        self.key_labelled(R::KIND, label).and_then(Key::as_id)
    }

    /// The record of this kind with this label, whatever its case.
    pub fn key_labelled(&self, kind: Kind, label: &str) -> Option<Key> {
        self.by_label.of(&(kind, label.to_lowercase())).first().copied()
    }

    /// Records that name this one in a field.
    pub fn users_of(&self, key: Key) -> &[Key] {
        self.users.of(&key)
    }
}

/// Calls `see` for each place a record takes.
fn entries(record: RecordRef, see: &mut dyn FnMut(Entry)) {
    let key = record.key();
    let mut named = Named::default();
    record.refs(&mut |reference| {
        if named.is_new(reference.key) {
            see(Entry::User(reference.key, key));
        }
    });
    if !record.label().is_empty() && has_unique_label(key.kind) {
        see(Entry::Label(key.kind, record.label().to_lowercase(), key));
    }
    match record {
        RecordRef::Cavity(c) => {
            see(Entry::Cavity(c.connector, c.id, c.number.clone()));
            if let Decision::Bridged { to } = c.decision {
                see(Entry::Bridge(to, c.id));
            }
        }
        RecordRef::Connector(c) => see(Entry::Connector(c.unit, c.id, c.label.clone())),
        RecordRef::Part(p) => {
            see(Entry::Part(p.unit, p.id, p.label.clone()));
            for (place, end) in p.ends.iter().enumerate() {
                see(Entry::PartAt(end.clone(), p.id, place));
            }
        }
        RecordRef::Wire(w) => {
            for (end, which) in [(w.from, WireEnd::From), (w.to, WireEnd::To)] {
                match end {
                    End::Cavity(at) => see(Entry::AtCavity(at, w.id, which)),
                    End::Junction(at) => see(Entry::AtJunction(at, w.id, which)),
                    End::Free => {}
                }
            }
        }
        RecordRef::StepDone(s) => {
            if let Built::Wire(wire) | Built::End { wire, .. } = s.of {
                see(Entry::Step(wire, s.id));
            }
        }
        RecordRef::Candidate(c) => see(Entry::Candidate(c.sink, c.id)),
        _ => {}
    }
}

/// The records that one names: few, but for a state of a large workbook.
#[derive(Default)]
struct Named {
    few: Vec<Key>,
    many: HashSet<Key>,
}

impl Named {
    /// Whether it was not named before.
    fn is_new(&mut self, key: Key) -> bool {
        if self.few.len() < 16 {
            let new = !self.few.contains(&key);
            self.few.extend(new.then_some(key));
            return new;
        }
        !self.few.contains(&key) && self.many.insert(key)
    }
}

/// Whether two records may not share a label: all kinds whose label people type.
pub fn unique_label(record: &Record) -> bool {
    !record.label().is_empty() && has_unique_label(record.key().kind)
}

fn has_unique_label(kind: Kind) -> bool {
    !matches!(kind, Kind::About | Kind::Setting)
}
