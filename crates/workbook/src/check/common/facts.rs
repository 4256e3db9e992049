//! Facts of wires that a check lacks, asked once at the unit they go to.

use std::collections::BTreeMap;

use crate::{
    analysis::{Snapshot, heat},
    check::Out,
    circuit::size_of,
    model::{About, End, Id, Junction, Key, Unit, Wire, Zone},
};

/// What a check needs to know of a wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// Its size.
    Size,
    /// Its length.
    Length,
    /// Its insulation's class.
    Class,
    /// How warm it is around it.
    Ambient,
}

/// Says which of these facts are missing of these wires; the wires are named together at the unit they go to.
pub fn ask(
    see: &Snapshot,
    check: &'static str,
    wires: impl Iterator<Item = usize>,
    facts: &[Fact],
    out: &mut Out,
) {
    let book = see.book();
    let mut missing: BTreeMap<(Key, &str), Vec<String>> = BTreeMap::new();
    let about = book.all::<About>().values().next().map(|a| a.id);
    for at in wires {
        let Some(wire) = see.wiring().wires.get(at).and_then(|run| book.get(run.wire)) else {
            continue;
        };
        for fact in facts {
            let absent = match fact {
                Fact::Size => size_of(wire).is_none(),
                Fact::Length => wire.length_m.is_none_or(|m| !(m.is_finite() && m > 0.0)),
                Fact::Class => heat::class_c(book, wire).is_none(),
                Fact::Ambient => heat::ambient_c(book, wire).is_none(),
            };
            if !absent {
                continue;
            }
            let at = unit_of_wire(see, wire).map_or_else(|| Key::of(wire.id), Key::of);
            match (fact, about) {
                (Fact::Class, Some(about)) => {
                    missing
                        .entry((Key::of(about), "the insulation class of the wires"))
                        .or_default();
                }
                (Fact::Class, None) => {}
                (Fact::Ambient, _) => match zone_without_ambient(see, wire) {
                    Some(zone) => {
                        missing.entry((Key::of(zone), "its hottest ambient")).or_default();
                    }
                    None => {
                        missing.entry((at, "the zone it sits in")).or_default();
                    }
                },
                (Fact::Size, _) => missing
                    .entry((at, "the size of"))
                    .or_default()
                    .push(wire.label.clone()),
                (Fact::Length, _) => missing
                    .entry((at, "the length of"))
                    .or_default()
                    .push(wire.label.clone()),
            }
        }
    }
    for ((place, what), labels) in missing {
        let words = if labels.is_empty() {
            what.to_owned()
        } else {
            format!("{what} {}", labels.join(", "))
        };
        out.cannot_at(check, place, words);
    }
}

/// The unit a wire goes to, else comes from.
fn unit_of_wire(see: &Snapshot, wire: &Wire) -> Option<Id<Unit>> {
    let unit = |end| match end {
        End::Cavity(id) => see.unit_of(id),
        End::Junction(id) => see.book().get(id).and_then(|j: &Junction| j.unit),
        End::Free => None,
    };
    unit(wire.to).or_else(|| unit(wire.from))
}

fn zone_without_ambient(see: &Snapshot, wire: &Wire) -> Option<Id<Zone>> {
    let zones = [wire.from, wire.to]
        .into_iter()
        .filter_map(|end| heat::zone_at(see.book(), end));
    zones
        .filter(|id| see.book().get(*id).is_some_and(|z: &Zone| z.ambient_c.is_none()))
        .min()
}
