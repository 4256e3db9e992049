//! What the checks say.

use crimpbook_workbook::{
    Book,
    check::{CannotCheck, Finding, Report},
};

use super::{Cell, Sheet};
use crate::words;

pub(super) fn findings(book: &Book, report: &Report) -> Sheet {
    Sheet::of(
        "findings",
        "What the checks say",
        book,
        report.all(),
        &[
            ("level", "Stop, warning or note", |_, f| {
                Cell::text(f.level.words())
            }),
            ("check", "The check", |_, f| Cell::text(f.check)),
            ("places", "Where, the place itself first", |book, f| {
                Cell::text(words::places(book, &f.places))
            }),
            ("finding", "In plain words", |_, f| Cell::text(&f.sentence)),
            ("figures", "Figures against their limits", |_, f| {
                Cell::text(words::figures(f))
            }),
            ("matters", "What happens if it stays so", |_, f| {
                Cell::text(&f.why_it_matters)
            }),
            ("mend", "The cheapest computed way out", |_, f| {
                f.mend.as_ref().map_or(Cell::Nothing, |m| Cell::text(&m.words))
            }),
            ("accepted_because", "Why it is accepted", |_, f| {
                f.accepted.as_ref().map_or(Cell::Nothing, |a| Cell::text(&a.why))
            }),
            ("accepted_by", "Who accepted it", |_, f| {
                f.accepted.as_ref().map_or(Cell::Nothing, |a| Cell::text(&a.who))
            }),
            (
                "acceptance_lapsed_because",
                "Why the acceptance no longer counts",
                |_, f| {
                    f.accepted
                        .as_ref()
                        .and_then(|a| a.lapsed.as_ref())
                        .map_or(Cell::Nothing, Cell::text)
                },
            ),
            ("source", "What it rests on", |_, f: &Finding| {
                Cell::text(&f.source)
            }),
        ],
    )
}

pub(super) fn cannot_check(book: &Book, report: &Report) -> Sheet {
    Sheet::of(
        "cannot_check",
        "Facts that are missing",
        book,
        &report.cannot_check,
        &[
            (
                "place",
                "The record the fact belongs to",
                |book, c: &CannotCheck| Cell::text(book.name_of(c.place)),
            ),
            ("missing", "What is missing", |_, c| Cell::text(&c.missing)),
            ("checks", "Checks that want it", |_, c| {
                Cell::text(c.checks.join(", "))
            }),
        ],
    )
}
