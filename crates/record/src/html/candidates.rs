//! Sources that were weighed for an input, taken or not.

use crimpbook_workbook::{
    book::{InOrder, natural},
    model::Candidate,
};

use super::{
    RecordInput,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut rows: Vec<&Candidate> = book.all::<Candidate>().values().collect();
    rows.order_by(|c| (natural(&book.cavity_name(c.sink)), c.id));
    let rows = rows.into_iter().map(|candidate| {
        let source = candidate.source.map(|id| {
            el("span")
                .text(" (")
                .child(link("cavity", id, book.cavity_name(id)))
                .text(")")
        });
        let sink = link("cavity", candidate.sink, book.cavity_name(candidate.sink));
        Row::new()
            .cell(el("th").attr("scope", "row").child(sink))
            .cell(el("td").text(&candidate.words).children(source))
            .text(words::verdict(candidate.verdict))
            .text(&candidate.why)
    });
    vec![table(
        "Sources weighed",
        "candidates",
        &["Input", "Source", "Verdict", "Why"],
        rows,
    )]
}
