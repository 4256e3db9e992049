//! A source that is weighed for an input.

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{Candidate, Cavity, Id, Verdict},
};

use super::{Field, Form, Taken, Wrong, read::ends};
use crate::screen::{effect::Then, model::Model};

pub fn fields(model: &Model, sink: Id<Cavity>) -> (String, Vec<Field>) {
    let title = format!("A source for {}", model.book.cavity_name(sink));
    let fields = vec![
        Field::new(
            "source",
            "cavity",
            "",
            "DN-A2; empty where it is not of this workbook",
        )
        .offered(ends(&model.book)),
        Field::new("words", "in words", "", "ignition feed of the donor's body unit"),
        Field::new("why", "for and against", "", "stays on for 90 s after key off"),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, sink: Id<Cavity>) -> Taken {
    let book = &model.book;
    let name = form.text("source");
    let source = if name.is_empty() {
        None
    } else {
        let found = book.find_cavity(&name);
        Some(found.ok_or_else(|| {
            Wrong::at(
                "source",
                format!("no cavity is called {name}; say it in words in the next field"),
            )
        })?)
    };
    if source == Some(sink) {
        return Err(Wrong::at("source", "a cavity is no source for itself"));
    }
    let words = form.text("words");
    if source.is_none() && words.is_empty() {
        return Err(Wrong::at("words", "say which source, by cavity or in words"));
    }
    let called = source.map_or_else(|| words.clone(), |id| book.cavity_name(id));
    let title = format!("{} weighed for {}", called, book.cavity_name(sink));
    let candidate = Candidate {
        id: model.ids.make(),
        sink,
        source,
        words: if words.is_empty() { called } else { words },
        verdict: Verdict::Weighed,
        why: form.text("why"),
    };
    let then = Then {
        close: true,
        ..Then::default()
    };
    Ok((Edit::design(title, vec![Change::make(candidate)]), then))
}
