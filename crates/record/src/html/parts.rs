//! What is inside the units, as their manuals give it.

use crimpbook_workbook::{
    book::{InOrder, natural},
    model::{Part, Switch},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut parts = by_label::<Part>(book);
    parts.order_by(|p| natural(&book.label_of(p.unit)));
    let parts = parts.into_iter().map(|part| {
        let roles = part.kind.roles().iter().copied().chain(std::iter::repeat("end"));
        let ends = roles
            .zip(&part.ends)
            .map(|(role, end)| format!("{role} {}", book.terminal_name(end)))
            .collect::<Vec<_>>();
        Row::new()
            .text(book.label_of(part.unit))
            .name(&part.label)
            .text(part.kind.words())
            .cell(
                el("td")
                    .text(words::part(book, part))
                    .children((!part.note.is_empty()).then(|| el("p").child(small(&part.note)))),
            )
            .text(ends.join("; "))
    });
    let switches = by_label::<Switch>(book).into_iter().map(|switch| {
        Row::new()
            .name(&switch.label)
            .text(words::switch_kind(switch.kind))
            .text(switch.positions.join(", "))
            .text(&switch.note)
    });
    vec![
        table(
            "Switches and leads",
            "switches",
            &["Switch", "Is", "Positions, the one at rest first", "Note"],
            switches,
        ),
        table(
            "Inside parts",
            "parts",
            &["Unit", "Part", "Is", "Figures", "Joined to"],
            parts,
        ),
    ]
}
