//! `crimpbook volts`: every voltage, current and temperature of one state, with a fault where one is supposed.

mod data;
mod page;

use crimpbook_workbook::book::InOrder;
use std::{path::Path, process::ExitCode};

use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Supposed},
    },
    model::State,
};

use super::{Outcome, read, say};
use crate::report::Report;

/// Prints the voltages of a state.
pub fn run(file: &Path, state: Option<&str>, fault: Option<&str>, as_json: bool) -> Outcome {
    let opened = read(file)?;
    let see = Snapshot::of(&opened.book);
    let text = match state {
        Some(name) => one(&see, name, fault, as_json)?,
        None if as_json => format!("{:#}", data::states(see.book())),
        None => page::states(see.book()),
    };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn one(see: &Snapshot, name: &str, fault: Option<&str>, as_json: bool) -> Result<String, Report> {
    let of = state_named(see, name)?;
    let supposed = fault.map(|fault| supposed(see, of, fault)).transpose()?;
    Ok(match (as_json, supposed) {
        (true, supposed) => format!("{:#}", data::whole(see, of, supposed.as_ref())),
        (false, supposed) => page::whole(see, of, supposed.as_ref()),
    })
}

/// A state with the fault that is typed.
pub(super) fn supposed(see: &Snapshot, of: &StateResult, fault: &str) -> Result<Supposed, Report> {
    let (label, how) = fault.rsplit_once(':').ok_or_else(|| {
        Report::user(format!("the fault {fault} does not say how it fails"))
            .hint("write it as W19:chassis; crimpbook suppose FILE W19 tells every way")
    })?;
    let ways = failing(see, label)?;
    let failing = ways
        .iter()
        .find(|way| way.how(see).eq_ignore_ascii_case(how.trim()));
    let failing = failing.ok_or_else(|| {
        let typed: Vec<String> = ways.iter().map(|way| way.typed(see)).collect();
        Report::user(format!("{label} cannot fail as {how}")).hint(format!("write {}", typed.join(", ")))
    })?;
    see.suppose(of, *failing)
        .map_err(|why| Report::user(format!("cannot compute {fault}: {}", why.words(see.book()))))
}

/// Every way in which what is called so can fail: a wire, fuse, plug, ground path or contact.
pub(super) fn failing(see: &Snapshot, label: &str) -> Result<Vec<Failing>, Report> {
    let ways = Failing::of(see, label);
    if ways.is_empty() {
        return Err(Report::user(format!(
            "there is no wire, fuse, plug, ground path or contact called {label}"
        ))
        .hint(
            "a ground path is called by its ends, as in \"G1 to BN\"; crimpbook export --csv lists the rest",
        ));
    }
    Ok(ways)
}

/// The state of this name, computed; else an error that lists them, or says why it has no solution.
pub(super) fn state_named<'a>(see: &'a Snapshot, name: &str) -> Result<&'a StateResult, Report> {
    let book = see.book();
    let Some(id) = book.index().labelled::<State>(name.trim()) else {
        let names: Vec<String> = in_order(book).into_iter().map(|s| s.label.clone()).collect();
        let hint = if names.is_empty() {
            "the workbook has no operating state yet".to_owned()
        } else {
            format!("states: {}", names.join(", "))
        };
        return Err(Report::user(format!("there is no state called {name}")).hint(hint));
    };
    see.state(id).ok_or_else(|| {
        let why = see.unsolved().iter().find(|(state, _)| *state == id);
        let why = why.map(|(_, trouble)| trouble.words(book)).unwrap_or_default();
        Report::user(format!("cannot compute {}: {why}", book.label_of(id)))
            .hint("crimpbook check names what is missing")
    })
}

fn in_order(book: &Book) -> Vec<&State> {
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.order_by(|s| (s.order, s.label.clone()));
    states
}
