//! The build in passes, since nobody finishes wires singly: all are cut and labelled, all are crimped, then inserted plug
//! by plug, then tested. Common practice, no source.

use std::collections::{BTreeMap, HashSet};

use super::{
    StepOf, cut_list, ends_in_order, of_connector, of_junction, of_pair, of_shield, of_wire, pair_of, pairs,
};
use crate::{
    Book,
    book::{InOrder, natural},
    model::{Built, Connector, End, Id, Junction, JunctionKind, Row, Step, Wire, WireEnd},
};

/// A pass over the whole harness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pass {
    /// Every wire to its length, labelled at both ends.
    Cut,
    /// Pairs are twisted.
    Twist,
    /// Shields are made off.
    Shield,
    /// Every end: seal, strip, crimp.
    Crimp,
    /// Splices.
    Join,
    /// Plug by plug, into the cavities.
    Insert,
    /// Studs and what is bolted there.
    Bolt,
    /// Every wire: through, and shorted to nothing.
    Test,
    /// Connectors as a whole.
    Finish,
}

impl Pass {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Twist => "twist",
            Self::Shield => "shield",
            Self::Crimp => "crimp",
            Self::Join => "join",
            Self::Insert => "insert",
            Self::Bolt => "bolt",
            Self::Test => "test",
            Self::Finish => "finish",
        }
    }
}

/// What is taken into the hand once in a pass. A pair goes by its first wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Piece {
    /// The pass.
    pub pass: Pass,
    /// The thing.
    pub of: Built,
}

/// Every piece of every pass, in order.
pub fn in_passes(book: &Book) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut push = |pass, of| pieces.push(Piece { pass, of });
    for wire in cut_list(book).into_iter().flat_map(|group| group.wires) {
        push(Pass::Cut, Built::Wire(wire));
    }
    for pair in pairs(book) {
        if let Some(first) = pair.first() {
            push(Pass::Twist, Built::Wire(*first));
        }
    }
    let wires = by_label::<Wire>(book);
    for wire in &wires {
        push(Pass::Shield, Built::Wire(*wire));
    }
    for end in by_contact(book, &wires) {
        push(Pass::Crimp, end);
    }
    let junctions = by_label::<Junction>(book);
    for id in &junctions {
        push(Pass::Join, Built::Junction(*id));
    }
    let connectors = by_label::<Connector>(book);
    let mut tested = HashSet::new();
    let mut tests = Vec::new();
    for connector in &connectors {
        for (wire, end) in ends_in_order(book, *connector) {
            push(Pass::Insert, Built::End { wire, end });
            if tested.insert(wire) {
                tests.push(wire);
            }
        }
    }
    tests.extend(wires.iter().filter(|wire| !tested.contains(*wire)));
    for id in &junctions {
        push(Pass::Bolt, Built::Junction(*id));
    }
    for wire in tests {
        push(Pass::Test, Built::Wire(wire));
    }
    for id in connectors {
        push(Pass::Finish, Built::Connector(id));
    }
    // A pair has its steps, and is dear to look for.
    pieces.retain(|piece| piece.pass == Pass::Twist || !of_piece(book, *piece).is_empty());
    pieces
}

fn by_label<R: Row>(book: &Book) -> Vec<Id<R>> {
    let mut all: Vec<&R> = book.all::<R>().values().collect();
    all.order_by(|row| natural(row.label()));
    all.into_iter().map(Row::id).collect()
}

/// All ends, contact by contact and size by size, so that the die is changed seldom.
fn by_contact(book: &Book, wires: &[Id<Wire>]) -> Vec<Built> {
    let mut groups: BTreeMap<(String, u64), Vec<Built>> = BTreeMap::new();
    for wire in wires {
        let Some(row) = book.get(*wire) else { continue };
        // Positive figures sort as their bits do.
        let size = row.area_mm2.map_or(u64::MAX, f64::to_bits);
        for (at, end) in [(row.from, WireEnd::From), (row.to, WireEnd::To)] {
            let contact = match at {
                End::Cavity(id) => book.get(id).and_then(|c| c.contact),
                _ => None,
            };
            // Lugs come after contacts.
            let contact = contact.map_or_else(|| "~".to_owned(), |id| book.label_of(id));
            let of = Built::End { wire: *wire, end };
            groups.entry((contact, size)).or_default().push(of);
        }
    }
    groups.into_values().flatten().collect()
}

/// The steps of a piece, in working order.
pub fn of_piece(book: &Book, piece: Piece) -> Vec<StepOf> {
    let of_end = |wire, steps: &[Step]| {
        let all = of_wire(book, wire).into_iter();
        all.filter(|s| s.of == piece.of && steps.contains(&s.step))
            .collect()
    };
    match (piece.pass, piece.of) {
        (Pass::Cut, Built::Wire(wire)) => of_end(wire, &[Step::Cut, Step::Label]),
        (Pass::Twist, Built::Wire(wire)) => of_pair(&pair_of(book, wire)),
        (Pass::Shield, Built::Wire(wire)) => of_shield(book, wire),
        (Pass::Crimp, Built::End { wire, end }) => {
            // What is stripped for a splice is stripped when it is joined.
            if splice_at(book, wire, end).is_some() {
                return Vec::new();
            }
            of_end(wire, &[Step::Seal, Step::Strip, Step::Crimp])
        }
        (Pass::Insert, Built::End { wire, .. }) => of_end(wire, &[Step::Insert]),
        (Pass::Test, Built::Wire(wire)) => of_end(wire, &[Step::Continuity, Step::NotShorted]),
        (Pass::Join, Built::Junction(id)) if is_splice(book, id) => {
            let mut steps = at_junction(book, id, Step::Strip);
            steps.extend(of_junction(book, id));
            steps
        }
        (Pass::Bolt, Built::Junction(id)) if !is_splice(book, id) => {
            let own = of_junction(book, id);
            let (clean, rest): (Vec<_>, Vec<_>) = own.into_iter().partition(|s| s.step == Step::Clean);
            [clean, at_junction(book, id, Step::Bolt), rest].concat()
        }
        (Pass::Finish, Built::Connector(id)) => of_connector(book, id),
        _ => Vec::new(),
    }
}

/// A step of the wires that end at a splice or stud.
fn at_junction(book: &Book, id: Id<Junction>, step: Step) -> Vec<StepOf> {
    let ends = book.index().wires_at_junction.of(&id).iter();
    let at = |(wire, end): &(Id<Wire>, WireEnd)| StepOf {
        of: Built::End {
            wire: *wire,
            end: *end,
        },
        step,
    };
    ends.map(at).collect()
}

/// The piece that a step belongs to.
pub fn piece_of(book: &Book, step: StepOf) -> Piece {
    let (pass, of) = match (step.of, step.step) {
        (Built::Wire(_), Step::Cut | Step::Label) => (Pass::Cut, step.of),
        (Built::Wire(wire), Step::Twist) => {
            let first = pair_of(book, wire).first().copied();
            (Pass::Twist, Built::Wire(first.unwrap_or(wire)))
        }
        (Built::Wire(_), Step::JacketBack | Step::Drain | Step::ShieldEnd) => (Pass::Shield, step.of),
        (Built::Wire(_), _) => (Pass::Test, step.of),
        (Built::End { wire, end }, Step::Bolt) => match end_of(book, wire, end) {
            End::Junction(id) => (Pass::Bolt, Built::Junction(id)),
            _ => (Pass::Insert, step.of),
        },
        (Built::End { .. }, Step::Insert) => (Pass::Insert, step.of),
        (Built::End { wire, end }, _) => match splice_at(book, wire, end) {
            Some(id) => (Pass::Join, Built::Junction(id)),
            None => (Pass::Crimp, step.of),
        },
        (Built::Junction(id), _) if is_splice(book, id) => (Pass::Join, step.of),
        (Built::Junction(_), _) => (Pass::Bolt, step.of),
        (Built::Connector(_), _) => (Pass::Finish, step.of),
    };
    Piece { pass, of }
}

/// Whether the steps of a piece are answered for with one key, their figures all in sight. Not where a connector at it is
/// set to single steps, nor at splices, studs, shields and connectors as a whole, which take longer a step.
pub fn together(book: &Book, piece: Piece) -> bool {
    let single = |end: End| match end {
        End::Cavity(id) => {
            let connector = book.get(id).and_then(|c| book.get(c.connector));
            connector.is_some_and(|c| c.single_steps)
        }
        _ => false,
    };
    match (piece.pass, piece.of) {
        (Pass::Cut | Pass::Twist | Pass::Test, Built::Wire(wire)) => {
            book.get(wire).is_some_and(|w| !single(w.from) && !single(w.to))
        }
        (Pass::Crimp | Pass::Insert, Built::End { wire, end }) => !single(end_of(book, wire, end)),
        _ => false,
    }
}

fn end_of(book: &Book, wire: Id<Wire>, end: WireEnd) -> End {
    book.get(wire).map_or(End::Free, |w| match end {
        WireEnd::From => w.from,
        WireEnd::To => w.to,
    })
}

fn splice_at(book: &Book, wire: Id<Wire>, end: WireEnd) -> Option<Id<Junction>> {
    match end_of(book, wire, end) {
        End::Junction(id) if is_splice(book, id) => Some(id),
        _ => None,
    }
}

fn is_splice(book: &Book, id: Id<Junction>) -> bool {
    book.get(id).is_some_and(|j| j.kind == JunctionKind::Splice)
}
