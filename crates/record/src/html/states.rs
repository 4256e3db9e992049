//! Operating states and expressions.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{
    Book,
    model::{Expression, Part, State},
    rules::shown,
};

use super::{
    RecordInput,
    table::{Row, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

/// States beside each other in one table.
const STATES: usize = 9;

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.order_by(|s| (s.order, s.id));
    let list = states.iter().map(|state| {
        let switches = state
            .switches
            .iter()
            .map(|at| format!("{} {}", book.label_of(at.switch), at.position));
        Row::new()
            .name(&state.label)
            .text(&state.words)
            .figure(state.supply_v.map(|v| Kind::Voltage.print(v)))
            .text(switches.collect::<Vec<_>>().join("; "))
    });
    let expressions = by_label::<Expression>(book).into_iter().map(|expression| {
        Row::new()
            .name(&expression.label)
            .cell(el("td").child(el("code").text(shown(book, &expression.text))))
            .text(&expression.note)
    });
    let mut elements = vec![table(
        "Operating states",
        "states",
        &["State", "Is", "Supply", "Switches away from rest"],
        list,
    )];
    elements.extend(states.chunks(STATES).filter_map(|some| parts(book, some)));
    elements.push(table(
        "Expressions",
        "expressions",
        &["Name", "Expression", "Note"],
        expressions,
    ));
    elements
}

/// How inside parts stand in some states: a row a part, a column a state.
fn parts(book: &Book, states: &[&State]) -> Option<Element> {
    let named = |part: &Part| states.iter().any(|s| s.parts.iter().any(|at| at.part == part.id));
    let rows: Vec<Row> = by_label::<Part>(book)
        .into_iter()
        .filter(|part| named(part))
        .map(|part| {
            let row = Row::new().name(&part.label);
            states.iter().fold(row, |row, state| {
                let at = state.parts.iter().find(|at| at.part == part.id);
                row.text(at.map_or_else(String::new, |at| {
                    let assumed = if at.assumed { " *" } else { "" };
                    format!("{}{assumed}", words::part_position(at.position))
                }))
            })
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let heads: Vec<&str> = std::iter::once("Part")
        .chain(states.iter().map(|s| s.label.as_str()))
        .collect();
    Some(table(
        "How inside parts stand (* assumed: the unit's behaviour is not known)",
        "positions",
        &heads,
        rows,
    ))
}
