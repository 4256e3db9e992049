//! One line being typed, and what it is for.

use crimpbook_record::part_file::PartFile;
use crimpbook_workbook::{
    Book,
    edit::Edit,
    measure::{Taken, Test},
    model::{Candidate, Cavity, Decision, Id, Unit},
};

use crate::screen::{editor::Editor, effect::Then};

/// One line being typed.
#[derive(Debug, Clone)]
pub struct Line {
    /// What is asked.
    pub title: String,
    /// What is typed.
    pub editor: Editor,
    /// What it started with; anything else would be lost by leaving.
    pub started: String,
    /// What is wrong with it, in a sentence.
    pub wrong: Option<String>,
    /// How many whys back; 0: what is being typed.
    pub back: usize,
    /// What it is for.
    pub purpose: Purpose,
}

/// What a line is for.
#[derive(Debug, Clone)]
pub enum Purpose {
    /// The why of an edit that is ready but for it; it may stay empty where none is needed.
    Why {
        /// The edit.
        edit: Box<Edit>,
        /// What to do once it is kept.
        then: Then,
        /// Whether it must not stay empty.
        needed: bool,
        /// Whether the acceptance in it keeps it as its own why.
        of_acceptance: bool,
    },
    /// The why of a decision on some cavities.
    Decide(Decision, Vec<Id<Cavity>>),
    /// The why of a bridge between two cavities.
    Bridge(Id<Cavity>, Id<Cavity>),
    /// The why of taking a source that was weighed.
    Choose(Id<Candidate>),
    /// The why of refusing one.
    Refuse(Id<Candidate>),
    /// The why of keeping what is tried.
    KeepTried,
    /// What a release is.
    Release,
    /// Function and kind of a cavity.
    Describe(Id<Cavity>),
    /// What was wrong with the build step at hand.
    Failed,
    /// Which part to use.
    UsePart,
    /// What the unit of a part file is called here.
    NamePart(Box<PartFile>),
    /// Under which name a unit is saved as a part file.
    SavePart(Id<Unit>),
    /// Where the figures of a part file come from, and its path.
    AboutPart(Id<Unit>, String),
    /// Which other workbook to compare with.
    OtherWorkbook,
    /// Which other copy of this workbook to merge with.
    OtherCopy,
    /// Which wires are built.
    Filter,
    /// Which rows of the list are shown.
    OnlyWith,
    /// What the meter shows.
    Reading(Box<Test>),
    /// What was found and done about a reading that is not as expected.
    WrongReading(Box<(Test, Taken)>),
    /// A stage of testing.
    Stage,
    /// The leads' own ohms.
    Leads,
    /// What the battery reads.
    SupplyNow,
    /// How warm it is where one measures.
    RoomNow,
    /// The current sent through.
    CurrentNow,
    /// Which meter.
    NameMeter,
    /// What stands in an input of the calculator shown.
    Figure(&'static str),
    /// The word that must be typed before something is removed.
    Word {
        /// The word.
        word: String,
        /// The edit.
        edit: Box<Edit>,
        /// What to do once it is kept.
        then: Then,
    },
}

impl Line {
    /// A line that asks `title`.
    pub fn new(title: impl Into<String>, purpose: Purpose) -> Self {
        Self {
            title: title.into(),
            editor: Editor::default(),
            started: String::new(),
            wrong: None,
            back: 0,
            purpose,
        }
    }

    /// Asks for a why that may stay empty.
    pub fn why(title: impl Into<String>, edit: Edit, then: Then) -> Self {
        Self::new(
            title,
            Purpose::Why {
                edit: Box::new(edit),
                then,
                needed: false,
                of_acceptance: false,
            },
        )
    }

    /// Asks for the why of an acceptance; it must not stay empty.
    pub fn why_of_acceptance(title: impl Into<String>, edit: Edit, then: Then) -> Self {
        Self::new(
            title,
            Purpose::Why {
                edit: Box::new(edit),
                then,
                needed: true,
                of_acceptance: true,
            },
        )
    }

    /// With a text that what is typed takes the place of; a move of the cursor keeps it.
    #[must_use]
    pub fn offered(mut self, text: impl Into<String>) -> Self {
        self.started = text.into();
        self.editor = Editor::picked(self.started.clone());
        self
    }

    /// With a text to start from.
    #[must_use]
    pub fn started(mut self, text: impl Into<String>) -> Self {
        self.started = text.into();
        self.editor = Editor::with(self.started.clone());
        self
    }

    /// Whether leaving would lose something typed.
    pub fn typed(&self) -> bool {
        self.editor.text() != self.started
    }
}

impl Purpose {
    /// Whether a why is typed, so that earlier ones are offered.
    pub fn asks_why(&self) -> bool {
        match self {
            Self::Why { .. }
            | Self::Decide(..)
            | Self::Bridge(..)
            | Self::Choose(_)
            | Self::Refuse(_)
            | Self::KeepTried
            | Self::Release => true,
            Self::Describe(_)
            | Self::Failed
            | Self::UsePart
            | Self::NamePart(_)
            | Self::SavePart(_)
            | Self::AboutPart(..)
            | Self::OtherWorkbook
            | Self::OtherCopy
            | Self::Filter
            | Self::OnlyWith
            | Self::Reading(_)
            | Self::WrongReading(_)
            | Self::Stage
            | Self::Leads
            | Self::SupplyNow
            | Self::RoomNow
            | Self::CurrentNow
            | Self::NameMeter
            | Self::Figure(_)
            | Self::Word { .. } => false,
        }
    }

    /// Whether a why is asked for that must not stay empty; what is tried is asked for its why when it is kept.
    pub fn needs_why(&self, book: &Book, trying: bool) -> bool {
        let always = match self {
            Self::Why { needed, edit, .. } => *needed || (!trying && book.check_why(edit).is_err()),
            Self::Refuse(_) | Self::KeepTried | Self::Release => true,
            _ => false,
        };
        always || (self.asks_why() && !trying && book.revision().is_some())
    }
}
