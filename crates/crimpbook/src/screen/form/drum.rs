//! A drum of wire.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::{
    edit::make,
    model::{Drum, Id},
};

use super::{
    Field, Form, Taken, Wrong, kept,
    read::shown,
    wire::{read_colour, read_size},
};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Drum>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let title = old.map_or_else(|| "New drum of wire".to_owned(), |d| format!("Drum {}", d.label));
    let fields = vec![
        Field::new(
            "label",
            "number",
            old.map_or_else(|| make::next_label::<Drum>(&model.book, "D"), |d| d.label.clone()),
            "D3",
        ),
        Field::new(
            "size",
            "size",
            old.map(size_shown).unwrap_or_default(),
            "0.5 or AWG 20",
        ),
        Field::new(
            "colour",
            "colour",
            old.and_then(|d| d.colour)
                .map(|c| c.to_string())
                .unwrap_or_default(),
            "GN/WH or green/white",
        ),
        Field::new(
            "stock",
            "in stock",
            shown(old.map(|d| d.stock_m), "m"),
            "25 m, as it was before this loom's first cut",
        ),
        Field::new(
            "class",
            "insulation",
            shown(old.and_then(|d| d.insulation_class_c), "°C"),
            "class, 105 °C; empty: the workbook's",
        ),
        Field::new(
            "note",
            "note",
            old.map(|d| d.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

/// A drum's size as it was given.
pub fn size_shown(drum: &Drum) -> String {
    if drum.size_written.is_empty() {
        shown(Some(drum.area_mm2), "mm²")
    } else {
        drum.size_written.clone()
    }
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Drum>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let (area, size_written, _) = read_size(form, "size")?;
    let colour = read_colour(form, "colour")?;
    let new = Drum {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a number")?,
        area_mm2: area.ok_or_else(|| Wrong::at("size", "a size is needed"))?,
        size_written,
        insulation_class_c: form.amount("class", Quantity::Temperature)?,
        colour: Some(colour.ok_or_else(|| Wrong::at("colour", "a colour is needed"))?),
        stock_m: form.needed_amount("stock", Quantity::Length, "the length in stock")?,
        note: form.text("note"),
    };
    let name = format!("drum {}", new.label);
    kept(&name, old, new)
}
