//! Rules that an edit opens again.

use std::{collections::BTreeSet, sync::Arc};

use crate::{
    analysis::Snapshot,
    model::{Id, Rule},
    rules::{Footings, Proof, Verdict},
};

/// A rule whose answer is another.
#[derive(Debug, Clone, PartialEq)]
pub struct Reopened {
    /// The rule, by label.
    pub rule: String,
    /// Its answer before.
    pub was: String,
    /// Its answer then.
    pub is: String,
}

/// What is known of the rules on both sides.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Proofs {
    /// There is none, or nothing they rest on changes: what was proven stays proven.
    #[default]
    Same,
    /// The proofs are not through yet.
    Open {
        /// Rules that are open again, by label, and what they rest on that changes.
        open: Vec<(String, String)>,
        /// Rules that rest on nothing that changes, by label: they stay as they were proven.
        stay: Vec<String>,
    },
    /// Proven on both sides: those whose answer is another, and how many stay as they were.
    Compared(Vec<Reopened>, usize),
}

impl Proofs {
    /// What of the rules follows from one to the other.
    pub fn between(before: &Snapshot, after: &Snapshot) -> Self {
        let none = |see: &Snapshot| see.book().all::<Rule>().is_empty();
        if none(before) && none(after) || before.same_plan(after) {
            return Self::Same;
        }
        match (before.proof_at_hand(), after.proof_at_hand()) {
            (Some(was), Some(is)) if Arc::ptr_eq(was, is) => Self::Same,
            (Some(was), Some(is)) => Self::compare((before, was), (after, is)),
            _ => Self::open(before, after),
        }
    }

    fn open(before: &Snapshot, after: &Snapshot) -> Self {
        let label = |id: Id<Rule>| {
            let there = after.book().get(id).is_some();
            if there { after } else { before }.book().label_of(id)
        };
        let footings = Footings::between(before, after);
        let open = footings.open.into_iter().map(|(id, why)| (label(id), why));
        Self::Open {
            open: open.collect(),
            stay: footings.stay.into_iter().map(label).collect(),
        }
    }

    /// Whether no answer is open or another.
    pub fn is_same(&self) -> bool {
        match self {
            Self::Same => true,
            Self::Open { open, .. } => open.is_empty(),
            Self::Compared(reopened, _) => reopened.is_empty(),
        }
    }

    fn compare(before: (&Snapshot, &Proof), after: (&Snapshot, &Proof)) -> Self {
        let ids = |proof: &Proof| proof.rules.iter().map(|r| r.rule).collect::<BTreeSet<Id<Rule>>>();
        let (mut reopened, mut same) = (Vec::new(), 0);
        for rule in ids(before.1).union(&ids(after.1)) {
            let (was, is) = (told(before, *rule), told(after, *rule));
            if was == is {
                same += 1;
                continue;
            }
            let labelled = if after.0.book().get(*rule).is_some() {
                after.0
            } else {
                before.0
            };
            reopened.push(Reopened {
                rule: labelled.book().label_of(*rule),
                was,
                is,
            });
        }
        reopened.sort_by(|a, b| a.rule.cmp(&b.rule));
        Self::Compared(reopened, same)
    }
}

/// Names told of the faults that break a rule; the rest is counted.
const MOST: usize = 4;

/// A rule's answer in a few words, told by what breaks it and not by how many faults there are to try.
fn told((see, proof): (&Snapshot, &Proof), rule: Id<Rule>) -> String {
    let Some(of) = proof.of_rule(rule) else {
        return "not there".to_owned();
    };
    let (without_fault, classes) = match &of.verdict {
        Verdict::RestsOn(rests) => return rests.words().to_owned(),
        Verdict::Cannot(why) => return format!("cannot prove: {why}"),
        Verdict::Proven {
            without_fault,
            classes,
        } => (without_fault, classes),
    };
    let mut all = Vec::new();
    if let Some((_, example)) = without_fault {
        all.push(format!("broken without a fault ({})", example.words(see.book())));
    }
    let fault = |at: &usize| proof.faults.get(*at).map(|f| f.words.clone());
    let names = |places: Vec<usize>| {
        let names: Vec<String> = places.iter().filter_map(fault).collect();
        let more = names.len().saturating_sub(MOST);
        let mut words = names.into_iter().take(MOST).collect::<Vec<_>>().join(", ");
        if more > 0 {
            words.push_str(&format!(" and {more} more"));
        }
        words
    };
    let broken: Vec<usize> = classes
        .iter()
        .flat_map(|c| c.broken.iter().map(|b| b.fault))
        .collect();
    if !broken.is_empty() {
        all.push(format!("broken by {}", names(broken)));
    }
    let unproven: Vec<usize> = classes.iter().flat_map(|c| c.unproven.iter().copied()).collect();
    if !unproven.is_empty() {
        all.push(format!("not proven with {}", names(unproven)));
    }
    if all.is_empty() {
        "holds".to_owned()
    } else {
        all.join("; ")
    }
}
