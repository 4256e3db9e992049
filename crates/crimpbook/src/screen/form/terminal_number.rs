//! A terminal number of DIN 72552 at a place.

use crimpbook_core::tables::terminals::{terminal, terminals};
use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{End, Id, Terminal, TerminalNumber},
};

use super::{Field, Form, Start, Taken, Wrong, change, read::ends};
use crate::screen::{effect::Then, model::Model};

pub fn fields(model: &Model, id: Option<Id<TerminalNumber>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let fields = vec![
        Field::new(
            "at",
            "at",
            old.map_or_else(|| start.from.clone(), |t| book.terminal_name(&t.at)),
            "PB-A3 or SP7; with it the whole net has the number",
        )
        .offered(ends(book)),
        Field::new(
            "number",
            "number",
            old.map(|t| t.number.clone()).unwrap_or_default(),
            "15, 30, 31, 85, 86, 87, 87a",
        )
        .offered(terminals().iter().map(|row| row.number.to_string()).collect()),
        Field::new(
            "note",
            "note",
            old.map(|t| t.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    ("Terminal number of DIN 72552".to_owned(), fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<TerminalNumber>>) -> Taken {
    let book = std::sync::Arc::clone(&model.book);
    let old = id.and_then(|id| book.get(id)).cloned();
    let typed = form.needed("number", "the number")?;
    let at = match form.end(&book, "at") {
        // A place inside a unit cannot be typed; it stays where it is.
        _ if old
            .as_ref()
            .is_some_and(|o| book.terminal_name(&o.at) == form.text("at")) =>
        {
            old.as_ref().map(|o| o.at.clone())
        }
        Ok(End::Cavity(id)) => Some(Terminal::Cavity(id)),
        Ok(End::Junction(id)) => Some(Terminal::Junction(id)),
        Ok(End::Free) => None,
        Err(wrong) => return Err(wrong),
    };
    let new = TerminalNumber {
        id: id.unwrap_or_else(|| model.ids.make()),
        at: at.ok_or_else(|| Wrong::at("at", "name the cavity, splice or stud"))?,
        // As the standard writes it, where it knows the number.
        number: terminal(&typed).map_or(typed, |row| row.number.to_string()),
        note: form.text("note"),
    };
    let title = format!("terminal {} at {}", new.number, book.terminal_name(&new.at));
    let change: Change = change(old, new).ok_or_else(Wrong::unchanged)?;
    let then = Then {
        close: true,
        go: None,
        advance: false,
    };
    Ok((Edit::design(title, vec![change]), then))
}
