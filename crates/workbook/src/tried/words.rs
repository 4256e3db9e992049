//! What an edit would cost, in words: the same on the command line and on the screen.

use super::{Cost, Moved, Proofs, Weighed};
use crate::check::Finding;

/// What may reach rules that rest on nothing that changes.
const BUT: &str = "a short there, or a ground lost that units share, is tried by the proof";
/// Lines told of a kind; the rest is counted.
const MOST: usize = 12;

/// To be shown where something built is to be made anew.
const REWIRE: &str = "Before anything is made anew at the vehicle: 12 V battery off, traction disconnected as its manual says, plugs \
                      apart, the vehicle chocked. Traction wiring, its insulation and what belongs to the mains are for people \
                      licensed for it; local codes and the units' manuals win.";
/// To be shown where something is to be measured anew.
const MEASURE: &str = "Before it is measured anew: control wiring up to 60 V DC only, probes from the wire's side, nobody in line, \
                       hands and leads clear of fans, pumps and belts.";

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
        all.push(Block {
            heading,
            lines,
            grave,
        });
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

    /// What to mind where it sends a person to the vehicle.
    pub fn cautions(&self) -> Vec<&'static str> {
        let rewires = !self.redo.is_empty() || self.gone > 0;
        let measures = rewires || !self.readings.is_empty();
        let some = [(rewires, REWIRE), (measures, MEASURE)];
        some.into_iter()
            .filter(|(said, _)| *said)
            .map(|(_, words)| words)
            .collect()
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
            Self::Open { open, stay } => {
                let left = match stay.len() {
                    0 => String::new(),
                    n => format!(
                        "{} on nothing this touches",
                        if n == 1 {
                            "1 rests".to_owned()
                        } else {
                            format!("{n} rest")
                        }
                    ),
                };
                if open.is_empty() {
                    let heading = format!("No rule is open again: {left}");
                    return (heading, vec![format!("{} ({BUT})", stay.join(", "))], false);
                }
                let mut lines: Vec<String> = Vec::new();
                // Rules that the same opens stand on one line.
                for (rule, why) in open {
                    let end = format!(" ({why})");
                    match lines.iter_mut().find(|line| line.ends_with(&end)) {
                        Some(line) => {
                            let at = line.len() - end.len();
                            line.insert_str(at, &format!(", {rule}"));
                        }
                        None => lines.push(format!("{rule}{end}")),
                    }
                }
                if !left.is_empty() {
                    lines.push(format!("{left}: {} ({BUT})", stay.join(", ")));
                }
                let heading = match open.len() {
                    1 => "1 rule open again until proven anew, for what it rests on".to_owned(),
                    n => format!("{n} rules open again until proven anew, for what they rest on"),
                };
                (heading, lines, true)
            }
            Self::Compared(reopened, same) if reopened.is_empty() => (
                format!("Rules proven anew: all {same} as before"),
                Vec::new(),
                false,
            ),
            Self::Compared(reopened, same) => {
                let lines = reopened
                    .iter()
                    .map(|r| format!("{}: {}; was: {}", r.rule, r.is, r.was));
                let heading = format!(
                    "Rules proven anew: {} otherwise, {same} as before",
                    reopened.len()
                );
                (heading, lines.collect(), true)
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
