//! Calculators: what is asked for, what the workbook knows of it already, and the answer in words with a curve.
//!
//! The arithmetic is `crimpbook_core::reckon`. To add one: copy the smallest neighbour and name it in [`CALCULATORS`].

mod answer;
mod curve;
mod divider;
mod given;
mod input;
mod loading;
mod pedal;
mod precharge;
mod regeneration;
mod shape;
#[cfg(test)]
mod tests;
mod tracks;

pub use answer::{Answer, Curve, Line, Plot};
pub use curve::{PedalCurve, pedal_curves};
pub use given::{Given, Subject};
pub use input::{Input, Missing, Takes, Values};

use crate::book::InOrder;
use crate::{analysis::Snapshot, book::natural};

/// A sum with its inputs.
#[derive(Debug)]
pub struct Calculator {
    /// Stable name, for the command line.
    pub name: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// What it answers, in a sentence.
    pub what: &'static str,
    /// The formula, a line each.
    pub formula: &'static [&'static str],
    /// Where formula and usual figures come from.
    pub source: &'static str,
    /// What to mind; shown beside every answer.
    pub caution: &'static str,
    /// What it takes.
    pub inputs: &'static [Input],
    /// What of the workbook it can be worked out for, in any order.
    find: fn(&Snapshot) -> Vec<Subject>,
    /// The answer.
    pub work_out: fn(&Values<'_>) -> Result<Answer, Missing>,
}

/// Every calculator, in the order in which a builder comes to them.
pub static CALCULATORS: &[Calculator] = &[
    pedal::PEDAL,
    tracks::TRACKS,
    shape::SHAPE,
    regeneration::REGENERATION,
    loading::LOADING,
    divider::DIVIDER,
    precharge::PRECHARGE,
];

/// The calculator of this name.
pub fn named(name: &str) -> Option<&'static Calculator> {
    CALCULATORS.iter().find(|c| c.name == name)
}

impl Calculator {
    /// What of the workbook it can be worked out for, in the order in which people count.
    pub fn subjects(&self, see: &Snapshot) -> Vec<Subject> {
        let mut all = (self.find)(see);
        all.order_by(|subject| natural(&subject.label));
        all
    }

    /// What stands in the inputs before anything is typed: what is given, else what is usual.
    pub fn start(&self, subject: Option<&Subject>) -> Vec<String> {
        self.inputs
            .iter()
            .map(|input| {
                let given = subject.and_then(|s| s.given.iter().find(|g| g.input == input.name));
                given.map_or_else(|| input.usual.to_owned(), |g| g.text.clone())
            })
            .collect()
    }
}
