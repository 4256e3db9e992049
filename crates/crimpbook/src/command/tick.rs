//! `crimpbook tick`: types in what was ticked on a packet of paper.

use std::{path::Path, process::ExitCode};

use crimpbook_record::lists;
use crimpbook_store::Store;
use crimpbook_workbook::{
    model::{Built, IdMaker, Outcome as Came},
    plan::{self, Answer, StepOf},
};

use super::{Outcome, list::named, say};
use crate::{
    cli::Common,
    report::Report,
    screen::text::count,
    session::{File, Session, Trouble},
    who,
};

/// Answers for one step at every cavity named that has a wire.
pub fn run(file: &Path, connector: &str, step: &str, cavities: &str, common: &Common) -> Outcome {
    let opened = Store::open(file)?;
    let book = &opened.book;
    let place = named(book, connector)?;
    let wanted = step.to_lowercase().replace('-', "_");
    let Some((head, step)) = lists::STEPS.iter().find(|(head, _)| *head == wanted) else {
        let all: Vec<String> = lists::STEPS
            .iter()
            .map(|(head, _)| head.replace('_', "-"))
            .collect();
        return Err(Report::user(format!("a packet has no step called {step:?}"))
            .hint(format!("steps: {}", all.join(", "))));
    };
    let named = lists::runs(book, place, cavities).map_err(|wrong| Report::user(wrong.to_string()))?;
    let mut steps = Vec::new();
    let mut without = Vec::new();
    for cavity in named {
        let ends = book.index().wires_at_cavity.of(&cavity);
        let before = steps.len();
        for (wire, end) in ends {
            let places = [
                Built::End {
                    wire: *wire,
                    end: *end,
                },
                Built::Wire(*wire),
            ];
            let planned = plan::of_wire(book, *wire);
            let found = planned
                .into_iter()
                .find(|s| s.step == *step && places.contains(&s.of));
            steps.extend(found.filter(|found: &StepOf| !steps.contains(found)));
        }
        if steps.len() == before {
            without.push(book.get(cavity).map_or_else(String::new, |c| c.number.clone()));
        }
    }
    let head = head.replace('_', "-");
    let (ids, said) = (&mut IdMaker::new(who::seed()?), who::name(common.who.as_deref()));
    let answer = Answer {
        outcome: Came::Done,
        note: String::new(),
        at: who::now(),
        who: said.clone(),
    };
    if steps.is_empty() {
        return Err(Report::user(format!(
            "none of these cavities of {connector} has {head} in its plan"
        )));
    }
    let edit = plan::answer(book, ids, &steps, &answer)?;
    let many = edit.changes.len();
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
    let mut told = format!("{head} at {connector}: {} ticked", count(many, "wire", "wires"));
    if steps.len() > many {
        told.push_str(&format!("; {} done before", steps.len() - many));
    }
    if !without.is_empty() {
        told.push_str(&format!("; no such step at cavity {}", without.join(", ")));
    }
    say(&told)?;
    Ok(ExitCode::SUCCESS)
}
