//! `crimpbook tick`: types in what was ticked on a packet of paper.

use std::{collections::BTreeSet, path::Path, process::ExitCode};

use crimpbook_record::lists;
use crimpbook_store::Store;
use crimpbook_workbook::{
    Book,
    model::{Built, Cavity, Id, IdMaker, Outcome as Came, Step, Wire},
    plan::{self, Answer, Standing, StepOf},
};

use super::{Outcome, list::named, say};
use crate::{
    cli::Common,
    report::Report,
    screen::text::count,
    session::{File, Session, Trouble},
    who,
};

/// Typed for a step: a whole row of the packet.
const ALL: &str = "all";

/// Answers for one step at every cavity named that has a wire, or for all that is open there.
pub fn run(file: &Path, connector: &str, step: &str, cavities: &str, common: &Common) -> Outcome {
    let opened = Store::open(file)?;
    let book = &opened.book;
    let place = named(book, connector)?;
    let (head, asked) = asked_for(step)?;
    let named = lists::runs(book, place, cavities).map_err(|wrong| Report::user(wrong.to_string()))?;
    let mut steps: Vec<StepOf> = Vec::new();
    let mut without = Vec::new();
    let mut passed_over = BTreeSet::new();
    for cavity in named {
        let found = at(book, cavity, asked);
        passed_over.extend(open_before(book, cavity, asked));
        if found.is_empty() {
            without.push(book.get(cavity).map_or_else(String::new, |c| c.number.clone()));
        }
        for step in found {
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
    }
    // A whole row is the boxes that are empty. What failed or fell back is a mark of its own on the packet, and is answered for by
    // name, so that nobody ticks it unseen.
    let mut left = Vec::new();
    if head == ALL && !steps.is_empty() {
        let standing = |step: &StepOf| plan::task(book, *step).standing;
        let marked = |step: &&StepOf| matches!(standing(step), Standing::Failed | Standing::Redo);
        left.extend(steps.iter().filter(marked).map(|step| {
            let place = book.built_name(step.of);
            format!("{place} {} ({})", step.step.words(), standing(step).words())
        }));
        steps.retain(|step| standing(step) == Standing::Open);
        if steps.is_empty() {
            let mut sentence = format!("nothing is open at these cavities of {connector}");
            if !left.is_empty() {
                sentence.push_str(&format!(", but by its own name: {}", left.join(", ")));
            }
            return Err(Report::user(sentence));
        }
    }
    let (ids, said) = (&mut IdMaker::new(who::seed()?), who::name(common.who.as_deref()));
    let answer = Answer {
        outcome: Came::Done,
        note: String::new(),
        at: who::now(),
        who: said.clone(),
    };
    if steps.is_empty() {
        return Err(Report::user(format!(
            "none of these cavities of {connector} has {} in its plan",
            if head == ALL { "a step" } else { &head }
        )));
    }
    let edit = plan::answer(book, ids, &steps, &answer)?;
    let many = edit.changes.len();
    let of_wires: BTreeSet<_> = steps.iter().filter_map(|step| wire_of(step.of)).collect();
    let mut session = Session::new(
        Box::new(File::new(opened.store)),
        opened.book,
        opened.heads,
        said,
        who::seed()?,
        who::now,
    );
    session.edit(edit).map_err(|trouble| match trouble {
        Trouble::Refused(refusal) => refusal.into(),
        Trouble::File(sentence) => Report::file(sentence),
    })?;
    let ticked = match asked {
        Some(_) => count(many, "wire", "wires"),
        None => format!(
            "{} of {}",
            count(many, "step", "steps"),
            count(of_wires.len(), "wire", "wires")
        ),
    };
    let mut told = format!("{head} at {connector}: {ticked} ticked");
    if steps.len() > many {
        told.push_str(&format!("; {} done before", steps.len() - many));
    }
    if !without.is_empty() {
        told.push_str(&format!("; no such step at cavity {}", without.join(", ")));
    }
    if !left.is_empty() {
        told.push_str(&format!("; left, to tick by name: {}", left.join(", ")));
    }
    if !passed_over.is_empty() {
        let heads: Vec<&str> = passed_over
            .iter()
            .filter_map(|at| Some(lists::STEPS.get(*at)?.0))
            .collect();
        told.push_str(&format!("; before it still open: {}", heads.join(", ")));
    }
    say(&told)?;
    Ok(ExitCode::SUCCESS)
}

/// The step as the packet heads it, with what it stands for; none: all of them.
fn asked_for(typed: &str) -> Result<(String, Option<Step>), Report> {
    let wanted = typed.to_lowercase().replace('-', "_");
    if wanted == ALL {
        return Ok((wanted, None));
    }
    let spelled = |head: &str| head.replace('_', "-");
    if let Some((head, step)) = lists::STEPS.iter().find(|(head, _)| *head == wanted) {
        return Ok((spelled(head), Some(*step)));
    }
    let all: Vec<String> = lists::STEPS.iter().map(|(head, _)| spelled(head)).collect();
    Err(Report::user(format!("a packet has no step called {typed:?}"))
        .hint(format!("steps: {}; or {ALL} of them", all.join(", "))))
}

/// The steps of the packet at a cavity, or one of them, wire by wire in working order.
fn at(book: &Book, cavity: Id<Cavity>, asked: Option<Step>) -> Vec<StepOf> {
    let mut found = Vec::new();
    for (wire, end) in book.index().wires_at_cavity.of(&cavity) {
        let (wire, end) = (*wire, *end);
        let places = [Built::End { wire, end }, Built::Wire(wire)];
        let planned = plan::of_wire(book, wire);
        for (_, step) in lists::STEPS {
            let mine = planned.iter().find(|s| s.step == *step && places.contains(&s.of));
            found.extend(mine.filter(|s| asked.is_none_or(|asked| asked == s.step)));
        }
    }
    found
}

/// Steps of the packet that come before the one asked for at a cavity and are not done there, as it heads them.
fn open_before(book: &Book, cavity: Id<Cavity>, asked: Option<Step>) -> BTreeSet<usize> {
    let place = |of: Step| lists::STEPS.iter().position(|(_, step)| *step == of);
    let Some(before) = asked.and_then(place) else {
        return BTreeSet::new();
    };
    let open = |step: &StepOf| plan::task(book, *step).standing.is_open();
    let all = at(book, cavity, None).into_iter().filter(open);
    all.filter_map(|step| place(step.step).filter(|at| *at < before))
        .collect()
}

fn wire_of(of: Built) -> Option<Id<Wire>> {
    match of {
        Built::Wire(wire) | Built::End { wire, .. } => Some(wire),
        Built::Connector(_) | Built::Junction(_) => None,
    }
}
