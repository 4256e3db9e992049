//! What a calculator says.

/// An answer in lines, with a curve where one helps.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answer {
    /// Figures and verdicts.
    pub lines: Vec<Line>,
    /// A curve.
    pub plot: Option<Plot>,
}

/// A line of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What it is about, in a word or two.
    pub what: String,
    /// What is said.
    pub words: String,
    /// It is something to mend.
    pub grave: bool,
}

impl Answer {
    /// Adds a line.
    pub fn say(&mut self, what: impl Into<String>, words: impl Into<String>) {
        self.line(what.into(), words.into(), false);
    }

    /// Adds a line about something to mend.
    pub fn warn(&mut self, what: impl Into<String>, words: impl Into<String>) {
        self.line(what.into(), words.into(), true);
    }

    fn line(&mut self, what: String, words: String, grave: bool) {
        self.lines.push(Line { what, words, grave });
    }
}

/// Curves over one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// What lies along the foot, with its unit.
    pub along: &'static str,
    /// What stands up, with its unit.
    pub up: &'static str,
    /// Ends of the foot.
    pub along_ends: (f64, f64),
    /// Ends of the upright.
    pub up_ends: (f64, f64),
    /// The curves, the first on top.
    pub curves: Vec<Curve>,
    /// Upright lines: where, and the mark at the foot.
    pub marks: Vec<(f64, char)>,
}

/// A curve, drawn with a mark of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Its mark.
    pub mark: char,
    /// What it is, in a few words.
    pub words: &'static str,
    /// Points from left to right.
    pub points: Vec<(f64, f64)>,
}

/// Points of a curve are taken at so many places.
const PLACES: u32 = 100;

impl Curve {
    /// A curve of a function between two ends.
    pub fn of(mark: char, words: &'static str, ends: (f64, f64), f: impl Fn(f64) -> f64) -> Self {
        let at = |n: u32| ends.0 + (ends.1 - ends.0) * f64::from(n) / f64::from(PLACES);
        Self {
            mark,
            words,
            points: (0..=PLACES).map(|n| (at(n), f(at(n)))).collect(),
        }
    }
}
