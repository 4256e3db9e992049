//! A finding: where, what, the figure against its limit, why it matters, the mend.

use crate::{
    check::Accepted,
    edit::{Change, Edit},
    model::{Id, Key, Row},
};

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Do not put power on.
    Stop,
    /// Look at it before power is put on.
    Warning,
    /// Good to know; counted, listed when asked for.
    Note,
}

impl Level {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// A figure of a finding, with the limit it is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is (`drop of the wire`).
    pub name: String,
    /// Its value in `unit`.
    pub value: f64,
    /// What it should not pass.
    pub limit: Option<f64>,
    /// Unit (`V`, `A`, `°C`, `%`).
    pub unit: &'static str,
}

impl Figure {
    /// A figure with its limit.
    pub fn against(name: impl Into<String>, value: f64, limit: f64, unit: &'static str) -> Self {
        Self {
            name: name.into(),
            value,
            limit: Some(limit),
            unit,
        }
    }

    /// A figure without a limit.
    pub fn plain(name: impl Into<String>, value: f64, unit: &'static str) -> Self {
        Self {
            name: name.into(),
            value,
            limit: None,
            unit,
        }
    }
}

/// A computed way out: words for a person, and the changes that do it where the program can.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What to do, in words.
    pub words: String,
    /// The changes; empty where a person has to think.
    pub changes: Vec<Change>,
}

impl Mend {
    /// A mend in words only.
    pub fn words(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            changes: Vec::new(),
        }
    }

    /// The mend as an edit for the door; none where it is words only.
    pub fn edit(&self) -> Option<Edit> {
        (!self.changes.is_empty()).then(|| Edit::design(self.words.clone(), self.changes.clone()))
    }
}

/// The finding that another one follows from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Cause {
    /// Its check.
    pub check: &'static str,
    /// Its first place.
    pub place: Key,
}

/// What a check says.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Stable name of the check.
    pub check: &'static str,
    /// How grave it is.
    pub level: Level,
    /// Where: the first is the place itself, the others belong to it.
    pub places: Vec<Key>,
    /// Plain words; the first ten say where and what.
    pub sentence: String,
    /// Figures, the one that decides first.
    pub figures: Vec<Figure>,
    /// What happens if it stays so.
    pub why_it_matters: String,
    /// The cheapest computed way out.
    pub mend: Option<Mend>,
    /// Whether there are ways out that were not tried, since the book is large and has many: [`super::mend_of`] tries them.
    pub untried: bool,
    /// The finding it hangs under.
    pub follows_from: Option<Cause>,
    /// What it rests on, with how that is known.
    pub source: String,
    /// Whether and why somebody accepted it.
    pub accepted: Option<Accepted>,
}

impl Finding {
    /// A finding of `check` at a place.
    pub fn new<R: Row>(check: &'static str, level: Level, at: Id<R>, sentence: impl Into<String>) -> Self {
        Self {
            check,
            level,
            places: vec![Key::of(at)],
            sentence: sentence.into(),
            figures: Vec::new(),
            why_it_matters: String::new(),
            mend: None,
            untried: false,
            follows_from: None,
            source: String::new(),
            accepted: None,
        }
    }

    /// With places that belong to it.
    #[must_use]
    pub fn with<R: Row>(mut self, more: impl IntoIterator<Item = Id<R>>) -> Self {
        self.places.extend(more.into_iter().map(Key::of));
        self
    }

    /// With a figure.
    #[must_use]
    pub fn figure(mut self, figure: Figure) -> Self {
        self.figures.push(figure);
        self
    }

    /// With what happens if it stays so.
    #[must_use]
    pub fn matters(mut self, why: impl Into<String>) -> Self {
        self.why_it_matters = why.into();
        self
    }

    /// With a way out.
    #[must_use]
    pub fn mend(mut self, mend: impl Into<Option<Mend>>) -> Self {
        self.mend = mend.into();
        self
    }

    /// With what it rests on.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    /// Hanging under another finding.
    #[must_use]
    pub fn follows<R: Row>(mut self, check: &'static str, place: Id<R>) -> Self {
        self.follows_from = Some(Cause {
            check,
            place: Key::of(place),
        });
        self
    }

    /// Where it is.
    pub fn place(&self) -> Option<Key> {
        self.places.first().copied()
    }

    /// The figure that decides.
    pub fn figure_value(&self) -> Option<f64> {
        self.figures.first().map(|f| f.value)
    }

    /// Whether it is accepted and the acceptance still counts.
    pub fn is_accepted(&self) -> bool {
        self.accepted.as_ref().is_some_and(|a| a.lapsed.is_none())
    }
}
