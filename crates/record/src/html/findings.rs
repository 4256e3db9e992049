//! What the checks say: open and accepted, and what they could not say.

use crimpbook_workbook::{
    Book,
    check::{Finding, Level},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, table},
};
use crate::{
    markup::{Element, el},
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let heads = ["Level", "Finding", "Figures", "Why it matters, and the mend"];
    let list = |caption: &str, accepted: bool| {
        let rows = input
            .report
            .all()
            .filter(|f| f.is_accepted() == accepted)
            .map(|f| row(input.book(), f));
        table(caption, "findings", &heads, rows)
    };
    let missing = input.report.cannot_check.iter().map(|c| {
        Row::new()
            .text(input.book().name_of(c.place))
            .text(&c.missing)
            .text(c.checks.join(", "))
    });
    vec![
        el("p").text(
            "A stop means: do not put power on. A warning wants to be looked at before power is put on. \
             An accepted finding stays listed, with who accepted it and why.",
        ),
        list("Open findings", false),
        list("Accepted findings", true),
        table(
            "Cannot check: facts that are missing",
            "missing",
            &["At", "Missing", "Checks that want it"],
            missing,
        ),
    ]
}

fn row(book: &Book, finding: &Finding) -> Row {
    let hangs = finding
        .follows_from
        .map(|_| small("follows from the finding above"))
        .into_iter();
    let accepted = finding.accepted.as_ref().map(|a| {
        let lapsed = a
            .lapsed
            .as_ref()
            .map(|why| format!(" No longer counts: {why}."))
            .unwrap_or_default();
        el("p").child(el("b").text("Accepted: ")).text(format!(
            "{} ({}, {}).{lapsed}",
            a.why,
            a.who,
            a.at.format("%Y-%m-%d")
        ))
    });
    let mend = finding
        .mend
        .as_ref()
        .map(|m| el("p").child(el("b").text("Mend: ")).text(&m.words));
    let matters = (!finding.why_it_matters.is_empty()).then(|| el("p").text(&finding.why_it_matters));
    let source =
        (!finding.source.is_empty()).then(|| el("p").child(small(format!("Rests on: {}", finding.source))));
    Row::new()
        .cell(
            el("td")
                .class("level")
                .child(mark(finding.level))
                .text(format!(" {}", finding.level.words())),
        )
        .cell(
            el("td")
                .child(el("p").text(&finding.sentence))
                .child(el("p").child(small(format!(
                    "{} · {}",
                    words::places(book, &finding.places),
                    finding.check
                ))))
                .children(hangs),
        )
        .cell(el("td").children(finding.figures.iter().map(|f| el("p").text(words::figure(f)))))
        .cell(
            el("td")
                .children(matters)
                .children(mend)
                .children(accepted)
                .children(source),
        )
}

/// A shape for a level, beside its word.
pub(super) fn mark(level: Level) -> Element {
    let (class, shape) = match level {
        Level::Stop => ("mark stop", "■"),
        Level::Warning => ("mark warning", "▲"),
        Level::Note => ("mark note", "○"),
    };
    el("span").class(class).attr("aria-hidden", "true").text(shape)
}
