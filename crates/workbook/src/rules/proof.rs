//! The verdicts: per rule and class of fault.

use std::sync::{
    Arc,
    atomic::{AtomicUsize, Ordering},
};

use crimpbook_core::rule::FALSE;

use super::{
    fault::{Class, Fault, faults},
    model::{Model, sorted_rules},
    plant::Plant,
    run::{DEEPEST, May, Run},
    tried::{Answers, try_fault, violations},
    unnoticed, words,
};
use crate::{
    analysis::Snapshot,
    model::{Id, Rests, Rule, Switch, Wire},
};

/// Free switches at most.
pub const MOST_FREE: usize = 24;

/// A combination of switches in which a rule is broken.
#[derive(Debug, Clone, PartialEq)]
pub struct Example {
    /// Switches away from rest and where they stand; all others rest.
    pub positions: Vec<(Id<Switch>, String)>,
    /// What the rule names and how it then stands (`MC.ready`, `MC.ready not sure`).
    pub shows: Vec<String>,
    /// It lasts only until a fuse opens.
    pub until_fuse: bool,
}

/// A rule broken by a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Broken {
    /// Its place among [`Proof::faults`].
    pub fault: usize,
    /// In how many combinations that are well without it.
    pub combinations: u64,
    /// The one with the fewest switches away from rest.
    pub example: Example,
}

/// What a class of faults does to a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassVerdict {
    /// The class.
    pub class: Class,
    /// How many faults of it were tried.
    pub tried: usize,
    /// Those that break the rule.
    pub broken: Vec<Broken>,
    /// Those of which it is not proven, by their place among [`Proof::faults`]: too many contacts and outputs decide at once, or which
    /// fuse opens is not sure.
    pub unproven: Vec<usize>,
}

impl ClassVerdict {
    /// In a line (`BROKEN by 2 of 129 faults`).
    pub fn told(&self) -> String {
        let faults = if self.tried == 1 { "fault" } else { "faults" };
        let all = format!("{} {faults}", self.tried);
        let unproven = match self.unproven.len() {
            0 => String::new(),
            n => {
                format!(
                    "not proven with {n}, where more than {DEEPEST} contacts and outputs decide at once or which fuse opens is not sure"
                )
            }
        };
        match (self.broken.len(), unproven.is_empty()) {
            (0, true) => format!("holds with each of {all}"),
            (0, false) => format!("of {all} {unproven}; holds with the others"),
            (n, true) => format!("BROKEN by {n} of {all}"),
            (n, false) => format!("BROKEN by {n} of {all}; {unproven}"),
        }
    }
}

/// The answer to a rule.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Evaluated.
    Proven {
        /// In how many combinations it is broken without a fault, and one of them.
        without_fault: Option<(u64, Example)>,
        /// Per class.
        classes: Vec<ClassVerdict>,
    },
    /// No wiring can show it.
    RestsOn(Rests),
    /// Something is missing; what.
    Cannot(String),
}

/// A rule and its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleProof {
    /// The rule.
    pub rule: Id<Rule>,
    /// The answer.
    pub verdict: Verdict,
    /// Signals that the rule names where a fact would do: the signal, and the fact in words.
    pub trusts: Vec<(String, String)>,
    /// Besides the wiring it rests on this.
    pub rests_on: Rests,
}

/// A wire whose loss breaks a rule and shows nowhere before.
#[derive(Debug, Clone, PartialEq)]
pub struct Unnoticed {
    /// The wire.
    pub wire: Id<Wire>,
    /// The rules it breaks.
    pub rules: Vec<Id<Rule>>,
}

/// Every rule's answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Proof {
    /// Rules in the order of their labels.
    pub rules: Vec<RuleProof>,
    /// Faults that were tried, in the order of classes.
    pub faults: Vec<Fault>,
    /// Combinations of the free switches.
    pub combinations: u64,
    /// The free switches.
    pub switches: Vec<Id<Switch>>,
    /// Wires whose loss nobody would notice until it matters.
    pub unnoticed: Vec<Unnoticed>,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
}

/// A rule, what is said of it, and the signals it trusts beside the facts they stand for.
pub(super) type Answer = (Id<Rule>, Verdict, Vec<(String, String)>);

impl Proof {
    /// Proves the rules of a book.
    pub fn of(see: &Snapshot) -> Self {
        let book = see.book();
        let mut model = Model::of(book, see.wiring());
        let needed = model.reads.len();
        let seen = model.noticed(book, see.wiring());
        drop(seen);
        let mut proof = Self {
            switches: model.free.iter().map(|f| f.switch).collect(),
            assumed: words::assumed(see, &model),
            ..Self::default()
        };
        let missing = if see.wiring().reference.is_none() {
            Some("missing which stud is battery negative".to_owned())
        } else if model.free.len() > MOST_FREE {
            Some(format!(
                "{} switches are free; {MOST_FREE} at most are reckoned with",
                model.free.len()
            ))
        } else {
            None
        };
        let mut answers: Vec<Answer> = Vec::new();
        if missing.is_none() && !model.rules.is_empty() {
            proof.prove(&Plant::of(see, &model), needed, &mut answers);
        }
        for rule in sorted_rules(book) {
            let known = answers.iter().position(|(id, ..)| *id == rule.id);
            let (verdict, trusts) = match known.map(|at| answers.swap_remove(at)) {
                Some((_, verdict, trusts)) => (verdict, trusts),
                None => (unproven(&model, rule, missing.as_deref()), Vec::new()),
            };
            proof.rules.push(RuleProof {
                rule: rule.id,
                verdict,
                trusts,
                rests_on: rule.rests_on,
            });
        }
        proof
    }

    pub(super) fn prove(&mut self, plant: &Plant<'_>, needed: usize, answers: &mut Vec<Answer>) {
        let (see, model) = (plant.see, plant.model);
        let mut run = Run::new(plant, needed);
        self.combinations = run.diagrams.count(run.domain, model.choices);
        self.faults = faults(see, model);
        let settled = run.settled.clone();
        let healthy = violations(&mut run, &settled);
        let unsure = match run.wary.clone() {
            Some(wary) => violations(&mut run, &wary),
            None => healthy.clone(),
        };
        let ons = run.solved();
        let states = unnoticed::states(see, model);
        let tried = plant.with_bases(&ons, |bases| {
            // Some faults take much longer than others, shorts to supply above all: each thread takes the next one that is left, and
            // the short ones, which are first, at last.
            let next = AtomicUsize::new(0);
            let some = || -> Answers {
                let mut run = run.ready(bases);
                let mut all = Answers::default();
                while let Some((at, fault)) = last(&self.faults, next.fetch_add(1, Ordering::Relaxed)) {
                    try_fault(&mut run, &healthy, (at, fault), &states, &mut all);
                }
                all
            };
            std::thread::scope(|scope| {
                let other = scope.spawn(some);
                let mut all = some();
                match other.join() {
                    Ok(more) => {
                        all.tried.extend(more.tried);
                        all.unproven.extend(more.unproven);
                    }
                    // A thread that panicked leaves all faults to this one.
                    Err(_) => {
                        next.store(0, Ordering::Relaxed);
                        all = some();
                    }
                }
                all.tried.sort_by_key(|t| t.broken.fault);
                all.unproven.sort_unstable();
                all
            })
        });
        let Answers { tried, unproven } = tried;
        for (at, proved) in model.rules.iter().enumerate() {
            let broken = healthy.get(at).copied().unwrap_or(FALSE);
            if broken == FALSE && unsure.get(at).is_some_and(|unsure| *unsure != FALSE) {
                let why = "too many contacts and outputs decide one of its voltages at once for each of their positions to be solved".to_owned();
                answers.push((proved.rule, Verdict::Cannot(why), Vec::new()));
                continue;
            }
            let without_fault = (broken != FALSE).then(|| {
                let count = run.diagrams.count(broken, model.choices);
                (count, words::example(&mut run, at, broken, &settled, false))
            });
            let classes = Class::ALL.into_iter().map(|class| ClassVerdict {
                class,
                tried: self.faults.iter().filter(|f| f.class == class).count(),
                broken: tried
                    .iter()
                    .filter(|t| {
                        t.rule == at && self.faults.get(t.broken.fault).is_some_and(|f| f.class == class)
                    })
                    .map(|t| t.broken.clone())
                    .collect(),
                unproven: unproven
                    .iter()
                    .filter(|(fault, rule)| {
                        *rule == at && self.faults.get(*fault).is_some_and(|f| f.class == class)
                    })
                    .map(|(fault, _)| *fault)
                    .collect(),
            });
            let verdict = Verdict::Proven {
                without_fault,
                classes: classes.collect(),
            };
            let trusts = words::trusts(&mut run, at, &settled);
            answers.push((proved.rule, verdict, trusts));
        }
        self.unnoticed = unnoticed::wires(self, model, &tried);
    }

    /// The answer to a rule.
    pub fn of_rule(&self, rule: Id<Rule>) -> Option<&RuleProof> {
        self.rules.iter().find(|r| r.rule == rule)
    }
}

impl RuleProof {
    /// Faults of a class that break it, or nothing where it was not evaluated.
    pub fn broken_by(&self, class: Class) -> &[Broken] {
        match &self.verdict {
            Verdict::Proven { classes, .. } => classes
                .iter()
                .find(|c| c.class == class)
                .map_or(&[], |c| c.broken.as_slice()),
            _ => &[],
        }
    }
}

/// A fault and its place, from the last on.
fn last(faults: &[Fault], at: usize) -> Option<(usize, &Fault)> {
    let at = faults.len().checked_sub(at + 1)?;
    Some((at, faults.get(at)?))
}

fn unproven(model: &Model, rule: &Rule, missing: Option<&str>) -> Verdict {
    if rule.text.trim().is_empty() {
        return match rule.rests_on {
            Rests::Wiring => Verdict::Cannot("missing the rule as an expression".to_owned()),
            rests_on => Verdict::RestsOn(rests_on),
        };
    }
    let cannot = model
        .cannot
        .iter()
        .find(|(id, _)| *id == rule.id)
        .map(|(_, why)| why.clone());
    Verdict::Cannot(cannot.or_else(|| missing.map(str::to_owned)).unwrap_or_default())
}

/// So that both planes are named where they are read.
pub(super) fn stands(run: &Run<'_>, may: May, taken: &dyn Fn(u32) -> bool) -> (bool, bool) {
    (
        run.diagrams.holds(may.on, taken),
        run.diagrams.holds(may.off, taken),
    )
}

impl Snapshot {
    /// Every rule's answer; worked out when it is first asked for.
    pub fn proof(&self) -> &Arc<Proof> {
        self.proven(|| Arc::new(Proof::of(self)))
    }
}
