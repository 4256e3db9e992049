//! How far things are, and where the work was left.

use crimpbook_workbook::{
    Book,
    model::{Built, Cavity, Connector, Decision, End, Id, Outcome, StepDone, Wire},
};

use crate::screen::{
    figures,
    model::{
        Model,
        build::{at_hand, label, wires_done},
    },
};

/// How far a connector is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Cavities.
    pub cavities: usize,
    /// Of these decided.
    pub decided: usize,
    /// Wire ends that belong here.
    pub ends: usize,
    /// Of these inserted.
    pub inserted: usize,
}

/// The connectors at the ends of a wire.
pub fn connectors_at(book: &Book, wire: &Wire) -> Vec<Id<Connector>> {
    let at = |end: End| match end {
        End::Cavity(id) => book.get(id).map(|cavity| cavity.connector),
        _ => None,
    };
    [wire.from, wire.to].into_iter().filter_map(at).collect()
}

/// How far one connector is.
pub fn progress(book: &Book, connector: Id<Connector>) -> Progress {
    let mut sum = Progress::default();
    for id in book.index().cavities_of.get(&connector).into_iter().flatten() {
        let Some(cavity) = book.get(*id) else { continue };
        sum.cavities += 1;
        sum.decided += usize::from(cavity.decision != Decision::Undecided);
        for (wire, end) in book.index().wires_at_cavity.get(id).into_iter().flatten() {
            sum.ends += 1;
            let inserted = book.index().steps_of.get(wire).into_iter().flatten().any(|step| {
                book.get(*step).is_some_and(|s| {
                    s.of == Built::End {
                        wire: *wire,
                        end: *end,
                    } && s.step == crimpbook_workbook::model::Step::Insert
                        && s.outcome == Outcome::Done
                        && s.redo.is_none()
                })
            });
            sum.inserted += usize::from(inserted);
        }
    }
    sum
}

/// The figures at the top of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Totals {
    /// Cavities.
    pub cavities: usize,
    /// Of these decided.
    pub decided: usize,
    /// Wires.
    pub wires: usize,
    /// Of these done, cut to continuity.
    pub done: usize,
}

/// The figures at the top of the page.
pub fn totals(model: &Model) -> Totals {
    *model.derived.totals.get_or_init(|| {
        let book = &model.book;
        let cavities = book.all::<Cavity>();
        let (done, wires) = wires_done(model);
        let decided = |c: &&Cavity| c.decision != Decision::Undecided;
        Totals {
            cavities: cavities.len(),
            decided: cavities.values().filter(decided).count(),
            wires,
            done,
        }
    })
}

/// The last build step that anybody answered for.
pub fn last_step(model: &Model) -> Option<&StepDone> {
    let book = &model.book;
    let id = model
        .derived
        .last_step
        .get_or_init(|| latest(book, book.all::<StepDone>().keys().copied()));
    book.get((*id)?)
}

/// The one of these steps that was answered for last.
pub fn latest(book: &Book, of: impl Iterator<Item = Id<StepDone>>) -> Option<Id<StepDone>> {
    let rows = of.filter_map(|id| book.get(id));
    rows.max_by_key(|done| (done.at, done.id)).map(|done| done.id)
}

/// `You were here: W44, crimp is next; W44, strip 3 days ago, by A.`; none before the first step.
pub fn here(model: &Model) -> Option<String> {
    let step = last_step(model)?;
    let what = match step.of {
        Built::Wire(wire) | Built::End { wire, .. } => model.book.label_of(wire),
        Built::Connector(id) => model.book.label_of(id),
        Built::Junction(id) => model.book.label_of(id),
    };
    let who = if step.who.ends_with('.') {
        step.who.clone()
    } else {
        format!("{}.", step.who)
    };
    // Build opens at the step to be done next, so that is where one goes on.
    let next = at_hand(model).and_then(|hand| {
        let step = hand.step().filter(|s| s.standing.is_open())?.step.step;
        let what = label(&model.book, hand.item);
        Some(format!("{what}, {} is next; ", step.words()))
    });
    Some(format!(
        "You were here: {}{what}, {}, {}, by {who}",
        next.unwrap_or_default(),
        step.step.words(),
        figures::ago(step.at, model.now)
    ))
}
