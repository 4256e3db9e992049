//! The steps that each thing takes, in working order.

use crimpbook_core::conductor::least_outside_diameter;

use crate::{
    Book,
    book::{InOrder, natural},
    circuit::size_of,
    model::{
        Built, Cavity, Connector, Decision, End, Id, Junction, JunctionKind, SignalKind, Step, Wire, WireEnd,
    },
};

/// A step of a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepOf {
    /// What it is done to.
    pub of: Built,
    /// The step.
    pub step: Step,
}

/// The steps of a wire: cut, label, each end, then its two tests. An end that flies free has none yet.
pub fn of_wire(book: &Book, wire: Id<Wire>) -> Vec<StepOf> {
    let Some(row) = book.get(wire) else {
        return Vec::new();
    };
    let whole = |step| StepOf {
        of: Built::Wire(wire),
        step,
    };
    let mut steps = vec![whole(Step::Cut), whole(Step::Label)];
    for (end, which) in [(row.from, WireEnd::From), (row.to, WireEnd::To)] {
        let of = Built::End { wire, end: which };
        steps.extend(at_end(book, end).iter().map(|step| StepOf { of, step: *step }));
    }
    steps.extend([whole(Step::Continuity), whole(Step::NotShorted)]);
    steps
}

/// A seal goes on before the contact; several wires meet in one splice, which is a step of the splice.
fn at_end(book: &Book, end: End) -> &'static [Step] {
    match end {
        End::Cavity(id) => {
            let connector = book.get(id).and_then(|c| book.get(c.connector));
            if connector.is_some_and(|c| c.sealed == Some(true)) {
                &[Step::Seal, Step::Strip, Step::Crimp, Step::Insert]
            } else {
                &[Step::Strip, Step::Crimp, Step::Insert]
            }
        }
        End::Junction(id) => match book.get(id).map(|j| j.kind) {
            Some(JunctionKind::Splice) | None => &[Step::Strip],
            Some(JunctionKind::Stud | JunctionKind::GroundStud) => &[Step::Strip, Step::Crimp, Step::Bolt],
        },
        End::Free => &[],
    }
}

/// The steps of a connector once its wires are in. One that belongs to another's loom, with no wire of ours, has none.
pub fn of_connector(book: &Book, connector: Id<Connector>) -> Vec<StepOf> {
    let Some(row) = book.get(connector) else {
        return Vec::new();
    };
    let cavities = book.cavities_of(connector);
    let has_wire = |c: &&Cavity| book.index().wires_at_cavity.contains_key(&c.id);
    if !cavities.iter().any(has_wire) {
        return Vec::new();
    }
    let mut steps = Vec::new();
    if row.sealed == Some(true) && cavities.iter().any(|c| needs_plug(book, c)) {
        steps.push(Step::Plugs);
    }
    steps.extend([Step::SecondaryLock, Step::Finish]);
    let of = Built::Connector(connector);
    steps.into_iter().map(|step| StepOf { of, step }).collect()
}

/// Whether a cavity of a sealed connector is left empty by this loom.
pub(super) fn needs_plug(book: &Book, cavity: &Cavity) -> bool {
    !matches!(cavity.decision, Decision::NotOurs | Decision::Bridged { .. })
        && !book.index().wires_at_cavity.contains_key(&cavity.id)
}

/// The steps of a splice or stud as a whole; what is done to the wires that end there are steps of these.
pub fn of_junction(book: &Book, junction: Id<Junction>) -> Vec<StepOf> {
    let Some(row) = book.get(junction) else {
        return Vec::new();
    };
    if !book.index().wires_at_junction.contains_key(&junction) {
        return Vec::new();
    }
    let steps: &[Step] = match row.kind {
        JunctionKind::Splice => &[Step::Join, Step::SealSplice, Step::Place],
        JunctionKind::Stud | JunctionKind::GroundStud => {
            &[Step::Clean, Step::Lugs, Step::Torque, Step::Protect, Step::Finish]
        }
    };
    let of = Built::Junction(junction);
    steps.iter().map(|step| StepOf { of, step: *step }).collect()
}

/// The twisted pairs: wires with the same name of a pair, by label; the pairs by their first wires.
pub fn pairs(book: &Book) -> Vec<Vec<Id<Wire>>> {
    let mut named: Vec<(String, &Wire)> = book
        .all::<Wire>()
        .values()
        .filter(|w| !w.pair.is_empty())
        .map(|w| (w.pair.to_lowercase(), w))
        .collect();
    named.order_by(|(pair, w)| (pair.clone(), natural(&w.label)));
    let mut pairs: Vec<Vec<Id<Wire>>> = named
        .chunk_by(|a, b| a.0 == b.0)
        .filter(|pair| pair.len() > 1)
        .map(|pair| pair.iter().map(|(_, w)| w.id).collect())
        .collect();
    pairs.order_by(|pair| pair.first().map(|w| natural(&book.label_of(*w))));
    pairs
}

/// The pair that a wire is twisted with, itself among them, by label; empty where it is in none.
pub fn pair_of(book: &Book, wire: Id<Wire>) -> Vec<Id<Wire>> {
    let Some(name) = book
        .get(wire)
        .map(|w| w.pair.to_lowercase())
        .filter(|n| !n.is_empty())
    else {
        return Vec::new();
    };
    let all = book.all::<Wire>().values();
    let mut pair: Vec<&Wire> = all.filter(|w| w.pair.to_lowercase() == name).collect();
    if pair.len() < 2 {
        return Vec::new();
    }
    pair.order_by(|w| natural(&w.label));
    pair.into_iter().map(|w| w.id).collect()
}

/// The twisting of a pair, a step a wire: each lapses with its own wire.
pub fn of_pair(pair: &[Id<Wire>]) -> Vec<StepOf> {
    let twist = |wire: &Id<Wire>| StepOf {
        of: Built::Wire(*wire),
        step: Step::Twist,
    };
    pair.iter().map(twist).collect()
}

/// The steps of the shield whose drain wire this is; none of any other wire.
pub fn of_shield(book: &Book, wire: Id<Wire>) -> Vec<StepOf> {
    let drains = |end: End| match end {
        End::Cavity(id) => book.get(id).is_some_and(|c| c.kind == Some(SignalKind::Shield)),
        _ => false,
    };
    if !book.get(wire).is_some_and(|w| drains(w.from) || drains(w.to)) {
        return Vec::new();
    }
    [Step::JacketBack, Step::Drain, Step::ShieldEnd]
        .map(|step| StepOf {
            of: Built::Wire(wire),
            step,
        })
        .to_vec()
}

/// How much longer a wire of a pair is cut, m a metre of pair: two wires that lie round each other at `turns_per_m`, their
/// middles one outside diameter apart, are helices (geometry).
pub fn twist_share(outside_diameter_mm: f64, turns_per_m: f64) -> f64 {
    let round = std::f64::consts::PI * outside_diameter_mm / 1000.0 * turns_per_m;
    (1.0 + round * round).sqrt() - 1.0
}

/// Turns a metre that a pair is reckoned to be twisted with: between the 33 and 50 of the trade (common practice, no source).
pub const TURNS_PER_M: f64 = 40.0;

/// What a wire is cut to, m: its length, and in a pair what the twist takes, up to the next millimetre. None: it has no length.
pub fn cut_m(book: &Book, wire: &Wire) -> Option<f64> {
    let length_m = wire.length_m?;
    let size = size_of(wire).filter(|_| !pair_of(book, wire.id).is_empty());
    let Some(size) = size else { return Some(length_m) };
    let thick = least_outside_diameter(&size).outside_diameter_mm;
    let twisted = length_m * (1.0 + twist_share(thick, TURNS_PER_M));
    Some((twisted * 1000.0).ceil() / 1000.0)
}
