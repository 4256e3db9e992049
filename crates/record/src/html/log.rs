//! The change log: what, why, who, when.

use crimpbook_workbook::log::{EntryHead, EntryKind};

use super::{
    RecordInput,
    table::{Row, table},
};
use crate::markup::{Element, el};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let (ticks, changes): (Vec<&EntryHead>, Vec<&EntryHead>) = input
        .heads
        .iter()
        .partition(|head| matches!(head.kind, EntryKind::Progress | EntryKind::Reading));
    let rows = changes.into_iter().map(|head| {
        let revision = head
            .revision
            .as_ref()
            .map(|letter| el("b").text(format!("Revision {letter}. ")));
        Row::new()
            .name(head.seq.to_string())
            .moment(head.at)
            .text(&head.who)
            .text(head.kind.words())
            .cell(el("td").children(revision).text(&head.title))
            .text(&head.why)
    });
    vec![
        table(
            "Changes, oldest first",
            "log",
            &["No.", "When (UTC)", "Who", "Kind", "What", "Why"],
            rows,
        ),
        el("p").text(format!(
            "Entries left out here because they stand under \"Build and readings\": {} build steps and readings.",
            ticks.len()
        )),
    ]
}
