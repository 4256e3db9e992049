//! The fuse legend: what goes out when one blows.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::Fuse;

use super::{
    RecordInput,
    page::small,
    table::{Row, table},
};
use crate::{
    fuse::wires_meant,
    markup::{Element, el},
    order::by_label,
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book;
    let rows = by_label::<Fuse>(book).into_iter().map(|fuse| {
        let note = (!fuse.note.is_empty()).then(|| el("p").child(small(&fuse.note)));
        Row::at("fuse", fuse.id)
            .name(&fuse.label)
            .figure(Some(Kind::Current.print(fuse.rating_a)))
            .text(words::fuse_kind(fuse.kind))
            .cell(el("td").child(el("p").text(&fuse.feeds)).children(note))
            .text(&fuse.holder)
            .text(wires_meant(book, fuse.id).join(", "))
    });
    vec![
        el("p").text("Put in no other rating than the one listed: it protects the wires named here. A fuse that blows again has a cause."),
        table(
            "Fuses",
            "fuses",
            &["Fuse", "Rating", "Kind", "Feeds", "Holder", "Wires"],
            rows,
        ),
    ]
}
