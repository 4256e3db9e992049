//! A photo or file: its name, what it is about, a note.

use crimpbook_workbook::{
    edit::make,
    model::{FileNote, Id, Key},
};

use super::{Field, Form, Taken, Wrong};
use crate::screen::{effect::Then, model::Model};

pub fn fields(model: &Model, id: Option<Id<FileNote>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(
        || "New photo or file: its name is kept, not the file".to_owned(),
        |f| format!("Photo or file {}", f.name),
    );
    let fields = vec![
        Field::new(
            "name",
            "name",
            old.map(|f| f.name.clone()).unwrap_or_default(),
            "IMG_0417.jpg, or a folder and a name",
        ),
        Field::new(
            "of",
            "of",
            of_words(model, old),
            "MC-A, W44, SP7, MC; empty: the vehicle",
        ),
        Field::new(
            "note",
            "note",
            old.map(|f| f.note.clone()).unwrap_or_default(),
            "both sides, before the boot went on",
        ),
    ];
    (title, fields)
}

/// What it is about, as it is typed.
fn of_words(model: &Model, file: Option<&FileNote>) -> String {
    let Some(key) = file.and_then(|f| f.of) else {
        return String::new();
    };
    match key.as_id() {
        Some(cavity) => model.book.cavity_name(cavity),
        None => {
            let record = model.book.tables().get(key);
            record.map(|r| r.label().to_owned()).unwrap_or_default()
        }
    }
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<FileNote>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let text = form.text("of");
    let of = if text.is_empty() {
        None
    } else if old.as_ref().is_some_and(|f| of_words(model, Some(f)) == text) {
        old.as_ref().and_then(|f| f.of)
    } else {
        Some(model.book.find(&text).ok_or_else(|| {
            Wrong::at(
                "of",
                format!("nothing is called {text}; write it as in MC-A, MC-A16, W44, or leave it empty"),
            )
        })?)
    };
    let new = id.unwrap_or_else(|| model.ids.make());
    let file = FileNote {
        id: new,
        name: form.needed("name", "a name")?,
        of,
        note: form.text("note"),
        at: old.as_ref().map_or(model.now, |f| f.at),
        who: old.map_or_else(|| model.who.clone(), |f| f.who),
    };
    let edit = make::put_file(&model.book, file).map_err(|_| Wrong::unchanged())?;
    let then = Then {
        close: true,
        go: id.is_none().then(|| Key::of(new)),
        advance: false,
    };
    Ok((edit, then))
}
