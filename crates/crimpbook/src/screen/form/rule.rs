//! A rule that must hold.

use crimpbook_core::rule::{Statement, SyntaxError, parse};
use crimpbook_workbook::{
    Book,
    edit::make::{self, RuleDraft},
    model::{Id, Key, Rests, Rule},
    rules,
};

use super::{Field, Form, Taken, Wrong, made};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Rule>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(|| "New rule".to_owned(), |r| format!("Rule {}", r.label));
    let fields = vec![
        Field::new(
            "label",
            "name",
            old.map_or_else(|| make::next_label::<Rule>(book, "I"), |r| r.label.clone()),
            "I1",
        ),
        Field::new(
            "words",
            "in words",
            old.map(|r| r.words.clone()).unwrap_or_default(),
            "never plugged in and ready to drive",
        ),
        Field::new(
            "never",
            "to prove",
            old.map(|r| rules::shown(book, &r.text)).unwrap_or_default(),
            "never charge_lead is in and MC.ready",
        )
        .expression(rules::known(book)),
        Field::new(
            "rests",
            "rests on",
            old.map_or(Rests::Wiring, |r| r.rests_on).words(),
            "the wiring can be proven; the rest is said, not proven",
        )
        .one_of(Rests::ALL.map(Rests::words)),
        Field::new(
            "note",
            "note",
            old.map(|r| r.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

/// The rule that is typed, as it is kept; empty where nothing is.
pub fn read(book: &Book, form: &Form) -> Result<String, Wrong> {
    let typed = form.as_typed("never");
    if typed.trim().is_empty() {
        return Ok(String::new());
    }
    let wrong = |e: &SyntaxError| Wrong::in_expression("never", e);
    match parse(&typed).map_err(|e| wrong(&e))? {
        Statement::Never(_) => rules::kept(book, &typed).map_err(|e| wrong(&e)),
        _ => Err(wrong(&SyntaxError {
            at: typed.chars().take_while(|c| c.is_whitespace()).count(),
            found: typed.split_whitespace().next().unwrap_or_default().to_owned(),
            expected: "never, and then what must not be".to_owned(),
        })),
    }
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Rule>>) -> Taken {
    let rests = form.text("rests");
    let draft = RuleDraft {
        label: form.needed("label", "a short name")?,
        words: form.needed("words", "the rule in words")?,
        text: read(&model.book, form)?,
        rests_on: Rests::ALL
            .into_iter()
            .find(|r| r.words() == rests)
            .ok_or_else(|| Wrong::at("rests", "say what it rests on"))?,
        note: form.text("note"),
    };
    let edit = match id {
        Some(id) => make::change_rule(&model.book, id, draft),
        None => make::add_rule(&model.book, &mut model.ids, draft),
    };
    made(id.map(Key::of), edit)
}
