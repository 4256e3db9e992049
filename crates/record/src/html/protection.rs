//! The supply tree, what protects each wire, shorts at far ends.

use crimpbook_core::fuse::FarEnd;
use crimpbook_workbook::{
    analysis::{
        Snapshot,
        protect::{FarRow, TreeRow, Twig, far_end_words, far_ends, picture},
    },
    check::words::{celsius, number, time},
    model::{Fuse, Wire},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, link, table},
};
use crate::{
    draw::{at_most, grade_words, supply_tree, time_current},
    markup::{Element, el},
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let see = input.snapshot;
    let mut elements = vec![el("p").text(
        "Traced from the wiring, worst over all operating states. It covers control wiring up to 60 V DC; a passed check is not \
         an approval.",
    )];
    let pictures = supply_tree(see);
    elements.extend(
        pictures
            .into_iter()
            .map(|svg| el("figure").class("whole").child(svg)),
    );
    let rows = see.tree().rows.iter().map(|row| twig(see, row));
    elements.push(table(
        "Supply tree, from the sources to the loads",
        "tree",
        &[
            "Feeds, one beneath the other",
            "At most",
            "Runs at",
            "Drops",
            "Worth",
        ],
        rows,
    ));
    if see.tree().others > 0 {
        elements.push(el("p").text(format!(
            "{} wires carry no supply: returns, and what lies behind a load.",
            see.tree().others
        )));
    }
    elements.extend(time_over_current(see));
    let rows = far_ends(see).into_iter().map(|row| far(see, &row));
    elements.push(table(
        "A short at the far end of each wire, the gravest first",
        "far",
        &[
            "Wire",
            "Fuse",
            "Flows",
            "Fuse has opened after",
            "Wire bears",
            "That is",
        ],
        rows,
    ));
    elements
}

/// A row of the tree, moved in as deep as it stands.
fn twig(see: &Snapshot, row: &TreeRow) -> Row {
    let (book, wiring) = (see.book(), see.wiring());
    let part = |at: usize| {
        wiring
            .parts
            .get(at)
            .map_or_else(String::new, |run| book.label_of(run.part))
    };
    let figures = &row.figures;
    let name = match row.twig {
        Twig::Source(at) => el("span")
            .child(el("b").text(part(at)))
            .text(" ")
            .child(small("source")),
        Twig::Load(at) => el("span").text(part(at)).text(" ").child(small("draws")),
        Twig::Fuse(id) => {
            let fuse: Option<&Fuse> = book.get(id);
            let rating = fuse.map_or_else(String::new, |f| format!(" {} A ", number(f.rating_a)));
            el("b")
                .child(link("fuse", id, book.label_of(id)))
                .text(rating)
                .child(small(fuse.map(|f| f.feeds.as_str()).unwrap_or_default()))
        }
        Twig::Wire(at) => match wiring.wires.get(at).and_then(|run| book.get::<Wire>(run.wire)) {
            Some(wire) => el("span")
                .child(link("wire", wire.id, &wire.label))
                .text(format!(" {} ", words::size(wire).0))
                .child(small(&wire.signal)),
            None => el("span"),
        },
    };
    let runs = figures.conductor_c.filter(|c| c.is_finite()).map(|c| {
        figures.class_c.map_or_else(
            || celsius(c),
            |class| format!("{} of {}", celsius(c), celsius(class)),
        )
    });
    let unfused = matches!(row.twig, Twig::Wire(at) if see.protection().wires.get(at).copied().flatten().is_some_and(|f| f.fuse.is_none()));
    let worth = match figures.grade {
        Some(grade) => grade_words(grade).to_owned(),
        None if unfused => "no fuse".to_owned(),
        None => String::new(),
    };
    Row::new()
        .cell(
            el("td").child(
                el("div")
                    .attr("style", format!("padding-left:{}em", row.depth.min(12)))
                    .child(name),
            ),
        )
        .text(
            figures
                .current_a
                .map(|worst| at_most(see, worst))
                .unwrap_or_default(),
        )
        .text(runs.unwrap_or_default())
        .text(figures.drop_v.map(|v| format!("{v:.2} V")).unwrap_or_default())
        .text(worth)
}

fn time_over_current(see: &Snapshot) -> Vec<Element> {
    let book = see.book();
    let mut drawn = Vec::new();
    let mut missing = Vec::new();
    for fuse in crate::order::by_label::<Fuse>(book) {
        match picture(see, fuse.id) {
            Ok(picture) => drawn.push(el("figure").child(time_current(book, &picture))),
            Err(lacks) => missing.push(
                el("p")
                    .child(el("b").text(&fuse.label))
                    .text(format!(": cannot draw time over current: missing {lacks}.")),
            ),
        }
    }
    if drawn.is_empty() && missing.is_empty() {
        return Vec::new();
    }
    let mut elements = vec![
        el("h3").text("Time over current: each fuse and the wires beneath it"),
        el("p").text(
            "A wire's line must lie above and to the right of the fuse's band: then the fuse opens before the wire is hurt. What \
             the lines rest on stands with the findings.",
        ),
    ];
    elements.push(el("div").class("plots").children(drawn));
    elements.extend(missing);
    elements
}

fn far(see: &Snapshot, row: &FarRow) -> Row {
    let book = see.book();
    let cells = Row::new()
        .cell(
            el("th")
                .attr("scope", "row")
                .child(link("wire", row.wire, book.label_of(row.wire))),
        )
        .cell(el("td").child(link("fuse", row.fuse, book.label_of(row.fuse))));
    match &row.verdict {
        Err(missing) => cells
            .text("")
            .text("")
            .text("")
            .text(format!("cannot check: missing {missing}")),
        Ok(verdict) => cells
            .text(format!("{} A", number(verdict.fault_a)))
            .text(opened(verdict))
            .text(verdict.wire.map_or_else(String::new, |bears| time(bears.time_s)))
            .text(format!(
                "{}: {}",
                grade_words(verdict.grade),
                far_end_words(verdict)
            )),
    }
}

fn opened(verdict: &FarEnd) -> String {
    if verdict.fuse_longest_s.is_infinite() {
        "not promised".to_owned()
    } else {
        time(verdict.fuse_longest_s)
    }
}
