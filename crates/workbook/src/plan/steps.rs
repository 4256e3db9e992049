//! The steps that each thing takes, in working order.

use crate::{
    Book,
    model::{Built, Cavity, Connector, Decision, End, Id, Junction, JunctionKind, Step, Wire, WireEnd},
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

/// The steps of a splice or stud as a whole: a splice is joined, and both are finished.
pub fn of_junction(book: &Book, junction: Id<Junction>) -> Vec<StepOf> {
    let Some(row) = book.get(junction) else {
        return Vec::new();
    };
    if !book.index().wires_at_junction.contains_key(&junction) {
        return Vec::new();
    }
    let steps: &[Step] = match row.kind {
        JunctionKind::Splice => &[Step::Join],
        JunctionKind::Stud | JunctionKind::GroundStud => &[Step::Finish],
    };
    let of = Built::Junction(junction);
    steps.iter().map(|step| StepOf { of, step: *step }).collect()
}
