//! What changed in the plan since its last release, field by field.

use super::{
    RecordInput,
    table::{Row, table},
};
use crate::markup::{Element, el};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let Some(since) = input.since else {
        return vec![
            el("p")
                .class("none")
                .text("Nothing to compare: the plan was not released yet, or it stands as it was released."),
        ];
    };
    let rows = since.changed.iter().flat_map(|changed| {
        changed.fields.iter().enumerate().map(|(at, field)| {
            let first = at == 0;
            let row = if first {
                Row::new().name(&changed.name)
            } else {
                Row::new().text("")
            };
            row.text(&field.field)
                .text(&field.was)
                .text(&field.is)
                .text(if first {
                    changed.whys.join("; ")
                } else {
                    String::new()
                })
        })
    });
    vec![
        el("p").text(format!(
            "From {} to {}: {}.",
            since.from,
            since.to,
            since.counts()
        )),
        table(
            "Changed, kind by kind",
            "since",
            &["What", "Field", "Was", "Is", "Why"],
            rows,
        ),
    ]
}
