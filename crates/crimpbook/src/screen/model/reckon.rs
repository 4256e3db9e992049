//! The calculators: which one, for what, and what is typed over what the workbook knows.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    model::{Cavity, Id},
    reckon::{Answer, CALCULATORS, Calculator, Input, Subject, Values},
};

use super::{Model, face, settings, sources};
use crate::screen::action::Where;

/// A calculator and what it is worked out for.
type Sum = (usize, Option<Id<Cavity>>);

/// State of the calculators.
#[derive(Debug, Clone, Default)]
pub struct Reckon {
    /// Which one.
    pub at: usize,
    /// The input the cursor is on.
    pub row: usize,
    /// For which place of the workbook; none: the one that most is known of.
    pub place: Option<Id<Cavity>>,
    /// Whether the whole answer with its curve fills the screen.
    pub whole: bool,
    /// What is typed over what is known, by input.
    pub typed: BTreeMap<Sum, BTreeMap<&'static str, String>>,
}

/// A calculator as it stands.
#[derive(Debug)]
pub struct Sheet {
    /// Which.
    pub calculator: &'static Calculator,
    /// What it is worked out for, its place among those there are, and how many.
    pub subject: Option<(Subject, usize, usize)>,
    /// Whether what the workbook knows is still being computed.
    pub waits: bool,
    /// What stands in each input.
    pub texts: Vec<String>,
    /// Where that is from: a setting, usual, nothing where it is typed.
    pub from: Vec<String>,
}

/// What a sheet comes to.
#[derive(Debug, PartialEq)]
pub enum Outcome {
    /// An input that cannot be read.
    Wrong(usize, String),
    /// Something has to be typed first.
    Missing(String),
    /// The answer.
    Answer(Answer),
}

/// The calculator shown.
pub fn calculator(model: &Model) -> &'static Calculator {
    let at = model.reckon.at % CALCULATORS.len().max(1);
    &CALCULATORS[at]
}

/// What the workbook has for the calculator shown; none while that is computed.
pub fn subjects(model: &Model) -> Option<Vec<Subject>> {
    Some(calculator(model).subjects(model.findings.current()?))
}

/// The cavity under the cursor of the screen beneath, or that the setting there belongs to.
pub fn cavity_here(model: &Model) -> Option<Id<Cavity>> {
    match model.place {
        Where::Face | Where::States => face::cavity(model).map(|c| c.id),
        Where::Sources => sources::cavity(model).map(|c| c.id),
        Where::Settings => settings::setting(model)?.cavities.first().copied(),
        _ => None,
    }
}

/// The place among the subjects that is chosen.
fn chosen(model: &Model, all: &[Subject]) -> usize {
    let place = model.reckon.place;
    let here = all.iter().position(|s| place.is_some() && s.cavity == place);
    // The one that most is known of, the first of several.
    let known = || {
        (0..all.len())
            .rev()
            .max_by_key(|at| all.get(*at).map_or(0, |s| s.given.len()))
    };
    here.or_else(known).unwrap_or(0)
}

/// Under what the typed texts are kept.
pub fn sum(model: &Model) -> Sum {
    let all = subjects(model).unwrap_or_default();
    (
        model.reckon.at,
        all.get(chosen(model, &all)).and_then(|s| s.cavity),
    )
}

/// The calculator as it stands.
pub fn sheet(model: &Model) -> Sheet {
    let calculator = calculator(model);
    let all = subjects(model);
    let waits = all.is_none();
    let mut all = all.unwrap_or_default();
    let (at, count) = (chosen(model, &all), all.len());
    let subject = (at < count).then(|| (all.swap_remove(at), at, count));
    let key = (model.reckon.at, subject.as_ref().and_then(|s| s.0.cavity));
    let typed = model.reckon.typed.get(&key);
    let known = subject.as_ref().map(|s| &s.0);
    let mut texts = calculator.start(known);
    let mut from = Vec::new();
    for (input, text) in calculator.inputs.iter().zip(&mut texts) {
        let given = known.and_then(|s| s.given.iter().find(|g| g.input == input.name));
        let over = typed.and_then(|t| t.get(input.name));
        from.push(match (over, given) {
            (Some(_), _) => "typed".to_owned(),
            (None, Some(given)) => given.from.clone(),
            (None, None) if !text.is_empty() => "usual".to_owned(),
            (None, None) => String::new(),
        });
        if let Some(over) = over {
            text.clone_from(over);
        }
    }
    Sheet {
        calculator,
        subject,
        waits,
        texts,
        from,
    }
}

impl Sheet {
    /// What it comes to.
    pub fn outcome(&self) -> Outcome {
        match Values::read(self.calculator.inputs, &self.texts) {
            Err((at, why)) => Outcome::Wrong(at, why),
            Ok(values) => match (self.calculator.work_out)(&values) {
                Ok(answer) => Outcome::Answer(answer),
                Err(missing) => Outcome::Missing(missing.0),
            },
        }
    }
}

/// The input the cursor is on.
pub fn input(model: &Model) -> Option<&'static Input> {
    let inputs = calculator(model).inputs;
    inputs.get(model.reckon.row.min(inputs.len().saturating_sub(1)))
}
