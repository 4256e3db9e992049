//! The log, one entry a row.

use crimpbook_workbook::log::EntryHead;

use super::{Cell, Column, Sheet};

pub(super) fn log(heads: &[EntryHead]) -> Sheet {
    let columns = [
        ("entry", "Place in the log, from 1"),
        ("at", "When"),
        ("who", "Who"),
        ("is", "What kind of entry"),
        ("what", "In one line"),
        ("why", "Why"),
        ("revision", "Revision letter of a release"),
    ];
    let row = |head: &EntryHead| {
        vec![
            Cell::Count(head.seq),
            Cell::Moment(head.at),
            Cell::text(&head.who),
            Cell::text(head.kind.words()),
            Cell::text(&head.title),
            Cell::text(&head.why),
            Cell::text(head.revision.clone().unwrap_or_default()),
        ]
    };
    Sheet {
        name: "log",
        about: "Every change ever made, oldest first",
        columns: Column::list(&columns),
        rows: heads.iter().map(row).collect(),
    }
}
