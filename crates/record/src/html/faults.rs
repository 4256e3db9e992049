//! Fault finding without the program: the likeliest symptoms, each with its first three measurements.

use crimpbook_workbook::analysis::suspects::{CAUTIONS, First, FirstMeasure, PRIOR_WORDS, first_measures};

use super::{
    RecordInput,
    page::small,
    table::{Row, table},
};
use crate::{
    csv::faults::in_order,
    markup::{Element, el},
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let all = first_measures(input.snapshot);
    let mut elements = vec![el("p").text(
        "What the vehicle does otherwise than it should, which single faults do that, and the three voltages that split them \
         best. Figures allow for the whole range of the supply: read the battery at rest first. Wires that touch something are \
         not computed here; they mostly end in a blown fuse.",
    )];
    let cautions = CAUTIONS.iter();
    elements.extend(cautions.map(|caution| el("p").child(el("b").text("Caution: ")).text(caution)));
    let rows = all.iter().map(|first| {
        let measures = first.measures.iter().map(measure);
        Row::new()
            .text(format!("{}, in {}", first.symptom, first.state))
            .text(suspects(first))
            .cell(el("td").child(el("ol").children(measures)))
    });
    elements.push(table(
        "Symptom, and what to measure first",
        "faults",
        &["Symptom", "Single faults that show it", "Measure, in this order"],
        rows,
    ));
    if all.is_empty() {
        let words = "Cannot compute: no operating state has a solution in which a fault would be seen.";
        elements.push(el("p").text(words));
    }
    elements.push(small(PRIOR_WORDS));
    let sessions = in_order(input.book()).into_iter().map(|session| {
        Row::new()
            .moment(session.at)
            .text(&session.who)
            .text(session.said_words())
            .text(&session.suspects)
            .text(if session.found { "found" } else { "not found" })
            .text(&session.outcome)
    });
    elements.push(table(
        "Faults that were looked for",
        "fault-findings",
        &[
            "When (UTC)",
            "Who",
            "Seen and read",
            "Suspects at the end",
            "Fault",
            "What it was, what was done",
        ],
        sessions,
    ));
    elements
}

fn suspects(first: &First) -> String {
    let mut words = first.suspects.join("; ");
    if first.more > 0 {
        words.push_str(&format!("; and {} more", first.more));
    }
    words
}

fn measure(measure: &FirstMeasure) -> Element {
    let mut item = el("li").text(&measure.leads);
    if let Some(usual) = &measure.usual {
        item = item.text(format!("; without a fault {usual}"));
    }
    let shows = measure.shows.iter();
    item.children(shows.map(|(volts, who)| {
        let volts = el("b").text(format!("{volts}: "));
        el("p").child(volts).text(who.join("; "))
    }))
}
