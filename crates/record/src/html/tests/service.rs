//! The service page: what was written stands in the record and on the sheet, what was not is named.

use crimpbook_workbook::{
    Book,
    model::{About, Row as _, ServiceNotes, Tables},
};

use super::{by_id, complete::DEMONSTRATION, made, sheet_of, text, tree};
use crate::sample;
use crimpbook_workbook::check::Report;

fn with(service: ServiceNotes) -> Book {
    let mut tables: Tables = sample::book().tables().clone();
    let mut about: About = tables.about.values().next().unwrap().clone();
    about.service = service;
    tables.put(about.into_record());
    Book::from_tables(tables, None)
}

#[test]
fn what_was_written_stands_on_the_service_page() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let told = text(by_id(&tree, "service"));
    let about = book.all::<About>().values().next().unwrap();
    let (written, missing): (Vec<_>, Vec<_>) = about
        .service
        .told()
        .into_iter()
        .partition(|(_, note)| !note.is_empty());
    assert!(written.len() >= 4 && !missing.is_empty());
    for (what, note) in written {
        assert!(told.contains(note), "{what}");
    }
    let names: Vec<&str> = missing.iter().map(|(what, _)| *what).collect();
    assert!(
        told.contains(&format!("not written: {}", names.join("; "))),
        "{told}"
    );
    assert!(text(tree.root()).contains("Where it is disconnected"));
}

#[test]
fn what_nobody_wrote_is_named_on_page_and_sheet() {
    let book = with(ServiceNotes::default());
    let page = made(&book, &[], &Report::default());
    let told = text(by_id(&tree(&page), "service"));
    for (what, _) in ServiceNotes::default().told() {
        assert!(told.contains(what), "{what}");
    }
    let sheet = sheet_of(&book);
    for what in [
        "Disconnect: not written: where to disconnect it",
        "Tow: not written: how to tow it",
        "12 V flat: not written",
        "Lamps: not written: what its lamps mean",
    ] {
        assert!(text(tree(&sheet).root()).contains(what), "{what}");
    }
}

#[test]
fn the_sheet_has_what_is_needed_beside_the_road() {
    let notes = ServiceNotes {
        disconnect: "beneath the seat".to_owned(),
        towing: "on a lorry".to_owned(),
        flat: "feed the posts".to_owned(),
        lamps: "red: stop".to_owned(),
        ..ServiceNotes::default()
    };
    let sheet = sheet_of(&with(notes));
    let tree = tree(&sheet);
    let (first, second) = (text(by_id(&tree, "first")), text(by_id(&tree, "second")));
    for (side, what) in [
        (&first, "Disconnect: beneath the seat"),
        (&first, "Tow: on a lorry"),
        (&second, "12 V flat: feed the posts"),
        (&second, "Lamps: red: stop"),
    ] {
        assert!(side.contains(what), "{what}: {side}");
    }
}
