//! What a change of the plan does to what was already built, measured or accepted: steps fall back to "to be redone",
//! readings lapse, and findings that were accepted of other inputs are open again.

use std::collections::BTreeSet;

use super::Change;
use crate::{
    Book, check, measure,
    model::{
        About, Acceptance, Cavity, Connector, ContactFamily, End, Id, Junction, Key, Kind, Reading, Record,
        StepDone, Wire,
    },
    plan::{StepOf, changed_facts, differs_from},
};

/// The changes of built steps that follow from `changes`.
pub(super) fn follow(before: &Book, after: &Book, changes: &[Change]) -> Vec<Change> {
    let mut touched = Touched::default();
    let own: BTreeSet<Key> = changes.iter().filter_map(Change::key).collect();
    for key in &own {
        touched.by(before, *key, before);
        touched.by(after, *key, before);
    }
    let mut follows = Vec::new();
    for step in touched.steps(after) {
        // A step that the edit itself speaks of is the person's own word.
        let (false, Some(done)) = (own.contains(&Key::of(step)), after.get(step)) else {
            continue;
        };
        let of = StepOf {
            of: done.of,
            step: done.step,
        };
        let reasons = changed_facts(before, after, of);
        if reasons.is_empty() {
            continue;
        }
        let mut lapsed = done.clone();
        lapsed.redo = Some(match done.redo {
            None => reasons.join("; "),
            Some(_) => told_anew(after, done),
        });
        if lapsed.redo != done.redo {
            follows.push(Change::replace(done.clone(), lapsed));
        }
    }
    follows.extend(acceptances(before, after, &own));
    follows
}

/// Acceptances of which an input that they list has changed. They come back by a person's word only.
fn acceptances(before: &Book, after: &Book, own: &BTreeSet<Key>) -> Vec<Change> {
    let users = own.iter().flat_map(|key| before.index().users_of(*key));
    let about: BTreeSet<Id<Acceptance>> = users
        .filter(|user| !own.contains(user))
        .filter_map(|user| user.as_id())
        .collect();
    let open = about
        .into_iter()
        .filter_map(|id| after.get(id))
        .filter(|a| a.lapsed.is_none());
    open.filter_map(|acceptance| {
        let lapsed = Acceptance {
            lapsed: Some(check::input_changed(after, acceptance)?),
            ..acceptance.clone()
        };
        Some(Change::replace(acceptance.clone(), lapsed))
    })
    .collect()
}

/// Whether a change of such a record can make a reading lapse.
fn is_tested(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Wire
            | Kind::Cavity
            | Kind::Junction
            | Kind::ChassisPath
            | Kind::Part
            | Kind::State
            | Kind::About
    )
}

/// The changes of readings that follow from `changes`: those whose wires, ends, contacts or state are not as they were lapse.
pub(super) fn readings(before: &Book, after: &Book, changes: &[Change]) -> Vec<Change> {
    let own: BTreeSet<Key> = changes.iter().filter_map(Change::key).collect();
    let tested: BTreeSet<Key> = own.iter().copied().filter(|key| is_tested(key.kind)).collect();
    if tested.is_empty() || after.all::<Reading>().is_empty() {
        return Vec::new();
    }
    let mut touched = Touched::default();
    for key in &tested {
        touched.by(before, *key, before);
        touched.by(after, *key, before);
    }
    let mut look = tested.clone();
    look.extend(touched.wires.iter().map(|id| Key::of(*id)));
    look.extend(touched.junctions.iter().map(|id| Key::of(*id)));
    // A cavity's own facts name the wires at it.
    let ends = |book: &Book, key: &Key| {
        let wire: Option<Wire> = key.as_id().and_then(|id| book.get(id)).cloned();
        wire.map_or(Vec::new(), |wire| vec![wire.from, wire.to])
    };
    for key in &tested {
        for end in ends(before, key).into_iter().chain(ends(after, key)) {
            match end {
                End::Cavity(id) => look.insert(Key::of(id)),
                End::Junction(id) => look.insert(Key::of(id)),
                End::Free => false,
            };
        }
    }
    let changed: Vec<(Key, Vec<String>)> = look
        .into_iter()
        .map(|key| (key, measure::changed(before, after, key)))
        .filter(|(_, reasons)| !reasons.is_empty())
        .collect();
    if changed.is_empty() {
        return Vec::new();
    }
    let mut nets = None;
    let mut follows = Vec::new();
    for reading in after.all::<Reading>().values() {
        if reading.lapsed.is_some() || own.contains(&Key::of(reading.id)) {
            continue;
        }
        let rests_on = measure::keys_of(before, reading, &mut nets);
        let reasons: Vec<&str> = changed
            .iter()
            .filter(|(key, _)| rests_on.contains(key))
            .flat_map(|(_, reasons)| reasons.iter().map(String::as_str))
            .collect();
        if !reasons.is_empty() {
            let mut lapsed = reading.clone();
            lapsed.lapsed = Some(reasons.join("; "));
            follows.push(Change::replace(reading.clone(), lapsed));
        }
    }
    follows
}

/// Why a step that fell back before has to be redone now: the plan as it stands beside what was built.
///
/// Also where the plan is as it was: a person may have begun to change the thing meanwhile.
fn told_anew(after: &Book, done: &StepDone) -> String {
    let of = StepOf {
        of: done.of,
        step: done.step,
    };
    let reasons = differs_from(after, of, &done.rested_on);
    if reasons.is_empty() {
        return "changed and put back since: look whether it is still as it was ticked".to_owned();
    }
    reasons.join("; ")
}

/// Steps of what is removed go with it.
pub(super) fn steps_of_removed(before: &Book, changes: &[Change]) -> Vec<Change> {
    let own: BTreeSet<Key> = changes.iter().filter_map(Change::key).collect();
    let removed = changes
        .iter()
        .filter(|c| c.after.is_none())
        .filter_map(Change::key);
    let steps: BTreeSet<Id<StepDone>> = removed
        .flat_map(|key| before.index().users_of(key))
        .filter(|user| !own.contains(user))
        .filter_map(|user| user.as_id())
        .collect();
    steps
        .into_iter()
        .filter_map(|id| before.get(id).cloned().map(Change::remove))
        .collect()
}

/// Things whose steps a change may concern.
#[derive(Default)]
struct Touched {
    wires: BTreeSet<Id<Wire>>,
    connectors: BTreeSet<Id<Connector>>,
    junctions: BTreeSet<Id<Junction>>,
}

impl Touched {
    fn by(&mut self, book: &Book, key: Key, before: &Book) {
        if let Some(id) = key.as_id::<Wire>() {
            self.wire(book, id);
        } else if let Some(id) = key.as_id::<Cavity>() {
            self.cavity(book, id);
        } else if let Some(id) = key.as_id::<Connector>() {
            self.connectors.insert(id);
            for cavity in book.index().cavities_of.of(&id) {
                self.cavity(book, *cavity);
            }
        } else if let Some(id) = key.as_id::<Junction>() {
            self.junctions.insert(id);
            let wires = book.index().wires_at_junction.of(&id);
            self.wires.extend(wires.iter().map(|(wire, _)| *wire));
        } else if let Some(id) = key.as_id::<ContactFamily>() {
            let users = book.index().users_of(Key::of(id)).iter();
            for cavity in users.filter_map(|user| user.as_id::<Cavity>()) {
                self.cavity(book, cavity);
            }
        } else if let Some(id) = key.as_id::<About>() {
            // Wires that name no table or class of their own take the page's.
            let of = |book: &Book| book.get(id).map(|a| (a.size_table, a.insulation_class_c));
            if of(book) != of(before) {
                for wire in book.all::<Wire>().keys() {
                    self.wire(book, *wire);
                }
            }
        }
    }

    fn wire(&mut self, book: &Book, id: Id<Wire>) {
        self.wires.insert(id);
        let Some(wire) = book.get(id) else { return };
        for end in [wire.from, wire.to] {
            match end {
                End::Cavity(at) => self.connectors.extend(book.get(at).map(|c| c.connector)),
                End::Junction(at) => {
                    self.junctions.insert(at);
                }
                End::Free => {}
            }
        }
    }

    fn cavity(&mut self, book: &Book, id: Id<Cavity>) {
        let wires = book.index().wires_at_cavity.of(&id);
        self.wires.extend(wires.iter().map(|(wire, _)| *wire));
        self.connectors.extend(book.get(id).map(|c| c.connector));
    }

    fn steps(&self, book: &Book) -> BTreeSet<Id<StepDone>> {
        let index = book.index();
        let wires = self
            .wires
            .iter()
            .flat_map(|id| index.steps_of.of(id).iter().copied());
        let of = |key: Key| {
            index
                .users_of(key)
                .iter()
                .filter_map(|user| user.as_id::<StepDone>())
        };
        let connectors = self.connectors.iter().flat_map(|id| of(Key::of(*id)));
        let junctions = self.junctions.iter().flat_map(|id| of(Key::of(*id)));
        wires.chain(connectors).chain(junctions).collect()
    }
}

/// Whether a change is what [`follow`] adds: the record only learns that it has to be redone, or no longer counts.
pub(super) fn is_lapse(change: &Change) -> bool {
    match (&change.before, &change.after) {
        // The sentence may change as well, when the plan changes again.
        (Some(Record::StepDone(a)), Some(Record::StepDone(b))) => {
            let mut same = a.clone();
            same.redo.clone_from(&b.redo);
            b.redo.is_some() && same == *b
        }
        (Some(Record::Reading(a)), Some(Record::Reading(b))) => a.lapsed.is_none() && b.lapsed.is_some(),
        (Some(Record::Acceptance(a)), Some(Record::Acceptance(b))) => {
            a.lapsed.is_none() && b.lapsed.is_some()
        }
        _ => false,
    }
}

/// Whether records of this kind can lapse.
pub(super) fn can_lapse(kind: Kind) -> bool {
    matches!(kind, Kind::StepDone | Kind::Reading | Kind::Acceptance)
}
