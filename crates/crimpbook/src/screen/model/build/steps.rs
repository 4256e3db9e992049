//! The steps of an item, in working order, and how each stands.

use crimpbook_workbook::{
    Book,
    model::{
        Built, Connector, Decision, End, Id, Junction, JunctionKind, Outcome, Step, StepDone, Wire, WireEnd,
    },
};

use super::Item;

/// A step and how it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct StepAt {
    /// What it is done to.
    pub of: Built,
    /// Which step.
    pub step: Step,
    /// How it stands.
    pub state: State,
    /// The answer given, if there is one.
    pub answer: Option<Id<StepDone>>,
}

/// How a step stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum State {
    /// Nobody answered for it.
    Open,
    /// Done.
    Done,
    /// Tried and not accepted, with the note.
    Failed(String),
    /// Left out on purpose.
    Skipped,
    /// To be redone, and why.
    Redo(String),
}

impl State {
    /// Whether it is still to be done.
    pub fn is_open(&self) -> bool {
        matches!(self, Self::Open | Self::Failed(_) | Self::Redo(_))
    }

    /// A mark that does not hang on colour.
    pub fn mark(&self) -> &'static str {
        match self {
            Self::Open => "·",
            Self::Done => "✓",
            Self::Failed(_) => "✗",
            Self::Skipped => "–",
            Self::Redo(_) => "!",
        }
    }
}

/// The steps of an item.
pub fn steps(book: &Book, item: Item) -> Vec<StepAt> {
    let wanted: Vec<(Built, Step)> = match item {
        Item::Wire(id) => book.get(id).map(|w| of_wire(book, w)).unwrap_or_default(),
        Item::Junction(id) => of_junction(book, id),
        Item::Connector(id) => of_connector(book, id),
    };
    let answers: Vec<&StepDone> = match item {
        Item::Wire(id) => {
            let ids = book.index().steps_of.get(&id);
            ids.into_iter().flatten().filter_map(|s| book.get(*s)).collect()
        }
        _ => book
            .all::<StepDone>()
            .values()
            .filter(|s| super::item_of(s.of) == item)
            .collect(),
    };
    wanted
        .into_iter()
        .map(|(of, step)| {
            let answer = answers.iter().find(|a| a.of == of && a.step == step);
            StepAt {
                of,
                step,
                state: answer.map_or(State::Open, |a| state(a)),
                answer: answer.map(|a| a.id),
            }
        })
        .collect()
}

fn state(answer: &StepDone) -> State {
    match (&answer.redo, answer.outcome) {
        (Some(why), _) => State::Redo(why.clone()),
        (None, Outcome::Done) => State::Done,
        (None, Outcome::Failed) => State::Failed(answer.note.clone()),
        (None, Outcome::Skipped) => State::Skipped,
    }
}

fn of_wire(book: &Book, wire: &Wire) -> Vec<(Built, Step)> {
    let whole = |step| (Built::Wire(wire.id), step);
    let mut steps = vec![whole(Step::Cut), whole(Step::Label)];
    for (end, which) in [(wire.from, WireEnd::From), (wire.to, WireEnd::To)] {
        let of = Built::End {
            wire: wire.id,
            end: which,
        };
        steps.extend(at_end(book, end).iter().map(|step| (of, *step)));
    }
    steps.extend([whole(Step::Continuity), whole(Step::NotShorted)]);
    steps
}

fn at_end(book: &Book, end: End) -> &'static [Step] {
    match end {
        End::Cavity(id) => {
            let connector = book.get(id).and_then(|c| book.get::<Connector>(c.connector));
            if connector.and_then(|c| c.sealed) == Some(true) {
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

fn of_junction(book: &Book, id: Id<Junction>) -> Vec<(Built, Step)> {
    match book.get(id).map(|j| j.kind) {
        Some(JunctionKind::Splice) => vec![(Built::Junction(id), Step::Join)],
        _ => Vec::new(),
    }
}

fn of_connector(book: &Book, id: Id<Connector>) -> Vec<(Built, Step)> {
    let Some(connector) = book.get(id) else {
        return Vec::new();
    };
    let of = Built::Connector(id);
    let cavities = book.cavities_of(id);
    let empty = cavities
        .iter()
        .any(|c| matches!(c.decision, Decision::Blank | Decision::Reserved));
    let ours = cavities
        .iter()
        .any(|c| book.index().wires_at_cavity.contains_key(&c.id));
    let mut steps = Vec::new();
    if connector.sealed == Some(true) && empty {
        steps.push((of, Step::Plugs));
    }
    if ours {
        steps.extend([(of, Step::SecondaryLock), (of, Step::Finish)]);
    }
    steps
}
