//! Each connector: both faces and the table of its cavities.

use crimpbook_workbook::{
    Book,
    model::{Cavity, Connector, End, Terminal, View, Wire, WireEnd, face::Face},
};

use super::{
    RecordInput,
    page::{lines, small},
    table::{Row, anchor, coloured, link, sized, table},
};
use crate::{
    draw::{face, legend, side_words},
    markup::{Element, el},
    order::by_label,
    words,
};

/// Connectors with no more cavities share a printed page.
const FEW: usize = 8;

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let connectors = by_label::<Connector>(input.book());
    connectors.into_iter().map(|c| connector(input, c)).collect()
}

fn connector(input: &RecordInput<'_>, connector: &Connector) -> Element {
    let book = input.book();
    let cavities = book.cavities_of(connector.id);
    let unit = book.get(connector.unit);
    let sealed = match connector.sealed {
        Some(true) => "sealed",
        Some(false) => "not sealed",
        None => "not known whether sealed",
    };
    let of = unit.map_or_else(String::new, |u| format!("{} ({})", u.label, u.name));
    let name = if connector.name.is_empty() {
        String::new()
    } else {
        format!("{}; ", connector.name)
    };
    let heading = format!(
        "{}: {name}on {of}, {} cavities, {sealed}",
        connector.label,
        cavities.len()
    );
    let heads = [
        "No.",
        "Function",
        "Decision and why",
        "Wire",
        "Colour",
        "Size",
        "Far end",
        "Page",
    ];
    let rows = cavities.iter().map(|cavity| pin(input, cavity));
    el("section")
        .class(if cavities.len() <= FEW {
            "connector few"
        } else {
            "connector"
        })
        .attr("id", anchor("connector", connector.id))
        .child(el("h3").text(heading))
        .children((!connector.note.is_empty()).then(|| lines(&connector.note)))
        .children((!cavities.is_empty()).then(|| faces(book, connector)))
        .child(table(
            &format!("Cavities of {}", connector.label),
            "pins",
            &heads,
            rows,
        ))
}

fn faces(book: &Book, connector: &Connector) -> Element {
    let shape = book.face_of(connector.id);
    let views = [View::WireSide, View::MatingSide].map(|view| {
        el("figure").child(face(book, connector, view)).child(
            el("figcaption")
                .child(el("b").text(&connector.label))
                .text(format!(" {}", side_words(view))),
        )
    });
    let key = legend(book, connector)
        .into_iter()
        .map(|(shape, meaning)| el("li").child(shape).text(format!(" {meaning}")));
    el("div")
        .class("faces")
        .child(
            el("div")
                .class(if is_wide(&shape) { "views wide" } else { "views" })
                .children(views),
        )
        .children(doubt(&shape))
        .children(
            (!connector.face.is_empty())
                .then(|| el("p").child(small(format!("Face as described: {}", connector.face)))),
        )
        .child(el("ul").class("keys").children(key))
}

/// Faces that are not readable at half a narrow page's width.
fn is_wide(face: &Face) -> bool {
    let widest = face
        .cells(View::MatingSide)
        .iter()
        .map(|c| c.x_pitch)
        .fold(0.0, f64::max);
    widest > 4.5
}

/// Says so where a drawing may not be trusted.
fn doubt(face: &Face) -> Option<Element> {
    let words = if face.guessed {
        "Nobody has described this face. The drawing is a plain list of the cavities, not what the plastic looks like: find each number on the plastic."
    } else if face.seen_from.is_none() {
        "The plan does not say from which side this face is described; the mating side is assumed. Find number 1 on the plastic before you trust either drawing."
    } else {
        return None;
    };
    Some(el("p").class("doubt").child(el("b").text("Doubt: ")).text(words))
}

fn pin(input: &RecordInput<'_>, cavity: &Cavity) -> Row {
    let book = input.book();
    let at = Terminal::Cavity(cavity.id);
    let terminals = input.snapshot.signals().nets.terminal_numbers(book, &at);
    let terminals = match terminals.as_slice() {
        [] => String::new(),
        all => format!("terminal {} (DIN 72552)", all.join(", ")),
    };
    let small_line = |text: &str| (!text.is_empty()).then(|| el("p").child(small(text)));
    let unit_number = if cavity.unit_number.is_empty() {
        String::new()
    } else {
        format!("unit's own number {}", cavity.unit_number)
    };
    let contact = cavity
        .contact
        .map_or_else(String::new, |id| format!("contact {}", book.label_of(id)));
    let kind = [
        cavity.kind.map_or("kind not known", |k| k.words()),
        contact.as_str(),
    ];
    let kind = kind
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join("; ");
    let plug = if cavity.plug { "sealing plug" } else { "" };
    let ends = wires_at(book, cavity);
    Row::at("cavity", cavity.id)
        .name(&cavity.number)
        .cell(
            el("td")
                .child(el("p").child(el("b").text(&cavity.name)))
                .child(el("p").child(small(kind)))
                .children(small_line(&words::limits(&cavity.limits)))
                .children(small_line(&terminals))
                .children(small_line(&unit_number)),
        )
        .cell(
            el("td")
                .child(el("p").child(el("b").text(words::decision(book, cavity.decision))))
                .children((!cavity.why.is_empty()).then(|| el("p").text(&cavity.why)))
                .children(small_line(plug))
                .children(small_line(&cavity.note)),
        )
        .cell(each(&ends, |(wire, _)| link("wire", wire.id, &wire.label)))
        .cell(each(&ends, |(wire, _)| coloured(wire.colour)))
        .cell(each(&ends, |(wire, _)| sized(wire)))
        .cell(each(&ends, |(wire, end)| {
            let far = match end {
                WireEnd::From => wire.to,
                WireEnd::To => wire.from,
            };
            end_link(book, far)
        }))
        .text(&cavity.page)
}

fn wires_at<'b>(book: &'b Book, cavity: &Cavity) -> Vec<(&'b Wire, WireEnd)> {
    let ends = book.index().wires_at_cavity.get(&cavity.id);
    ends.into_iter()
        .flatten()
        .filter_map(|(id, end)| Some((book.get(*id)?, *end)))
        .collect()
}

/// A cell with a line for each wire.
fn each<'b>(ends: &[(&'b Wire, WireEnd)], line: impl Fn(&(&'b Wire, WireEnd)) -> Element) -> Element {
    el("td").children(ends.iter().map(|end| el("p").child(line(end))))
}

/// What a wire ends at, as a link.
pub(super) fn end_link(book: &Book, end: End) -> Element {
    match end {
        End::Cavity(id) => link("cavity", id, book.cavity_name(id)),
        End::Junction(id) => link("junction", id, book.label_of(id)),
        End::Free => el("span").text("free"),
    }
}
