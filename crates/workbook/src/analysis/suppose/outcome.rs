//! A fault over all operating states: states in which the same happens are told once, words before figures.

use super::{Failing, FunctionVerdict, Supposed, Told, Turn};
use crate::{
    analysis::{Snapshot, StateResult},
    model::{Id, State},
};

/// Cavities told one by one among the figures, apart from those that read otherwise; the rest is counted.
const MOST_CAVITIES: usize = 4;

/// What happens, without figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Gist {
    /// What stops, and coils that release.
    pub stops: Vec<String>,
    /// What starts, and coils that pull in.
    pub starts: Vec<String>,
    /// Inputs that read otherwise, or go above what they bear.
    pub reads: Vec<String>,
    /// What of that holds only until a fuse opens.
    pub at_first: Vec<String>,
    /// Fuses that open.
    pub opens: Vec<String>,
    /// Whether the wires bear it.
    pub wires: String,
    /// What the vehicle does, in words.
    pub function: String,
    /// And as a verdict.
    pub verdict: FunctionVerdict,
}

impl Gist {
    /// Whether nobody at the wheel would notice: nothing starts, stops or reads otherwise, and no fuse opens.
    pub fn unnoticed(&self) -> bool {
        self.verdict == FunctionVerdict::Unchanged && self.opens.is_empty() && self.wires.starts_with("safe")
    }

    /// The graver the higher.
    fn weight(&self) -> u8 {
        let wires = u8::from(!self.wires.starts_with("safe")) * 4;
        wires
            + match self.verdict {
                FunctionVerdict::Unchanged => 0,
                FunctionVerdict::Lost => 1,
                FunctionVerdict::ActsByItself => 2,
            }
    }
}

/// What happens in some states.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The states.
    pub states: Vec<Id<State>>,
    /// What happens, or why it cannot be computed.
    pub gist: Result<Gist, String>,
    /// Figures of the first of the states.
    pub figures: Vec<String>,
}

impl Snapshot {
    /// What a fault does, over all states, the gravest first.
    pub fn suppose_everywhere(&self, failing: Failing) -> Vec<Outcome> {
        let mut all: Vec<Outcome> = Vec::new();
        for of in self.states() {
            let (gist, figures) = match self.suppose(of, failing) {
                Ok(supposed) => (Ok(gist(self, of, &supposed)), figures(self, of, &supposed)),
                Err(why) => (Err(why.words(self.book())), Vec::new()),
            };
            match all.iter_mut().find(|outcome| outcome.gist == gist) {
                Some(outcome) => outcome.states.push(of.state),
                None => all.push(Outcome {
                    states: vec![of.state],
                    gist,
                    figures,
                }),
            }
        }
        all.sort_by_key(|outcome| std::cmp::Reverse(outcome.gist.as_ref().map_or(u8::MAX, Gist::weight)));
        all
    }
}

fn gist(see: &Snapshot, of: &StateResult, supposed: &Supposed) -> Gist {
    let parts = supposed.lasting.parts_words(see);
    let turn = |on: bool| -> Vec<String> {
        let some = parts.iter().filter(|(_, turn)| turn.comes_on() == on);
        some.map(|(label, turn)| match turn {
            // What stops and starts stands under that word.
            Turn::Stops | Turn::Starts => label.clone(),
            Turn::Releases | Turn::PullsIn => format!("{label} {}", turn.words()),
        })
        .collect()
    };
    let reads = |moment: &super::Moment| -> Vec<String> {
        let cavities = moment.cavities_words(see).into_iter();
        let told = cavities.filter(|c| matches!(c.how, Told::Reads | Told::AboveMost));
        told.map(|c| c.words).collect()
    };
    let (stops, starts, lasting) = (turn(false), turn(true), reads(&supposed.lasting));
    let mut at_first = Vec::new();
    if !supposed.opened.is_empty() {
        let fresh = supposed
            .first
            .parts_words(see)
            .into_iter()
            .filter(|part| !parts.contains(part));
        at_first.extend(fresh.map(|(label, turn)| format!("{label} {}", turn.words())));
        at_first.extend(
            reads(&supposed.first)
                .into_iter()
                .filter(|words| !lasting.contains(words)),
        );
    }
    Gist {
        stops,
        starts,
        reads: lasting,
        at_first,
        opens: supposed
            .opened
            .iter()
            .map(|o| see.book().label_of(o.fuse))
            .collect(),
        wires: supposed.wires_words(see, of).0,
        function: supposed.function_words(see),
        verdict: supposed.function(),
    }
}

fn figures(see: &Snapshot, of: &StateResult, supposed: &Supposed) -> Vec<String> {
    let mut all = Vec::new();
    if supposed.failing.is_touch() {
        all.push(supposed.happens(see).trim_end_matches('.').to_owned());
    }
    all.extend(
        supposed
            .opens(see)
            .into_iter()
            .map(|opened| format!("opens {opened}")),
    );
    let (wires, hurt) = supposed.wires_words(see, of);
    if !hurt.is_empty() {
        all.push(format!("{} {hurt}", wires.trim_start_matches("NOT safe: ")));
    }
    let (mut told, mut others) = (0, 0);
    for cavity in supposed.lasting.cavities_words(see) {
        let moves = cavity.how == Told::Moves;
        if cavity.how == Told::Beside || (moves && told >= MOST_CAVITIES) {
            others += 1;
            continue;
        }
        told += usize::from(moves);
        let name = cavity.words.split(" reads ").next().unwrap_or_default();
        all.push(format!("{name} {}", cavity.volts));
    }
    if others > 0 {
        all.push(format!("{others} more cavities change"));
    }
    all
}
