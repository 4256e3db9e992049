//! A bundle.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{Bundle, Id};

use super::{Field, Form, Taken, Wrong, edit_one, read::shown};
use crate::screen::{figures::number, model::Model};

pub fn fields(model: &Model, id: Option<Id<Bundle>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let title = old.map_or_else(|| "New bundle".to_owned(), |b| format!("Bundle {}", b.label));
    let fields = vec![
        Field::new(
            "label",
            "name",
            old.map(|b| b.label.clone()).unwrap_or_default(),
            "tunnel",
        ),
        Field::new(
            "factor",
            "factor",
            old.and_then(|b| b.factor).map(number).unwrap_or_default(),
            "on the current; empty: by the loaded wires, 0.7",
        ),
        Field::new(
            "traction",
            "from traction",
            shown(old.and_then(|b| b.traction_m), "m"),
            "least way to traction cables, 0.2 m",
        ),
        Field::new(
            "note",
            "note",
            old.map(|b| b.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Bundle>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let factor = form.plain_number("factor", "")?;
    if factor.is_some_and(|f| f <= 0.0 || f > 1.0) {
        return Err(Wrong::at(
            "factor",
            "a factor is above 0 and at most 1, as in 0.7",
        ));
    }
    let new = Bundle {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a name")?,
        factor,
        traction_m: form.amount("traction", Quantity::Length)?,
        note: form.text("note"),
    };
    edit_one(old, new)
}
