//! A unit.

use crimpbook_workbook::model::{Id, Manual, Unit, Zone};

use super::{Field, Form, Taken, edit_one, read::labels};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Unit>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Unit) -> &String| old.map(|u| pick(u).clone()).unwrap_or_default();
    let manual = old.and_then(|u| u.manual.clone());
    let zone = old
        .and_then(|u| u.zone)
        .map(|z| book.label_of(z))
        .unwrap_or_default();
    let title = old.map_or_else(|| "New unit".to_owned(), |u| format!("Unit {}", u.label));
    let fields = vec![
        Field::new("label", "short name", text(|u| &u.label), "MC"),
        Field::new("name", "what it is", text(|u| &u.name), "motor controller"),
        Field::new("zone", "zone", zone, "where in the vehicle").one_of(labels::<Zone>(book)),
        Field::new(
            "manual",
            "manual",
            manual.as_ref().map(|m| m.title.clone()).unwrap_or_default(),
            "title of its manual",
        ),
        Field::new(
            "revision",
            "its revision",
            manual.map(|m| m.revision).unwrap_or_default(),
            "revision or date",
        ),
        Field::new("serial", "serial number", text(|u| &u.serial), ""),
        Field::new("firmware", "firmware", text(|u| &u.firmware), ""),
        Field::new(
            "supply",
            "supply",
            text(|u| &u.supply_note),
            "where its supply comes from",
        ),
        Field::new("note", "note", text(|u| &u.note), ""),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Unit>>) -> Taken {
    let label = form.needed("label", "a short name")?;
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let title = form.text("manual");
    let name = form.text("name");
    let new = Unit {
        id: id.unwrap_or_else(|| model.ids.make()),
        name: if name.is_empty() { label.clone() } else { name },
        label,
        zone: form.record(&model.book, "zone")?,
        manual: (!title.is_empty()).then(|| Manual {
            title,
            revision: form.text("revision"),
        }),
        serial: form.text("serial"),
        firmware: form.text("firmware"),
        supply_note: form.text("supply"),
        note: form.text("note"),
    };
    edit_one(old, new)
}
