//! Tables in, seen whole.

mod clear;
mod hostile;
mod others;
mod shelf;
mod ugly;
mod whole;

use crimpbook_workbook::{
    Book,
    model::{Connector, Id, IdMaker},
};

use super::{ImportError, Options, Plan, Text, What, plan};
use crate::sample;

/// What `text` would come to at a connector of the sample.
fn cavities(book: &Book, connector: &str, text: &str, options: &Options) -> Result<Plan, ImportError> {
    let connector = book.index().labelled::<Connector>(connector);
    let what = What::Cavities { connector };
    plan(
        book,
        &mut IdMaker::new(7),
        &Text::pasted(text).unwrap(),
        what,
        options,
    )
}

fn wires(book: &Book, text: &str, options: &Options) -> Plan {
    plan(
        book,
        &mut IdMaker::new(7),
        &Text::pasted(text).unwrap(),
        What::Wires,
        options,
    )
    .unwrap()
}

/// The book after a plan, through the door.
fn after(book: &Book, plan: &Plan) -> Book {
    let mut book = book.clone();
    let entry = book
        .prepare(plan.edit.clone().unwrap(), sample::stamp(50))
        .unwrap();
    book.apply(&entry).unwrap();
    book
}

/// The sample with a connector that has no face and no cavities yet.
fn with_empty_connector() -> (Book, Id<Connector>) {
    let mut book = sample::book();
    let unit = book.index().labelled("MC").unwrap();
    let draft = crimpbook_workbook::edit::make::ConnectorDraft {
        label: "MC-X".to_owned(),
        ..Default::default()
    };
    let edit =
        crimpbook_workbook::edit::make::add_connector(&book, &mut IdMaker::new(3), unit, &draft).unwrap();
    let entry = book.prepare(edit, sample::stamp(40)).unwrap();
    book.apply(&entry).unwrap();
    let id = book.index().labelled::<Connector>("MC-X").unwrap();
    (book, id)
}
