//! What a fault does, in words: the same on the command line and on the screens.

use crimpbook_core::network::Potential;

use super::{CavityChange, FunctionVerdict, Moment, Reads, Supposed, Touch, Turn, WireVerdict};
use crate::{
    analysis::{CavityVolts, Snapshot, StateResult},
    check::words::list,
};

/// How a cavity's change is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Told {
    /// Its unit reads something else.
    Reads,
    /// It goes above the most its manual allows.
    AboveMost,
    /// Its unit sees it move.
    Moves,
    /// Only a meter at battery negative sees it move.
    Beside,
}

/// A cavity's change in words.
#[derive(Debug, Clone, PartialEq)]
pub struct CavityWords {
    /// How it is told.
    pub how: Told,
    /// Without figures (`MC-A16 BRAKE NO reads off instead of on`).
    pub words: String,
    /// Its volts before and after.
    pub volts: String,
}

impl Touch {
    /// To stand behind the wire's label (`comes off`).
    pub fn words(self) -> &'static str {
        match self {
            Self::Off => "comes off",
            Self::Chassis => "touches chassis",
            Self::Supply => "touches supply",
        }
    }
}

impl Turn {
    /// To stand behind the part's label.
    pub fn words(self) -> &'static str {
        match self {
            Self::Starts => "starts",
            Self::Stops => "stops",
            Self::PullsIn => "pulls in",
            Self::Releases => "releases",
        }
    }

    /// Whether something comes on by it.
    pub fn comes_on(self) -> bool {
        matches!(self, Self::Starts | Self::PullsIn)
    }
}

impl Supposed {
    /// Where it touches, and what flows there.
    pub fn happens(&self, see: &Snapshot) -> String {
        let book = see.book();
        match self.at {
            None => format!("{}.", self.failing.words(see)),
            Some(end) => format!(
                "{} touches {} at {}: {:.2} A flow.",
                self.failing.label(see),
                self.to,
                book.end_name(end),
                self.first.short_a.abs()
            ),
        }
    }

    /// The fuses that open and what flows through them then (`F4 at 88 A`).
    pub fn opens(&self, see: &Snapshot) -> Vec<String> {
        let one = |o: &super::Opened| format!("{} at {:.0} A", see.book().label_of(o.fuse), o.current_a);
        self.opened.iter().map(one).collect()
    }

    /// What it does to the vehicle.
    pub fn function_words(&self, see: &Snapshot) -> String {
        let racing = self.racing(see);
        let words = self.verdict_words(see);
        if racing.is_empty() {
            words
        } else {
            format!(
                "{words}; how it ends depends on which relay is faster: {}",
                list(&racing)
            )
        }
    }

    /// Coils whose speed decides how it ends, in either moment.
    pub fn racing(&self, see: &Snapshot) -> Vec<String> {
        let both = [&self.first, &self.lasting].into_iter();
        let racing = both.flat_map(|moment| &moment.result.operated.racing);
        let mut labels: Vec<String> = racing.map(|part| see.book().label_of(*part)).collect();
        labels.sort();
        labels.dedup();
        labels
    }

    fn verdict_words(&self, see: &Snapshot) -> String {
        match self.function() {
            FunctionVerdict::Unchanged => "safe: nothing starts, stops or reads otherwise".to_owned(),
            FunctionVerdict::Lost => {
                "lost: something stops or reads otherwise; whether that is the safe side is yours to judge"
                    .to_owned()
            }
            FunctionVerdict::ActsByItself => {
                let mut all = self.first.comes_on(see);
                all.extend(self.lasting.comes_on(see));
                let mut seen = std::collections::HashSet::new();
                all.retain(|label| seen.insert(label.clone()));
                format!(
                    "NOT safe: on though this state does not have it on: {}",
                    list(&all)
                )
            }
        }
    }

    /// Whether the wires bear it, and the figures of that where one does not.
    pub fn wires_words(&self, see: &Snapshot, of: &StateResult) -> (String, String) {
        match self.wires(see, of) {
            WireVerdict::Safe => ("safe: every wire bears what flows".to_owned(), String::new()),
            WireVerdict::CannotTell(missing) => (format!("cannot compute: missing {missing}"), String::new()),
            WireVerdict::Hurt {
                wire,
                current_a,
                bears_s,
                fuse_s,
            } => {
                let fuse = fuse_s.map_or("no fuse opens".to_owned(), |s| {
                    format!("the fuse may take {s:.3} s")
                });
                (
                    format!("NOT safe: {}", see.book().label_of(wire)),
                    format!("carries {current_a:.1} A, bears that {bears_s:.2} s, and {fuse}"),
                )
            }
        }
    }
}

impl Moment {
    /// Loads, lamps and coils that change, and how.
    pub fn parts_words(&self, see: &Snapshot) -> Vec<(String, Turn)> {
        let label = |at: usize| Some(see.book().label_of(see.wiring().parts.get(at)?.part));
        let parts = self.changes.parts.iter();
        parts.filter_map(|p| Some((label(p.part)?, p.turn))).collect()
    }

    /// Cavities that change, in the order of the book.
    pub fn cavities_words(&self, see: &Snapshot) -> Vec<CavityWords> {
        self.changes.cavities.iter().map(|c| cavity(see, c)).collect()
    }

    fn comes_on(&self, see: &Snapshot) -> Vec<String> {
        let parts = self.parts_words(see).into_iter();
        let mut all: Vec<String> = parts
            .filter(|(_, turn)| turn.comes_on())
            .map(|(label, _)| label)
            .collect();
        let on = |c: &&CavityChange| c.turned().is_some_and(|(_, after)| after == Reads::On);
        let cavities = self.changes.cavities.iter().filter(on);
        all.extend(cavities.map(|c| see.book().cavity_name(c.cavity)));
        all
    }
}

fn cavity(see: &Snapshot, change: &CavityChange) -> CavityWords {
    let book = see.book();
    let function = book
        .get(change.cavity)
        .map(|c| c.name.as_str())
        .unwrap_or_default();
    let name = format!("{} {function}", book.cavity_name(change.cavity));
    let name = name.trim_end();
    let (how, words) = if let Some((before, after)) = change.turned() {
        let words = format!("{name} reads {} instead of {}", after.words(), before.words());
        (Told::Reads, words)
    } else if let Some(most) = change.above_most_v {
        (Told::AboveMost, format!("{name} goes above its {most} V"))
    } else if change.moves_for_its_unit() {
        (Told::Moves, name.to_owned())
    } else {
        (Told::Beside, name.to_owned())
    };
    CavityWords {
        how,
        words,
        volts: from_to(change.before, change.after),
    }
}

/// From one to the other, against the unit's own ground, else against battery negative, which is then said.
pub fn from_to(before: CavityVolts, after: CavityVolts) -> String {
    let figure = |text: String| {
        if text == "floats" {
            text
        } else {
            format!("{text} V")
        }
    };
    if before.own_ground_v.or(after.own_ground_v).is_some() {
        return format!("{} → {}", before.own_words(), figure(after.own_words()));
    }
    let (before, after) = (before.negative_words(), figure(after.negative_words()));
    format!("{before} → {after} against battery negative")
}

impl CavityVolts {
    /// Against the unit's own ground, to a hundredth; `-`: the unit has none.
    pub fn own_words(&self) -> String {
        match (self.own_ground_v, self.negative) {
            (Some(v), _) => fixed(v, 2),
            (None, Potential::Unsteady { .. }) => "unsteady".to_owned(),
            (None, Potential::Floating) => "floats".to_owned(),
            (None, Potential::At(_)) => "-".to_owned(),
        }
    }

    /// Against battery negative, to a hundredth.
    pub fn negative_words(&self) -> String {
        match self.negative {
            Potential::At(v) => fixed(v, 2),
            Potential::Floating => "floats".to_owned(),
            Potential::Unsteady { least_v, most_v } => format!("{least_v:.2} to {most_v:.2}"),
        }
    }
}

/// With so many digits, and without the sign of a rounded nothing.
pub fn fixed(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let nothing = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if nothing { text.replace('-', "") } else { text }
}
