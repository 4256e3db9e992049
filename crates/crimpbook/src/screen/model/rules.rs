//! Rules with what breaks them, line by line.

use crimpbook_workbook::{
    model::{End, Id, Key, Rests, Rule},
    rules::{Proof, RuleProof, Verdict, shown},
};

use super::Model;
use crate::screen::{
    action::{Do, key_of},
    ask::{Answer, Question, answer},
};

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// It begins a rule, or the list of wires.
    pub heading: bool,
    /// It must not be overlooked.
    pub grave: bool,
    /// What it is about, in a word; may be empty.
    pub what: String,
    /// What it says.
    pub words: String,
    /// The cavity or connector to look at.
    pub place: Option<Key>,
    /// The rule it is about.
    pub rule: Option<Id<Rule>>,
}

impl Line {
    /// A line that says something.
    pub fn new(what: &str, words: impl Into<String>) -> Self {
        Self {
            heading: false,
            grave: false,
            what: what.to_owned(),
            words: words.into(),
            place: None,
            rule: None,
        }
    }

    /// A heading.
    pub fn heading(what: &str, words: impl Into<String>) -> Self {
        Self {
            heading: true,
            ..Self::new(what, words)
        }
    }

    fn grave(self) -> Self {
        Self { grave: true, ..self }
    }
}

const CAUTION: &str = "The wiring as drawn, at the usual supply, each fault by itself; a voltage between thresholds counts against a \
                       rule. Two faults at once, times, firmware and settings are not in it. A proven rule is not an approval.";

/// Every line; none while the proof runs.
pub fn lines(model: &Model) -> Option<Vec<Line>> {
    let proof = proof(model)?;
    let mut all = Vec::new();
    unnoticed(model, proof, &mut all);
    for rule in &proof.rules {
        let from = all.len();
        told(model, proof, rule, &mut all);
        for line in all.iter_mut().skip(from) {
            line.rule = Some(rule.rule);
        }
    }
    if proof.rules.is_empty() {
        all.push(Line::new(
            "",
            format!("No rule is written down yet; {} adds one.", key_of(Do::Add)),
        ));
    }
    all.extend(proof.assumed.iter().map(|words| Line::new("assumed", words)));
    all.push(Line::new("", CAUTION));
    Some(all)
}

/// The proof as it is at hand; none while it runs.
fn proof(model: &Model) -> Option<&Proof> {
    if let Some(Answer::Proof(proof)) = answer(model, Question::Proof) {
        return Some(proof);
    }
    let proof = model.findings.current()?.proof_at_hand()?;
    Some(proof)
}

/// The line on which a rule begins.
pub fn line_of(model: &Model, rule: Id<Rule>) -> Option<usize> {
    let label = &model.book.get(rule)?.label;
    let lines = lines(model)?;
    lines.iter().position(|line| line.heading && line.what == *label)
}

/// The cavity or connector that the line under the cursor is about.
pub fn place(model: &Model) -> Option<Key> {
    let lines = lines(model)?;
    lines
        .get(model.states.rule_at.min(lines.len().saturating_sub(1)))?
        .place
}

/// The rule that the line under the cursor is about.
pub fn rule(model: &Model) -> Option<Id<Rule>> {
    let lines = lines(model)?;
    lines
        .get(model.states.rule_at.min(lines.len().saturating_sub(1)))?
        .rule
}

fn unnoticed(model: &Model, proof: &Proof, all: &mut Vec<Line>) {
    if proof.unnoticed.is_empty() {
        return;
    }
    let book = &model.book;
    all.push(Line::heading(
        "",
        "Wires whose loss nobody would notice until it matters",
    ));
    for one in &proof.unnoticed {
        let rules: Vec<String> = one.rules.iter().map(|r| book.label_of(*r)).collect();
        let wire = book.get(one.wire);
        let ends = wire.into_iter().flat_map(|w| [w.from, w.to]);
        let cavity = |end| match end {
            End::Cavity(id) => Some(Key::of(id)),
            _ => None,
        };
        let signal = wire.map(|w| w.signal.as_str()).unwrap_or_default();
        let words = format!("{signal}: lost, it breaks {}", rules.join(", "));
        all.push(Line {
            place: ends.filter_map(cavity).next(),
            ..Line::new(&book.label_of(one.wire), words).grave()
        });
    }
}

fn told(model: &Model, proof: &Proof, answer: &RuleProof, all: &mut Vec<Line>) {
    let book = &model.book;
    let Some(rule) = book.get(answer.rule) else { return };
    all.push(Line::heading(&rule.label, &rule.words));
    if !rule.text.is_empty() {
        all.push(Line::new("", shown(book, &rule.text)));
    }
    let (without_fault, classes) = match &answer.verdict {
        Verdict::RestsOn(on) => {
            all.push(Line::new(
                "not proven",
                format!("rests on {}, not proven here", on.words()),
            ));
            return;
        }
        Verdict::Cannot(why) => {
            all.push(Line::new("not proven", why));
            return;
        }
        Verdict::Proven {
            without_fault,
            classes,
        } => (without_fault, classes),
    };
    all.push(match without_fault {
        None => Line::new(
            "no fault",
            format!("holds in all {} combinations", proof.combinations),
        ),
        Some((many, example)) => {
            let words = format!(
                "BROKEN in {many} of {} combinations: {}",
                proof.combinations,
                example.words(book)
            );
            Line::new("no fault", words).grave()
        }
    });
    for class in classes {
        let line = Line::new(class.class.words(), class.told());
        all.push(Line {
            grave: !class.broken.is_empty() || !class.unproven.is_empty(),
            ..line
        });
        for broken in &class.broken {
            let Some(fault) = proof.faults.get(broken.fault) else {
                continue;
            };
            let words = format!("{}: {}", fault.told(book), broken.example.words(book));
            all.push(Line {
                place: fault.on_face(book),
                ..Line::new("", words)
            });
        }
    }
    if answer.rests_on != Rests::Wiring {
        let words = format!("rests on {}, not proven here", answer.rests_on.words());
        all.push(Line::new("besides", words));
    }
    for (signal, fact) in &answer.trusts {
        let words =
            format!("{signal} tells no more than {fact} does, and a broken wire makes it lie: name the fact");
        all.push(Line::new("note", words));
    }
}
