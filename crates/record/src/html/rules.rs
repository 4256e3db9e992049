//! The builder's rules: what was proven of each, when, and what breaks it.

use crimpbook_workbook::{
    Book,
    model::{Rests, Rule},
    rules::{ClassVerdict, Proof, RuleProof, Verdict, shown},
};

use super::{
    RecordInput,
    page::small,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words,
};

/// Faults named for one rule and class; a page that nobody reads to its end warns of nothing.
const NAMED: usize = 6;

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let book = input.book();
    let proof = input.snapshot.proof();
    let mut elements = vec![el("p").text(format!(
        "Worked out on {} from the wiring as drawn, at the usual supply: every combination of the switches, then again with \
         each single fault. A voltage between thresholds counts against a rule. Two faults at once, times, firmware and settings are \
         not in it. A proven rule is not an approval.",
        input.made_at.format("%Y-%m-%d")
    ))];
    elements.extend(unnoticed(book, proof));
    let rows = by_label::<Rule>(book).into_iter().map(|rule| {
        let row = Row::at("rule", rule.id).name(&rule.label).cell(
            el("td")
                .child(el("p").text(&rule.words))
                .children(
                    (!rule.text.is_empty()).then(|| el("p").child(el("code").text(shown(book, &rule.text)))),
                )
                .children((!rule.note.is_empty()).then(|| el("p").child(small(&rule.note)))),
        );
        let Some(answer) = proof.of_rule(rule.id) else {
            return row.text("not proven").text("").text(words::rests(rule.rests_on));
        };
        row.cell(without_fault(book, proof, answer))
            .cell(with_fault(book, proof, answer))
            .cell(besides(answer))
    });
    elements.push(table(
        "Rules",
        "rules",
        &[
            "Rule",
            "Says",
            "Without a fault",
            "With each single fault",
            "Rests on",
        ],
        rows,
    ));
    elements.extend(
        proof
            .assumed
            .iter()
            .map(|said| el("p").child(el("b").text("Assumed: ")).text(said)),
    );
    elements
}

fn unnoticed(book: &Book, proof: &Proof) -> Option<Element> {
    if proof.unnoticed.is_empty() {
        return None;
    }
    let rows = proof.unnoticed.iter().map(|one| {
        let rules: Vec<String> = one.rules.iter().map(|id| book.label_of(*id)).collect();
        Row::new()
            .cell(
                el("th")
                    .attr("scope", "row")
                    .child(link("wire", one.wire, book.label_of(one.wire))),
            )
            .text(book.get(one.wire).map_or("", |wire| wire.signal.as_str()))
            .text(rules.join(", "))
    });
    Some(table(
        "Wires whose loss nobody would notice until it matters",
        "unnoticed",
        &["Wire", "Signal", "Lost, it breaks"],
        rows,
    ))
}

fn without_fault(book: &Book, proof: &Proof, answer: &RuleProof) -> Element {
    match &answer.verdict {
        Verdict::RestsOn(on) => el("td").text(format!("not proven: rests on {}", on.words())),
        Verdict::Cannot(why) => el("td").text(format!("not proven: {why}")),
        Verdict::Proven {
            without_fault: None, ..
        } => el("td").text(format!("✓ holds in all {} combinations", proof.combinations)),
        Verdict::Proven {
            without_fault: Some((many, example)),
            ..
        } => el("td").child(el("b").text("✗ broken")).text(format!(
            " in {many} of {} combinations: {}",
            proof.combinations,
            example.words(book)
        )),
    }
}

fn with_fault(book: &Book, proof: &Proof, answer: &RuleProof) -> Element {
    let Verdict::Proven { classes, .. } = &answer.verdict else {
        return el("td");
    };
    let tried = classes.iter().filter(|class| class.tried > 0);
    el("td").children(tried.flat_map(|class| of_class(book, proof, class)))
}

fn of_class(book: &Book, proof: &Proof, class: &ClassVerdict) -> Vec<Element> {
    let name = class.class.words();
    if class.broken.is_empty() {
        return vec![el("p").text(format!("{name}: ✓ holds with each of {}", class.tried))];
    }
    let mut all = vec![
        el("p")
            .text(format!("{name}: "))
            .child(el("b").text("✗ broken"))
            .text(format!(" by {} of {}", class.broken.len(), class.tried)),
    ];
    for broken in class.broken.iter().take(NAMED) {
        if let Some(fault) = proof.faults.get(broken.fault) {
            all.push(el("p").child(small(format!(
                "{}: {}",
                fault.told(book),
                broken.example.words(book)
            ))));
        }
    }
    if class.broken.len() > NAMED {
        all.push(el("p").child(small(format!("and {} more", class.broken.len() - NAMED))));
    }
    all
}

fn besides(answer: &RuleProof) -> Element {
    let on = match answer.rests_on {
        Rests::Wiring => words::rests(Rests::Wiring).to_owned(),
        other => format!("{}, not proven here", words::rests(other)),
    };
    el("td")
        .child(el("p").text(on))
        .children(answer.trusts.iter().map(|(signal, fact)| {
            el("p").child(small(format!(
                "{signal} tells no more than {fact} does, and a broken wire makes it lie"
            )))
        }))
}
