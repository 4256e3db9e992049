//! The sheet for the glovebox: two A5 pages to print, laminate and leave in the vehicle.
//!
//! First what is needed beside the road: cautions, how it is made safe, disconnected and towed, the fuses. Then the plug with
//! the most cavities, which is the one that a service person probes first. What does not fit says that the record has more.

mod plug;
mod room;

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::{About, Fuse};

use super::{RecordInput, cover, page, service};
use crate::{
    fuse::{colour, is_live},
    markup::{Element, el},
    order::by_label,
};
use room::{HEADING_MM, LETTERS, LINE_MM, PAGE_MM, cut, lines_of, row_mm, short};

const CAUTIONS: &[&str] = &[
    "Orange cables carry traction voltage: never touch, cut or probe them. They are work for people licensed for it.",
    "Units can be live with the key off. Measure before you touch.",
    "The makers' manuals and local rules win over this sheet. A fuse of another rating than listed can start a fire.",
];
/// Letters of what a fuse feeds to a line.
const FEEDS: usize = 42;
/// Lines that the notes may take where room is short: made safe, disconnect, tow.
const SHORT_NOTES: [usize; 3] = [9, 4, 3];

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
    let body = el("body")
        .child(first(input, &vehicle))
        .children(plug::page(book));
    page::document(&title, &style, body)
}

fn first(input: &RecordInput<'_>, vehicle: &str) -> Element {
    let book = input.book();
    let about = book.all::<About>().values().next();
    let safe = about
        .map(|about| about.service_note.trim())
        .filter(|note| !note.is_empty())
        .unwrap_or("Nobody has written this yet. Ask the builder before you touch anything.");
    let notes = service::notes(book);
    let vehicle = short(vehicle, 40);
    let code: String = input.head.to_string().chars().take(8).collect();
    let made = short(
        &format!(
            "{}, {}; verification code begins {code}.",
            service::capital(&cover::revision(book)),
            input.made_at.format("%Y-%m-%d"),
        ),
        LETTERS,
    );
    let cautions: usize = CAUTIONS.iter().map(|text| lines_of(text, LETTERS - 3)).sum();
    // The name in its larger type, the box's rims, two headings and the head of the fuses.
    let fixed =
        9.0 + (lines_of(&made, LETTERS) + cautions) as f64 * LINE_MM + 4.0 + 2.0 * HEADING_MM + row_mm(1);
    let wanted = |most: [usize; 3]| {
        (
            cut(safe, LETTERS, most[0]),
            run_in(
                "Disconnect",
                notes.disconnect.trim(),
                "where to disconnect it",
                most[1],
            ),
            run_in("Tow", notes.towing.trim(), "how to tow it", most[2]),
        )
    };
    let height = |told: &(String, (Element, usize), (Element, usize))| {
        (lines_of(&told.0, LETTERS) + told.1.1 + told.2.1) as f64 * LINE_MM
    };
    let fuses = by_label::<Fuse>(book);
    let whole = wanted([usize::MAX; 3]);
    let room = PAGE_MM - fixed;
    let (told, one_line) = if height(&whole) + fuses_mm(&fuses, false) <= room {
        (whole, false)
    } else if height(&whole) + fuses_mm(&fuses, true) <= room {
        (whole, true)
    } else {
        (wanted(SHORT_NOTES), true)
    };
    let most = if height(&told) + fuses_mm(&fuses, one_line) <= room {
        fuses.len()
    } else {
        ((room - height(&told) - LINE_MM) / row_mm(1)).max(0.0) as usize
    };
    el("section")
        .class("side")
        .attr("id", "first")
        .child(el("h1").text(vehicle))
        .child(el("p").class("made").text(made))
        .child(
            el("ul")
                .class("caution")
                .children(CAUTIONS.iter().map(|text| el("li").text(text))),
        )
        .child(el("h2").text("Wakes, sleeps, is made safe"))
        .child(page::lines(&told.0))
        .child(told.1.0)
        .child(told.2.0)
        .child(el("h2").text("Fuses"))
        .child(legend(input, &fuses[..most.min(fuses.len())], one_line))
        .children((most < fuses.len()).then(|| {
            el("p").class("rest").text(format!(
                "{} more fuses: see the fuse legend in the record.",
                fuses.len() - most
            ))
        }))
}

/// A note with its name before it, and the lines it takes; one that nobody wrote is named.
fn run_in(name: &'static str, note: &str, what: &str, most: usize) -> (Element, usize) {
    let text = match note {
        "" => format!("not written: {what}"),
        note => note.to_owned(),
    };
    // Cut with its name, which takes of the first line.
    let told = cut(&format!("{name}: {text}"), LETTERS, most);
    let lines = lines_of(&told, LETTERS);
    let rest = told.get(name.len() + 1..).unwrap_or_default().to_owned();
    let note = el("p")
        .class("lines note")
        .child(el("b").text(format!("{name}:")))
        .text(rest);
    (note, lines)
}

fn fuses_mm(fuses: &[&Fuse], one_line: bool) -> f64 {
    fuses
        .iter()
        .map(|fuse| row_mm(if one_line { 1 } else { lines_of(&fuse.feeds, FEEDS) }))
        .sum()
}

fn legend(input: &RecordInput<'_>, fuses: &[&Fuse], one_line: bool) -> Element {
    let book = input.book();
    let first = input.snapshot.states().first();
    let rows = fuses.iter().map(|fuse| {
        let live = match first.and_then(|state| is_live(input.snapshot, fuse.id, state)) {
            Some(true) => "● live",
            Some(false) => "○ dead",
            None => "not known",
        };
        let feeds = if one_line {
            short(&fuse.feeds, FEEDS)
        } else {
            fuse.feeds.clone()
        };
        el("tr")
            .attr("id", format!("fuse-{}", fuse.id))
            .child(el("th").attr("scope", "row").text(short(&fuse.label, 10)))
            .child(el("td").text(Kind::Current.print(fuse.rating_a)))
            .child(el("td").text(colour(fuse)))
            .child(el("td").text(feeds))
            .child(el("td").text(live))
    });
    let rest = first.map_or_else(
        || "Key off".to_owned(),
        |state| short(&format!("In {}", book.label_of(state.state)), 9),
    );
    let class = if one_line { "fuses one" } else { "fuses" };
    table(class, &["Fuse", "Rating", "Colour", "Feeds", &rest], rows)
}

fn table(class: &'static str, heads: &[&str], rows: impl IntoIterator<Item = Element>) -> Element {
    el("table")
        .class(class)
        .child(
            el("thead").child(el("tr").children(heads.iter().map(|h| el("th").attr("scope", "col").text(h)))),
        )
        .child(el("tbody").children(rows))
}
