//! A temporary link: a bridge, a lamp or a terminator put in for a test.

use crimpbook_workbook::{edit::make, model::End};

use super::{Field, Form, Start, Taken, Wrong, read::ends};
use crate::screen::{effect::Then, model::Model};

pub fn fields(model: &Model, start: &Start) -> (String, Vec<Field>) {
    let offered = || ends(&model.book);
    let fields = vec![
        Field::new("words", "what it is", "", "bridge, or 2.2 W lamp for F6"),
        Field::new("from", "from", start.from.clone(), "MC-A3").offered(offered()),
        Field::new("to", "to", "", "MC-A7 or G2").offered(offered()),
        Field::new("why", "why", "", "which test needs it"),
    ];
    ("Temporary link for a test".to_owned(), fields)
}

pub fn take(model: &mut Model, form: &Form) -> Taken {
    let book = std::sync::Arc::clone(&model.book);
    let words = form.needed("words", "what it is")?;
    let (from, to) = (form.end(&book, "from")?, form.end(&book, "to")?);
    if from == End::Free {
        return Err(Wrong::at("from", "name the place it is put in"));
    }
    if to == End::Free {
        return Err(Wrong::at("to", "name the place it leads to"));
    }
    let why = form.needed("why", "a why")?;
    let now = model.now;
    let edit = make::add_link(&book, &mut model.ids, (from, to), &words, &why, now)
        .map_err(|refusal| Wrong::whole(refusal.to_string()))?;
    let then = Then {
        close: true,
        go: None,
        advance: false,
    };
    Ok((edit, then))
}
