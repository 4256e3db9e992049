//! `crimpbook rules`: whether each rule holds in every combination of switches, without a fault and with every single one.

use std::{path::Path, process::ExitCode};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::Rests,
    rules::{Broken, Example, Proof, RuleProof, Verdict, shown},
};
use serde_json::{Value, json};

use super::{Outcome, read, say, wrapped};

/// Prints the answers.
pub fn run(file: &Path, as_json: bool) -> Outcome {
    let opened = read(file)?;
    let see = Snapshot::of(&opened.book);
    let proof = see.proof();
    let text = if as_json {
        format!("{:#}", whole(see.book(), proof))
    } else {
        page(see.book(), proof)
    };
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

fn page(book: &Book, proof: &Proof) -> String {
    let mut lines: Vec<String> = proof
        .rules
        .iter()
        .map(|rule| in_words(book, proof, rule))
        .collect();
    if proof.rules.is_empty() {
        lines.push("No rules are written down.".to_owned());
    }
    if !proof.unnoticed.is_empty() {
        lines.push("Wires whose loss nobody would notice until it matters".to_owned());
        for one in &proof.unnoticed {
            let rules: Vec<String> = one.rules.iter().map(|r| book.label_of(*r)).collect();
            lines.push(wrapped(
                "  ",
                &format!("{}: breaks {}", book.label_of(one.wire), rules.join(", ")),
            ));
        }
    }
    lines.extend(
        proof
            .assumed
            .iter()
            .map(|sentence| wrapped("assumed: ", sentence)),
    );
    lines.push(wrapped(
        "",
        "Proven on the wiring as it is drawn, at the usual supply, each fault by itself; a voltage between thresholds counts against a \
         rule. Two faults at once, times, firmware and settings are not in it. A proven rule is not an approval.",
    ));
    lines.join("\n")
}

fn in_words(book: &Book, proof: &Proof, answer: &RuleProof) -> String {
    let Some(rule) = book.get(answer.rule) else {
        return String::new();
    };
    let mut lines = vec![wrapped(&format!("{:<5}", rule.label), &rule.words)];
    if !rule.text.is_empty() {
        lines.push(wrapped("     ", &shown(book, &rule.text)));
    }
    let mut say = |head: &str, text: &str| lines.push(wrapped(&format!("     {head:<14}"), text));
    match &answer.verdict {
        Verdict::RestsOn(rests_on) => say(
            "not proven",
            &format!("rests on {}, not proven here", rests_on.words()),
        ),
        Verdict::Cannot(why) => say("not proven", why),
        Verdict::Proven {
            without_fault,
            classes,
        } => {
            match without_fault {
                None => say(
                    "no fault",
                    &format!("holds in all {} combinations", proof.combinations),
                ),
                Some((many, example)) => {
                    say(
                        "no fault",
                        &format!("BROKEN in {many} of {} combinations", proof.combinations),
                    );
                    say("", &example.words(book));
                }
            }
            for class in classes {
                say(class.class.words(), &class.told());
                for (faults, example) in grouped(book, proof, &class.broken) {
                    say("", &format!("{faults}: {example}"));
                }
            }
            if answer.rests_on != Rests::Wiring {
                say(
                    "besides",
                    &format!("rests on {}, not proven here", answer.rests_on.words()),
                );
            }
        }
    }
    for (signal, fact) in &answer.trusts {
        say(
            "note",
            &format!(
                "{signal} tells no more than {fact} does, and a broken wire makes it lie: name the fact"
            ),
        );
    }
    lines.join("\n")
}

/// Faults with the same example, told once.
fn grouped(book: &Book, proof: &Proof, broken: &[Broken]) -> Vec<(String, String)> {
    let mut all: Vec<(Vec<String>, String)> = Vec::new();
    for one in broken {
        let Some(fault) = proof.faults.get(one.fault) else {
            continue;
        };
        let example = one.example.words(book);
        match all.iter_mut().find(|(_, text)| *text == example) {
            Some((faults, _)) => faults.push(fault.told(book)),
            None => all.push((vec![fault.told(book)], example)),
        }
    }
    all.into_iter()
        .map(|(faults, example)| (faults.join(", "), example))
        .collect()
}

fn whole(book: &Book, proof: &Proof) -> Value {
    let rules: Vec<Value> = proof
        .rules
        .iter()
        .map(|rule| rule_json(book, proof, rule))
        .collect();
    let unnoticed = proof.unnoticed.iter().map(|one| {
        let rules: Vec<String> = one.rules.iter().map(|r| book.label_of(*r)).collect();
        json!({ "wire": book.label_of(one.wire), "rules": rules })
    });
    json!({
        "combinations": proof.combinations,
        "switches": proof.switches.iter().map(|id| book.label_of(*id)).collect::<Vec<_>>(),
        "faults": proof.faults.len(),
        "rules": rules,
        "unnoticed": unnoticed.collect::<Vec<_>>(),
        "assumed": proof.assumed,
    })
}

fn rule_json(book: &Book, proof: &Proof, answer: &RuleProof) -> Value {
    let rule = book.get(answer.rule);
    let (verdict, why) = match &answer.verdict {
        Verdict::Proven {
            without_fault,
            classes,
        } => {
            let well = without_fault.is_none();
            let holds = classes.iter().all(|c| c.broken.is_empty());
            let proven = classes.iter().all(|c| c.unproven.is_empty());
            let word = match (well, holds, proven) {
                (false, ..) => "broken",
                (true, false, _) => "broken by faults",
                (true, true, false) => "not proven with some faults",
                (true, true, true) => "holds",
            };
            (word, None)
        }
        Verdict::RestsOn(on) => ("not proven", Some(format!("rests on {}", on.words()))),
        Verdict::Cannot(why) => ("not proven", Some(why.clone())),
    };
    let mut value = json!({
        "rule": rule.map(|r| r.label.clone()),
        "words": rule.map(|r| r.words.clone()),
        "text": rule.map(|r| shown(book, &r.text)),
        "verdict": verdict,
        "why": why,
        "rests_on": answer.rests_on.words(),
        "trusts": answer.trusts.iter().map(|(s, f)| json!({ "signal": s, "fact": f })).collect::<Vec<_>>(),
    });
    if let Verdict::Proven {
        without_fault,
        classes,
    } = &answer.verdict
    {
        let well = without_fault.as_ref();
        let well = well
            .map(|(many, example)| json!({ "combinations": many, "example": example_json(book, example) }));
        let classes = classes.iter().map(|class| {
            let broken = class.broken.iter().map(|b| {
                let fault = proof.faults.get(b.fault);
                json!({
                    "fault": fault.map(|f| f.words.clone()),
                    "place": fault.and_then(|f| f.end).map(|end| book.end_name(end)),
                    "combinations": b.combinations,
                    "example": example_json(book, &b.example),
                })
            });
            let unproven = class.unproven.iter().filter_map(|at| proof.faults.get(*at));
            json!({
                "class": class.class.words(),
                "faults": class.tried,
                "broken": broken.collect::<Vec<_>>(),
                "not_proven": unproven.map(|fault| fault.words.clone()).collect::<Vec<_>>(),
            })
        });
        value["without_fault"] = json!(well);
        value["classes"] = json!(classes.collect::<Vec<_>>());
    }
    value
}

fn example_json(book: &Book, example: &Example) -> Value {
    let positions = example
        .positions
        .iter()
        .map(|(id, at)| (book.label_of(*id), json!(at)));
    json!({
        "positions": positions.collect::<serde_json::Map<_, _>>(),
        "shows": example.shows,
        "until_fuse": example.until_fuse,
    })
}
