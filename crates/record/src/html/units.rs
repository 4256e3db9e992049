//! Units with serial numbers, firmware and manuals.

use crimpbook_workbook::{
    book::{InOrder, natural},
    model::{Connector, Unit},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let rows = by_label::<Unit>(book).into_iter().map(|unit| {
        let mut plugs: Vec<&Connector> = book
            .all::<Connector>()
            .values()
            .filter(|c| c.unit == unit.id)
            .collect();
        plugs.order_by(|c| natural(&c.label));
        let mut connectors = el("td");
        for (at, plug) in plugs.into_iter().enumerate() {
            connectors = connectors.text(if at > 0 { ", " } else { "" }).child(link(
                "connector",
                plug.id,
                &plug.label,
            ));
        }
        let manual = unit.manual.as_ref().map_or_else(String::new, |m| {
            if m.revision.is_empty() {
                m.title.clone()
            } else {
                format!("{}, {}", m.title, m.revision)
            }
        });
        let said = |what: &str, value: &str| {
            (!value.is_empty()).then(|| el("p").child(small(format!("{what}{value}"))))
        };
        Row::at("unit", unit.id)
            .name(&unit.label)
            .cell(
                el("td")
                    .text(&unit.name)
                    .children(said("Supply: ", &unit.supply_note))
                    .children(said("", &unit.note)),
            )
            .text(unit.zone.map_or_else(String::new, |zone| book.label_of(zone)))
            .cell(connectors)
            .text(manual)
            .text(&unit.serial)
            .text(&unit.firmware)
    });
    vec![table(
        "Units",
        "units",
        &[
            "Unit",
            "Is",
            "Place",
            "Connectors",
            "Manual",
            "Serial number",
            "Firmware",
        ],
        rows,
    )]
}
