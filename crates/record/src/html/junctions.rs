//! Splices, studs, grounds and the chassis between them.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::{ChassisPath, Junction, JunctionKind, Wire, WireEnd};

use super::{
    RecordInput,
    connectors::end_link,
    page::small,
    table::{Row, coloured, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let heads = ["Label", "Is", "Where to find it", "Wires and where they go"];
    let list = |caption: &str, kind: JunctionKind| {
        let rows = by_label::<Junction>(input.book())
            .into_iter()
            .filter(|j| j.kind == kind);
        table(caption, "junctions", &heads, rows.map(|j| row(input, j)))
    };
    let paths = input.book().all::<ChassisPath>().values().map(|path| {
        Row::new()
            .text(input.book().terminal_name(&path.from))
            .text(input.book().terminal_name(&path.to))
            .figure(Some(Kind::Resistance.print(path.resistance_ohm)))
            .text(&path.note)
    });
    vec![
        list("Splices", JunctionKind::Splice),
        list("Ground studs", JunctionKind::GroundStud),
        list("Supply studs and posts", JunctionKind::Stud),
        table(
            "Chassis paths",
            "paths",
            &["From", "To", "Resistance", "Note"],
            paths,
        ),
    ]
}

fn row(input: &RecordInput<'_>, junction: &Junction) -> Row {
    let book = input.book();
    let ends = book.index().wires_at_junction.get(&junction.id);
    let wires = ends.into_iter().flatten().filter_map(|(id, end)| {
        let wire = book.get::<Wire>(*id)?;
        let far = match end {
            WireEnd::From => wire.to,
            WireEnd::To => wire.from,
        };
        let (size, _) = words::size(wire);
        Some(
            el("p")
                .child(link("wire", wire.id, &wire.label))
                .text(" ")
                .child(coloured(wire.colour))
                .text(format!(" {size} to "))
                .child(end_link(book, far)),
        )
    });
    let zone = junction
        .zone
        .map_or_else(String::new, |id| format!("zone {}", book.label_of(id)));
    let unit = junction
        .unit
        .map_or_else(String::new, |id| format!(" of {}", book.label_of(id)));
    let torque = junction
        .torque_nm
        .map_or_else(String::new, |nm| format!("torque {nm} N·m"));
    let small_line = |text: &str| (!text.is_empty()).then(|| el("p").child(small(text)));
    Row::at("junction", junction.id)
        .name(&junction.label)
        .text(format!("{}{unit}", words::junction(junction.kind)))
        .cell(
            el("td")
                .child(el("p").text(&junction.place))
                .children(small_line(&zone))
                .children(small_line(&torque))
                .children(small_line(&junction.note)),
        )
        .cell(el("td").children(wires))
}
