//! The sheet for the glovebox: two A5 pages to print, laminate and leave in the vehicle.
//!
//! First what is needed beside the road: cautions, how it is made safe, the fuses. Then the plug with the most cavities, which
//! is the one that a service person probes first.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    Book,
    model::{About, Cavity, Connector, Fuse, View, Wire},
};

use super::{RecordInput, cover, page};
use crate::{
    draw::{face, side_words},
    fuse::{colour, is_live},
    markup::{Element, el},
    order::by_label,
    words,
};

const CAUTIONS: &[&str] = &[
    "Orange cables carry traction voltage: never touch, cut or probe them. They are work for people licensed for it.",
    "A battery manager, controller or contactor can be live with the key off. Measure before you touch.",
    "The makers' manuals and local rules win over this sheet. A fuse of another rating than the one listed can start a fire.",
];

/// The sheet as one HTML file of its own.
pub fn glovebox(input: &RecordInput<'_>) -> String {
    let book = input.book();
    let vehicle = cover::vehicle(book);
    let title = format!("{vehicle}: glovebox sheet");
    let style = format!(
        "{}{}",
        include_str!("glovebox.css"),
        page::running_foot(input, &vehicle)
    );
    let body = el("body").child(first(input, &vehicle)).children(second(book));
    page::document(&title, &style, body)
}

fn first(input: &RecordInput<'_>, vehicle: &str) -> Element {
    let book = input.book();
    let note = book
        .all::<About>()
        .values()
        .next()
        .map(|about| about.service_note.trim())
        .filter(|note| !note.is_empty())
        .unwrap_or("Nobody has written this yet. Ask the builder before you touch anything.");
    el("section")
        .class("side")
        .attr("id", "first")
        .child(el("h1").text(vehicle))
        .child(el("p").class("made").text(format!(
            "Control wiring, {}, as of {}. {}",
            cover::revision(book),
            input.made_at.format("%Y-%m-%d"),
            code_words(input)
        )))
        .child(
            el("ul")
                .class("caution")
                .children(CAUTIONS.iter().map(|text| el("li").text(text))),
        )
        .child(el("h2").text("Wakes, sleeps, is made safe"))
        .child(page::lines(note))
        .child(el("h2").text("Fuses"))
        .child(fuses(input))
}

/// Which workbook the sheet goes with.
fn code_words(input: &RecordInput<'_>) -> String {
    let code: String = input.head.to_string().chars().take(8).collect();
    format!("It matches the workbook whose verification code begins {code}.")
}

fn fuses(input: &RecordInput<'_>) -> Element {
    let book = input.book();
    let first = input.snapshot.states().first();
    let rows = by_label::<Fuse>(book).into_iter().map(|fuse| {
        let live = match first.and_then(|state| is_live(input.snapshot, fuse.id, state)) {
            Some(true) => "● live",
            Some(false) => "○ dead",
            None => "not known",
        };
        el("tr")
            .attr("id", format!("fuse-{}", fuse.id))
            .child(el("th").attr("scope", "row").text(&fuse.label))
            .child(el("td").text(Kind::Current.print(fuse.rating_a)))
            .child(el("td").text(colour(fuse)))
            .child(el("td").text(&fuse.feeds))
            .child(el("td").text(live))
    });
    let rest = first.map_or_else(
        || "Key off".to_owned(),
        |state| format!("In {}", book.label_of(state.state)),
    );
    table("fuses", &["Fuse", "Rating", "Colour", "Feeds", &rest], rows)
}

fn second(book: &Book) -> Option<Element> {
    // The first by name of those with the most cavities.
    let plug = by_label::<Connector>(book)
        .into_iter()
        .rev()
        .max_by_key(|connector| book.cavities_of(connector.id).len())?;
    let cavities = book.cavities_of(plug.id);
    if cavities.is_empty() {
        return None;
    }
    let unit = book.get(plug.unit).map_or("", |unit| unit.name.as_str());
    let half = cavities.len().div_ceil(2);
    let columns = cavities.chunks(half).map(|some| {
        table(
            "plug",
            &["No.", "Function", "Wire"],
            some.iter().map(|cavity| hole(book, cavity)),
        )
    });
    Some(
        el("section")
            .class("side")
            .attr("id", "second")
            .child(el("h2").text(format!("{} {}, {} cavities", plug.label, unit, cavities.len())))
            .child(
                el("figure")
                    .child(face(book, plug, View::WireSide))
                    .child(el("figcaption").text(format!("{} {}", plug.label, side_words(View::WireSide)))),
            )
            .child(el("div").class("halves").children(columns)),
    )
}

fn hole(book: &Book, cavity: &Cavity) -> Element {
    let ends = book.index().wires_at_cavity.get(&cavity.id);
    let wires: Vec<String> = ends
        .into_iter()
        .flatten()
        .filter_map(|(id, _)| book.get::<Wire>(*id))
        .map(|wire| {
            let colour = wire.colour.map(|c| format!(" {c}")).unwrap_or_default();
            format!("{}{colour}", wire.label)
        })
        .collect();
    let held = if wires.is_empty() {
        words::decision(book, cavity.decision)
    } else {
        wires.join(", ")
    };
    el("tr")
        .attr("id", format!("cavity-{}", cavity.id))
        .child(el("th").attr("scope", "row").text(&cavity.number))
        .child(el("td").text(&cavity.name))
        .child(el("td").text(held))
}

fn table(class: &'static str, heads: &[&str], rows: impl IntoIterator<Item = Element>) -> Element {
    el("table")
        .class(class)
        .child(
            el("thead").child(el("tr").children(heads.iter().map(|h| el("th").attr("scope", "col").text(h)))),
        )
        .child(el("tbody").children(rows))
}
