//! Operating states, expressions, rules.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::model::{Expression, Rule, State};

use super::{
    RecordInput,
    table::{Row, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book;
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.sort_by_key(|s| (s.order, s.id));
    let states = states.into_iter().map(|state| {
        let switches = state
            .switches
            .iter()
            .map(|at| format!("{} {}", book.label_of(at.switch), at.position));
        let parts = state.parts.iter().map(|at| {
            let assumed = if at.assumed { " (assumed)" } else { "" };
            format!(
                "{} {}{assumed}",
                book.label_of(at.part),
                words::part_position(at.position)
            )
        });
        Row::new()
            .cell(el("th").attr("scope", "row").text(&state.label))
            .text(&state.words)
            .figure(state.supply_v.map(|v| Kind::Voltage.print(v)))
            .text(switches.collect::<Vec<_>>().join("; "))
            .text(parts.collect::<Vec<_>>().join("; "))
    });
    let rules = by_label::<Rule>(book).into_iter().map(|rule| {
        Row::new()
            .cell(el("th").attr("scope", "row").text(&rule.label))
            .text(&rule.words)
            .cell(el("td").child(el("code").text(&rule.text)))
            .text(words::rests(rule.rests_on))
            .text(&rule.note)
    });
    let expressions = by_label::<Expression>(book).into_iter().map(|expression| {
        Row::new()
            .cell(el("th").attr("scope", "row").text(&expression.label))
            .cell(el("td").child(el("code").text(&expression.text)))
            .text(&expression.note)
    });
    vec![
        table(
            "Operating states",
            "states",
            &["State", "Is", "Supply", "Switches away from rest", "Inside parts"],
            states,
        ),
        table(
            "Rules",
            "rules",
            &["Rule", "In words", "As an expression", "Rests on", "Known so far"],
            rules,
        ),
        table(
            "Expressions",
            "expressions",
            &["Name", "Expression", "Note"],
            expressions,
        ),
    ]
}
