//! `crimpbook volts`: every voltage, current and temperature of one state, with a fault where one is supposed.

mod data;
mod page;

use std::{path::Path, process::ExitCode};

use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot, StateResult,
        suppose::{Supposed, Touch},
    },
    model::{State, Wire},
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

fn supposed(see: &Snapshot, of: &StateResult, fault: &str) -> Result<Supposed, Report> {
    let hint = "write it as W19:open, W19:chassis or W19:supply";
    let (label, how) = fault.rsplit_once(':').ok_or_else(|| {
        Report::user(format!("the fault {fault} does not say how the wire fails")).hint(hint)
    })?;
    let touch =
        Touch::named(how).ok_or_else(|| Report::user(format!("a wire cannot fail as {how}")).hint(hint))?;
    let at = wire_named(see, label)?;
    see.suppose(of, at, touch)
        .map_err(|why| Report::user(format!("cannot compute {fault}: {}", why.words(see.book()))))
}

/// The place of the wire of this name in the wiring.
pub(super) fn wire_named(see: &Snapshot, label: &str) -> Result<usize, Report> {
    let wire = see.book().index().labelled::<Wire>(label.trim());
    wire.and_then(|id| see.wiring().wire_at(id))
        .ok_or_else(|| Report::user(format!("there is no wire called {label}")))
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
    states.sort_by_key(|s| (s.order, s.label.clone()));
    states
}
