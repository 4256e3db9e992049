//! What an edit would cost, in words: the same on the command line and on the screen.

use super::{Cost, Moved, Proofs, Weighed};
use crate::check::Finding;

/// Lines told of a kind; the rest is counted.
const MOST: usize = 12;

/// A heading with its lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// What the lines are.
    pub heading: String,
    /// The lines.
    pub lines: Vec<String>,
    /// Whether it must not be overlooked.
    pub grave: bool,
}

impl Cost {
    /// Everything, block by block; what is empty is told where a person would look for it.
    pub fn blocks(&self) -> Vec<Block> {
        let finding = |f: &Finding| format!("{}: {}", f.level.words(), f.sentence);
        let weighed = |w: &Weighed| {
            let was = if w.was.is_accepted() {
                "accepted"
            } else {
                w.was.level.words()
            };
            format!("{}, was {was}: {}", w.is.level.words(), w.is.sentence)
        };
        let pair = |(what, why): &(String, String)| format!("{what} ({why})");
        let mut all = Vec::new();
        let mut some = |grave, heading: &str, lines: Vec<String>| {
            if !lines.is_empty() {
                all.push(block(grave, heading, lines));
            }
        };
        some(
            true,
            "Findings that come",
            self.gained.iter().map(finding).collect(),
        );
        some(
            true,
            "Findings that weigh otherwise",
            self.weighed.iter().map(weighed).collect(),
        );
        some(false, "Findings that go", self.lost.iter().map(finding).collect());
        some(true, "Cannot be checked then", self.unchecked.clone());
        some(false, "Can be checked then", self.checked.clone());
        some(true, "States", self.states.clone());
        let (heading, lines, grave) = self.rules.told();
        if lines.is_empty() {
            all.push(block(grave, &heading, Vec::new()));
        } else {
            all.push(block(grave, &heading, lines));
        }
        let mut some = |heading: &str, lines: Vec<String>| {
            if !lines.is_empty() {
                all.push(block(false, heading, lines));
            }
        };
        some("Build steps to redo", self.redo.iter().map(pair).collect());
        if self.gone > 0 {
            some(
                "Build steps that go with what is removed",
                vec![format!("{} of them", self.gone)],
            );
        }
        some("Readings that lapse", self.readings.iter().map(pair).collect());
        some(
            "Accepted findings that are open again",
            self.acceptances.iter().map(pair).collect(),
        );
        some("Volts that move", self.volts.iter().map(Moved::words).collect());
        all
    }

    /// What stays as it is, in a sentence; empty where nothing does.
    pub fn unmoved(&self) -> String {
        let mut nothing = Vec::new();
        if self.gained.is_empty() && self.lost.is_empty() && self.weighed.is_empty() {
            nothing.push("no finding comes or goes");
        }
        if self.redo.is_empty() && self.gone == 0 {
            nothing.push("no build step is to be redone");
        }
        if self.readings.is_empty() {
            nothing.push("no reading lapses");
        }
        if self.volts.is_empty() {
            nothing.push("no voltage moves by 0.05 V or more");
        }
        nothing.join(", ")
    }
}

fn block(grave: bool, heading: &str, mut lines: Vec<String>) -> Block {
    let count = lines.len();
    if count > MOST {
        lines.truncate(MOST);
        lines.push(format!("and {} more", count - MOST));
    }
    let heading = if count > 1 {
        format!("{heading} ({count})")
    } else {
        heading.to_owned()
    };
    Block {
        heading,
        lines,
        grave,
    }
}

impl Proofs {
    /// Heading, lines, and whether it must not be overlooked.
    fn told(&self) -> (String, Vec<String>, bool) {
        match self {
            Self::Same => ("No rule is open again".to_owned(), Vec::new(), false),
            Self::Open(1) => (
                "The rule is open again until it is proven anew".to_owned(),
                Vec::new(),
                true,
            ),
            Self::Open(n) => (
                format!("All {n} rules are open again until proven anew"),
                Vec::new(),
                true,
            ),
            Self::Compared(reopened, same) if reopened.is_empty() => (
                format!("Rules proven anew: all {same} as before"),
                Vec::new(),
                false,
            ),
            Self::Compared(reopened, same) => {
                let lines = reopened
                    .iter()
                    .map(|r| format!("{}: {}; was: {}", r.rule, r.is, r.was));
                (
                    format!("Rules proven anew, {same} as before"),
                    lines.collect(),
                    true,
                )
            }
        }
    }
}

impl Moved {
    /// In words (`MC-A16 in DRIVE: 11.92 → 11.20 V`).
    pub fn words(&self) -> String {
        let volts = |v: Option<f64>| v.map_or("floats".to_owned(), |v| format!("{v:.2}"));
        let unit = if self.is_v.is_some() { " V" } else { "" };
        format!(
            "{} in {}: {} → {}{unit}",
            self.cavity,
            self.state,
            volts(self.was_v),
            volts(self.is_v)
        )
    }
}
