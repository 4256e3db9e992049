//! The service page: what the builder wrote for who tows, opens or mends it; what nobody wrote is named.

use crimpbook_workbook::{
    Book,
    model::{About, ServiceNotes},
};

use super::{RecordInput, page::lines};
use crate::markup::{Element, el};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let notes = notes(input.book());
    let written = notes.told().into_iter().filter(|(_, note)| !note.is_empty());
    let mut facts = el("dl").class("facts notes");
    for (what, note) in written {
        facts = facts.children([el("dt").text(capital(what)), el("dd").child(lines(note))]);
    }
    std::iter::once(el("p").text(
        "Traction voltage and its orange cables are for people licensed for them; the makers' manuals and local rules for rescue \
         and towing win over these notes.",
    ))
    .chain(notes.told().iter().any(|(_, note)| !note.is_empty()).then_some(facts))
    .chain(not_written(&notes))
    .collect()
}

/// What is written for service.
pub(super) fn notes(book: &Book) -> ServiceNotes {
    let about = book.all::<About>().values().next();
    about.map(|a| a.service.clone()).unwrap_or_default()
}

/// The notes that nobody has written, in one sentence.
fn not_written(notes: &ServiceNotes) -> Option<Element> {
    let missing: Vec<&str> = notes
        .told()
        .into_iter()
        .filter(|(_, note)| note.is_empty())
        .map(|(what, _)| what)
        .collect();
    (!missing.is_empty()).then(|| {
        el("p")
            .class("doubt")
            .text(format!("not written: {}", missing.join("; ")))
    })
}

/// With a capital letter, as a heading has.
pub(super) fn capital(what: &str) -> String {
    let mut letters = what.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
