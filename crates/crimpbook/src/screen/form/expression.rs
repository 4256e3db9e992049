//! A unit's behaviour: a name and when it holds.

use crimpbook_workbook::{
    Book,
    edit::make::{self, ExpressionDraft},
    model::{Expression, Id, Key, Unit},
    rules,
};

use super::{Field, Form, Start, Taken, Wrong, made, read::labels};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Expression>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(
        || "New behaviour of a unit".to_owned(),
        |e| format!("Behaviour {}", e.label),
    );
    let unit = old.map_or_else(|| start.unit.clone(), |e| book.label_of(e.unit));
    let fields = vec![
        Field::new("unit", "unit", unit, "whose behaviour it is").one_of(labels::<Unit>(book)),
        Field::new(
            "label",
            "name",
            old.map(|e| e.label.clone()).unwrap_or_default(),
            "what rules call it: MC.ready",
        ),
        Field::new(
            "when",
            "holds when",
            old.map(|e| rules::shown(book, &e.text)).unwrap_or_default(),
            "over what the unit reads: MC-A2 and not MC-A19",
        )
        .expression(rules::known(book)),
        Field::new(
            "note",
            "note",
            old.map(|e| e.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

/// The condition that is typed, as it is kept; empty where nothing is.
pub fn read(book: &Book, form: &Form) -> Result<String, Wrong> {
    let typed = form.as_typed("when");
    if typed.trim().is_empty() {
        return Ok(String::new());
    }
    make::read_condition(book, &form.text("label"), &typed).map_err(|e| Wrong::in_expression("when", &e))
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Expression>>) -> Taken {
    form.needed("when", "a condition")?;
    let draft = ExpressionDraft {
        label: form.needed("label", "a name")?,
        unit: form
            .record(&model.book, "unit")?
            .ok_or_else(|| Wrong::at("unit", "a behaviour belongs to a unit: type its short name"))?,
        text: read(&model.book, form)?,
        note: form.text("note"),
    };
    let edit = match id {
        Some(id) => make::change_expression(&model.book, id, draft),
        None => make::add_expression(&model.book, &mut model.ids, draft),
    };
    made(id.map(Key::of), edit)
}
