//! A colour that the house keeps for one use.

use crimpbook_workbook::model::{ColourUse, Id, WireUse};

use super::{Field, Form, Taken, Wrong, kept, wire::read_colour};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<ColourUse>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let fields = vec![
        Field::new(
            "purpose",
            "use",
            old.map(|c| c.purpose.words()).unwrap_or_default(),
            "ground, permanent, switched",
        )
        .one_of(WireUse::ALL.iter().map(|u| u.words())),
        Field::new(
            "colour",
            "colour",
            old.and_then(|c| c.colour)
                .map(|c| c.to_string())
                .unwrap_or_default(),
            "BK: with any tracer; GN/YE: with this one only",
        ),
        Field::new(
            "note",
            "note",
            old.map(|c| c.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    ("Colour that the house keeps for one use".to_owned(), fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<ColourUse>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let typed = form.needed("purpose", "what the wires are for")?;
    let purpose = WireUse::ALL
        .iter()
        .find(|u| u.words().eq_ignore_ascii_case(&typed));
    let colour = read_colour(form, "colour")?.ok_or_else(|| Wrong::at("colour", "a colour is needed"))?;
    let new = ColourUse {
        id: id.unwrap_or_else(|| model.ids.make()),
        purpose: *purpose.ok_or_else(|| Wrong::at("purpose", "there is no such use"))?,
        colour: Some(colour),
        note: form.text("note"),
    };
    let name = format!("house colour {colour} for {}", new.purpose.words());
    kept(&name, old, new)
}
