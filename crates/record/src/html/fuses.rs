//! The fuse legend: what goes out when one blows.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{analysis::Snapshot, model::Fuse};

use super::{
    RecordInput,
    page::small,
    table::{Row, table, together},
};
use crate::{
    fuse::{colour, is_live, wires_meant, wires_traced},
    markup::{Element, el},
    order::by_label,
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let see = input.snapshot;
    let book = input.book();
    // States are listed from the one at rest.
    let first = see.states().first();
    let live_head = first.map_or_else(
        || "Live with key off".to_owned(),
        |state| format!("Live in {}", book.label_of(state.state)),
    );
    let rows = by_label::<Fuse>(book).into_iter().map(|fuse| {
        let note = (!fuse.note.is_empty()).then(|| el("p").child(small(&fuse.note)));
        let live = match first.and_then(|state| is_live(see, fuse.id, state)) {
            Some(true) => "● live",
            Some(false) => "○ dead",
            None => "not known",
        };
        let colour = colour(fuse);
        let colour = (!colour.is_empty()).then(|| el("p").child(small(colour)));
        Row::at("fuse", fuse.id)
            .name(&fuse.label)
            .cell(
                el("td")
                    .child(el("p").child(together(Kind::Current.print(fuse.rating_a))))
                    .children(colour),
            )
            .text(words::fuse_kind(fuse.kind))
            .cell(el("td").child(el("p").text(&fuse.feeds)).children(note))
            .text(&fuse.holder)
            .cell(wires(see, fuse))
            .text(live)
    });
    vec![
        el("p").text(
            "Put in no other rating than the one listed: it protects the wires named here, traced from the sources down to the \
             next fuse. A fuse that blows again has a cause. The colour is the usual one of that rating.",
        ),
        table(
            "Fuses",
            "fuses",
            &["Fuse", "Rating", "Kind", "Feeds", "Holder", "Wires", &live_head],
            rows,
        ),
    ]
}

/// Wires as traced, and where that is not what the builder meant.
fn wires(see: &Snapshot, fuse: &Fuse) -> Element {
    let meant = wires_meant(see.book(), fuse.id);
    let Some(traced) = wires_traced(see, fuse.id) else {
        return el("td")
            .child(el("p").text(meant.join(", ")))
            .child(el("p").child(small("as meant; no source reaches this fuse in the workbook")));
    };
    let not_in = |these: &[String], those: &[String]| {
        let only: Vec<&str> = these
            .iter()
            .filter(|l| !those.contains(l))
            .map(String::as_str)
            .collect();
        only.join(", ")
    };
    let differs = |words: &str, labels: String| {
        (!labels.is_empty()).then(|| el("p").child(small(format!("{words}: {labels}"))))
    };
    el("td")
        .child(el("p").text(traced.join(", ")))
        .children(differs("traced but not meant", not_in(&traced, &meant)))
        .children(differs(
            "meant, but behind a load or not reached",
            not_in(&meant, &traced),
        ))
}
