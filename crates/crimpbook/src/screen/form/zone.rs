//! A zone.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{Id, Zone};

use super::{Field, Form, Taken, edit_one, read::shown};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Zone>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let title = old.map_or_else(|| "New zone".to_owned(), |z| format!("Zone {}", z.label));
    let wet = old.map_or("no", |z| if z.wet { "yes" } else { "no" });
    let fields = vec![
        Field::new(
            "label",
            "name",
            old.map(|z| z.label.clone()).unwrap_or_default(),
            "cabin",
        ),
        Field::new(
            "ambient",
            "hottest",
            shown(old.and_then(|z| z.ambient_c), "°C"),
            "ambient, 60 °C",
        ),
        Field::new("wet", "wet", wet, "whether water reaches it: yes or no").one_of(["yes", "no"]),
        Field::new(
            "note",
            "note",
            old.map(|z| z.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Zone>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let new = Zone {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a name")?,
        ambient_c: form.amount("ambient", Quantity::Temperature)?,
        wet: form.yes_no("wet").unwrap_or(false),
        note: form.text("note"),
    };
    edit_one(old, new)
}
