//! Gives records other ids, in every field that names one.

use crimpbook_workbook::model::{Decision, Driver, Id, Key, PartKind, RecordLists, Row, Terminal};

/// Puts the id that `new` gives for each key in its place. One that it does not know stays.
pub fn remap(records: &mut RecordLists, new: &dyn Fn(Key) -> Option<u128>) {
    fn put<R: Row>(id: &mut Id<R>, new: &dyn Fn(Key) -> Option<u128>) {
        if let Some(bits) = new(Key::of(*id)) {
            *id = Id::from_bits(bits);
        }
    }
    let any = |terminal: &mut Terminal| match terminal {
        Terminal::Cavity(id) => put(id, new),
        Terminal::Junction(id) => put(id, new),
        Terminal::Inner { unit, .. } => put(unit, new),
    };
    for row in &mut records.units {
        put(&mut row.id, new);
    }
    for row in &mut records.contact_families {
        put(&mut row.id, new);
    }
    for row in &mut records.connectors {
        put(&mut row.id, new);
        put(&mut row.unit, new);
        row.couples_to.iter_mut().for_each(|id| put(id, new));
    }
    for row in &mut records.cavities {
        put(&mut row.id, new);
        put(&mut row.connector, new);
        row.contact.iter_mut().for_each(|id| put(id, new));
        if let Decision::Bridged { to } = &mut row.decision {
            put(to, new);
        }
    }
    for row in &mut records.junctions {
        put(&mut row.id, new);
        row.unit.iter_mut().for_each(|id| put(id, new));
    }
    for row in &mut records.fuses {
        put(&mut row.id, new);
    }
    for row in &mut records.switches {
        put(&mut row.id, new);
        row.unit.iter_mut().for_each(|id| put(id, new));
    }
    for row in &mut records.expressions {
        put(&mut row.id, new);
        put(&mut row.unit, new);
    }
    for row in &mut records.settings {
        put(&mut row.id, new);
        put(&mut row.unit, new);
        row.cavities.iter_mut().for_each(|id| put(id, new));
    }
    super::behaviour::renumber(records, new);
    for row in &mut records.parts {
        put(&mut row.id, new);
        put(&mut row.unit, new);
        row.ends.iter_mut().for_each(any);
        match &mut row.kind {
            PartKind::FuseWay { fuse } => put(fuse, new),
            PartKind::Contact {
                driver: Driver::Switch { switch, .. },
                ..
            } => put(switch, new),
            PartKind::Contact {
                driver: Driver::Coil { part },
                ..
            } => put(part, new),
            _ => {}
        }
    }
}
