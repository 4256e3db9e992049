//! Contacts and crimps of a wire: from millivolts at a known current only; a hand meter's ohms show the coarse at most.

use crimpbook_core::conductor::{copper_factor, ohm_per_m_20};

use super::{
    standing::readings_at,
    test::{Expected, Known, Listed, Test},
    ways,
};
use crate::{
    Book,
    analysis::Snapshot,
    book::{InOrder, natural},
    circuit::{size_of, table_of},
    model::{Cavity, End, Id, Reading, TestKind, Wire},
};

/// So much more than the conductor is suspect even on a hand meter, Ω (common practice, no source).
pub const SUSPECT_OHM: f64 = 0.5;
/// Least current at which millivolts say something, A.
const LEAST_A: f64 = 1.0;
/// Most current that is sent through a control wire for this, A.
const MOST_A: f64 = 5.0;

/// What is known of a wire's contacts.
#[derive(Debug, Clone, PartialEq)]
pub struct Crimp {
    /// The wire.
    pub wire: Id<Wire>,
    /// What its contacts, joints and inline fuse have together beyond the conductor, Ω; none: it cannot be told.
    pub ohm: Option<f64>,
    /// Their limits together, Ω.
    pub limit_ohm: f64,
    /// What that comes to.
    pub verdict: CrimpVerdict,
}

/// What a measurement of contacts comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CrimpVerdict {
    /// Over half an ohm more than the conductor, on a hand meter.
    Suspect,
    /// Over their limits.
    OverLimit,
    /// Within their limits.
    Good,
    /// A hand meter's ohms do not show it.
    CannotTell,
}

impl CrimpVerdict {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Suspect => "suspect: over 0.5 Ω more than the wire",
            Self::OverLimit => "over the limit of its contacts",
            Self::Good => "within the limit of its contacts",
            Self::CannotTell => "cannot tell: a hand meter is no better than ±0.1 Ω",
        }
    }
}

/// The wires whose contacts can be measured: both ends are at a place for a clip.
pub(super) fn tests(see: &Snapshot, known: &Known) -> Listed {
    let book = see.book();
    let mut wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    wires.order_by(|w| natural(&w.label));
    let mut listed = Listed::default();
    for wire in wires {
        let (at, against) = match (wire.from, wire.to) {
            (End::Cavity(at), End::Free) | (End::Free, End::Cavity(at)) => {
                listed.untold.push(format!(
                    "{}: cannot tell: its other end, {} being one, is not placed",
                    wire.label,
                    book.cavity_name(at)
                ));
                continue;
            }
            (End::Cavity(at), other) | (other, End::Cavity(at)) => (at, other),
            _ => continue,
        };
        let mut test = Test::ohms(TestKind::Contact, at, against, expected(book, wire, known));
        test.wires = vec![wire.id];
        test.hint.clone_from(&wire.label);
        listed.tests.push(test);
    }
    listed
}

fn expected(book: &Book, wire: &Wire, known: &Known) -> Expected {
    let Some(current_a) = known.current_a.filter(|a| (LEAST_A..=MOST_A).contains(a)) else {
        return Expected::CannotTell("missing the known current, 1 to 5 A".to_owned());
    };
    match ways::wire_window(book, wire) {
        Ok(window) => Expected::Within {
            least: Some(0.0),
            most: Some(window.most_ohm * current_a),
        },
        Err(missing) => Expected::CannotTell(missing),
    }
}

/// What readings say of contacts, the worst first. Of several readings of a wire the last that counts is taken, millivolts
/// before ohms.
pub fn crimps(book: &Book) -> Vec<Crimp> {
    let mut found: Vec<Crimp> = book
        .all::<Wire>()
        .values()
        .filter_map(|wire| of_wire(book, wire))
        .collect();
    let rank = |crimp: &Crimp| crimp.ohm.map_or(f64::NEG_INFINITY, |ohm| ohm - crimp.limit_ohm);
    found.sort_by(|a, b| {
        a.verdict
            .cmp(&b.verdict)
            .then(rank(b).total_cmp(&rank(a)))
            .then(a.wire.cmp(&b.wire))
    });
    found
}

fn of_wire(book: &Book, wire: &Wire) -> Option<Crimp> {
    let limit_ohm = ways::contacts_of(book, wire);
    let crimp = |ohm: Option<f64>, verdict| {
        Some(Crimp {
            wire: wire.id,
            ohm,
            limit_ohm,
            verdict,
        })
    };
    let conductor = conductor_ohm(book, wire)?;
    if let Some((volts, current_a)) =
        last(book, wire, TestKind::Contact).and_then(|r| Some((r.value?, r.current_a?)))
    {
        if current_a < LEAST_A {
            return crimp(None, CrimpVerdict::CannotTell);
        }
        let ohm = volts / current_a - conductor;
        let verdict = if ohm > limit_ohm + SUSPECT_OHM {
            CrimpVerdict::Suspect
        } else if volts / current_a > most_ohm(book, wire)? {
            CrimpVerdict::OverLimit
        } else {
            CrimpVerdict::Good
        };
        return crimp(Some(ohm.max(0.0)), verdict);
    }
    let plain = [TestKind::Mirror, TestKind::Through]
        .into_iter()
        .find_map(|kind| last(book, wire, kind))?;
    match plain.value {
        Some(ohm) if ohm - conductor > SUSPECT_OHM => crimp(Some(ohm - conductor), CrimpVerdict::Suspect),
        _ => crimp(None, CrimpVerdict::CannotTell),
    }
}

fn most_ohm(book: &Book, wire: &Wire) -> Option<f64> {
    ways::wire_window(book, wire).ok().map(|w| w.most_ohm)
}

/// The conductor alone in a warm workshop, Ω.
fn conductor_ohm(book: &Book, wire: &Wire) -> Option<f64> {
    let size = size_of(wire)?;
    let length_m = wire.length_m.filter(|m| *m > 0.0)?;
    Some(ohm_per_m_20(&size, table_of(book, wire)).ohm_per_m * length_m * copper_factor(25.0))
}

/// The last reading of a kind that still counts and that tested this wire alone.
fn last<'a>(book: &'a Book, wire: &Wire, kind: TestKind) -> Option<&'a Reading> {
    let alone = |reading: &&Reading| {
        let of = [End::Cavity(reading.at_cavity), reading.against];
        reading.test == Some(kind)
            && reading.lapsed.is_none()
            && (of == [wire.from, wire.to] || of == [wire.to, wire.from])
    };
    let ends = [wire.from, wire.to].into_iter().filter_map(|end| match end {
        End::Cavity(id) => Some(id),
        _ => None,
    });
    ends.flat_map(|id: Id<Cavity>| readings_at(book, id))
        .filter(alone)
        .max_by_key(|r| (r.taken, r.id))
}
