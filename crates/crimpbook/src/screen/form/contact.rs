//! A contact family.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{ContactFamily, Id, Plating};

use super::{Field, Form, Taken, edit_one, read::shown};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<ContactFamily>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let title = old.map_or_else(
        || "New contact family".to_owned(),
        |c| format!("Contact family {}", c.label),
    );
    let get = |pick: fn(&ContactFamily) -> Option<f64>, unit| shown(old.and_then(pick), unit);
    let fields = vec![
        Field::new(
            "label",
            "short name",
            old.map(|c| c.label.clone()).unwrap_or_default(),
            "S",
        ),
        Field::new(
            "least",
            "wire from",
            get(|c| c.least_mm2, "mm²"),
            "thinnest wire it takes, 0.35",
        ),
        Field::new(
            "most",
            "wire to",
            get(|c| c.most_mm2, "mm²"),
            "thickest wire it takes, 0.5",
        ),
        Field::new(
            "seal_least",
            "seal from",
            get(|c| c.seal_least_mm, "mm"),
            "insulation outside, 1.1",
        ),
        Field::new(
            "seal_most",
            "seal to",
            get(|c| c.seal_most_mm, "mm"),
            "insulation outside, 1.7",
        ),
        Field::new(
            "ohm",
            "resistance",
            get(|c| c.resistance_ohm, "Ω"),
            "of a mated contact at most, 10 mΩ",
        ),
        Field::new(
            "plating",
            "plating",
            old.and_then(|c| c.plating).map_or("", Plating::words),
            "tin, silver, gold, nickel or bare",
        )
        .one_of(Plating::ALL.map(Plating::words)),
        Field::new(
            "most_a",
            "current",
            get(|c| c.most_a, "A"),
            "most of a single contact, 8 A",
        ),
        Field::new("strip", "strip", get(|c| c.strip_mm, "mm"), "length to strip, 4"),
        Field::new(
            "note",
            "note",
            old.map(|c| c.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<ContactFamily>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let new = ContactFamily {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a short name")?,
        least_mm2: form.plain_number("least", "mm²")?,
        most_mm2: form.plain_number("most", "mm²")?,
        seal_least_mm: form.plain_number("seal_least", "mm")?,
        seal_most_mm: form.plain_number("seal_most", "mm")?,
        resistance_ohm: form.amount("ohm", Quantity::Resistance)?,
        plating: form.plating("plating")?,
        most_a: form.amount("most_a", Quantity::Current)?,
        strip_mm: form.plain_number("strip", "mm")?,
        note: form.text("note"),
    };
    edit_one(old, new)
}
