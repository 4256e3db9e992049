//! Facts of wires that a check lacks, asked once at the unit they go to.

use std::collections::BTreeMap;

use crate::{
    analysis::{Snapshot, heat},
    check::Out,
    circuit::size_of,
    model::{About, End, Fuse, Id, Junction, Key, Unit, Wire, Zone},
    question::{Ask, fields},
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

/// What is missing at one place: of which wires, and what would tell it.
#[derive(Default)]
struct Missing {
    labels: Vec<String>,
    asks: Vec<Ask>,
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
    let mut missing: BTreeMap<(Key, &str), Missing> = BTreeMap::new();
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
                Fact::Ambient => true,
            };
            if !absent {
                continue;
            }
            let unit = unit_of_wire(see, wire);
            let at = unit.map_or_else(|| Key::of(wire.id), Key::of);
            let mut say = |place: Key, what: &'static str, label: Option<&str>, asks: Vec<Ask>| {
                let Missing { labels, asks: all } = missing.entry((place, what)).or_default();
                labels.extend(label.map(str::to_owned));
                for ask in asks {
                    if !all.contains(&ask) {
                        all.push(ask);
                    }
                }
            };
            let of_wire = |field| vec![Ask::of(wire.id, field)];
            match (fact, about) {
                (Fact::Class, Some(about)) => {
                    let asks = vec![Ask::of(about, &fields::WIRES_CLASS)];
                    say(Key::of(about), "the insulation class of the wires", None, asks);
                }
                (Fact::Class, None) => {}
                // The hotter end counts, so that of both it must be told.
                (Fact::Ambient, _) => {
                    for (place, what, ask) in ambients_missing(see, wire) {
                        say(place, what, None, vec![ask]);
                    }
                }
                (Fact::Size, _) => say(at, "the size of", Some(&wire.label), of_wire(&fields::WIRE_SIZE)),
                (Fact::Length, _) => {
                    say(
                        at,
                        "the length of",
                        Some(&wire.label),
                        of_wire(&fields::WIRE_LENGTH),
                    );
                }
            }
        }
    }
    for ((place, what), Missing { labels, asks }) in missing {
        let words = if labels.is_empty() {
            what.to_owned()
        } else {
            format!("{what} {}", labels.join(", "))
        };
        out.cannot_at(check, place, words, asks);
    }
}

/// Says that the ambient of a fuse's holder is missing; asks for the ambient of its zone, else which zone it is in.
pub fn ask_holder(see: &Snapshot, check: &'static str, fuse: &Fuse, out: &mut Out) {
    let zone = fuse.zone.filter(|zone| see.book().get(*zone).is_some());
    let ask = zone.map_or_else(
        || Ask::of(fuse.id, &fields::FUSE_ZONE),
        |zone| Ask::of(zone, &fields::ZONE_AMBIENT),
    );
    out.cannot(check, fuse.id, "the zone of its holder, with its ambient", [ask]);
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

/// What keeps the ambient of a wire's ends from being known: a zone without one, a unit or junction without a zone.
fn ambients_missing(see: &Snapshot, wire: &Wire) -> Vec<(Key, &'static str, Ask)> {
    let book = see.book();
    let at = |end: End| -> Option<(Key, &'static str, Ask)> {
        if let Some(zone) = heat::zone_at(book, end).filter(|id| book.get(*id).is_some()) {
            let known = book.get(zone).is_some_and(|z: &Zone| z.ambient_c.is_some());
            let ask = || {
                (
                    Key::of(zone),
                    "its hottest ambient",
                    Ask::of(zone, &fields::ZONE_AMBIENT),
                )
            };
            return (!known).then(ask);
        }
        let unit = match end {
            End::Cavity(id) => see.unit_of(id),
            End::Junction(id) => match book.get(id).and_then(|j: &Junction| j.unit) {
                Some(unit) => Some(unit),
                None => return Some((Key::of(id), ZONE, Ask::of(id, &fields::JUNCTION_ZONE))),
            },
            End::Free => None,
        }?;
        Some((Key::of(unit), ZONE, Ask::of(unit, &fields::UNIT_ZONE)))
    };
    [wire.from, wire.to].into_iter().filter_map(at).collect()
}

/// What is asked for at a unit or junction.
const ZONE: &str = "the zone it sits in";
