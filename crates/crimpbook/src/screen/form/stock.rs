//! What is in stock of a line of the parts list.

use crimpbook_record::lists::needs;
use crimpbook_workbook::model::{Id, StockLine};

use super::{Field, Form, Taken, kept};
use crate::screen::{figures::number, model::Model};

pub fn fields(model: &Model, id: Option<Id<StockLine>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(|| "Count a part".to_owned(), |s| format!("Stock of {}", s.label));
    let figure = |pick: fn(&StockLine) -> f64| old.map(|s| number(pick(s))).unwrap_or_default();
    // Lines that are counted already are changed where they stand.
    let open: Vec<String> = needs(book, 0.0)
        .iter()
        .map(|need| need.label())
        .filter(|label| book.index().labelled::<StockLine>(label).is_none())
        .collect();
    let fields = vec![
        Field::new(
            "label",
            "part",
            old.map(|s| s.label.clone()).unwrap_or_default(),
            "contact M, 0.5 mm², as the parts list words it",
        )
        .offered(open),
        Field::new(
            "have",
            "have",
            figure(|s| s.have),
            "at hand before anything was ordered, 40",
        ),
        Field::new("ordered", "ordered", figure(|s| s.ordered), "in all, 100"),
        Field::new("here", "here", figure(|s| s.here), "of those ordered, come, 60"),
        Field::new(
            "note",
            "note",
            old.map(|s| s.note.clone()).unwrap_or_default(),
            "whom from, order number",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<StockLine>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let many = |name| Ok(form.plain_number(name, "")?.unwrap_or(0.0));
    let new = StockLine {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "the part")?,
        have: many("have")?,
        ordered: many("ordered")?,
        here: many("here")?,
        note: form.text("note"),
    };
    let name = format!("stock of {}", new.label);
    kept(&name, old, new)
}
