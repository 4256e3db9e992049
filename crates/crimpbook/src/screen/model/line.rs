//! One line being typed, and what it is for.

use crimpbook_workbook::{
    edit::Edit,
    model::{Cavity, Id},
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
        /// Whether the cavities and candidates in it keep it as their own why.
        of_records: bool,
    },
    /// Function and kind of a cavity.
    Describe(Id<Cavity>),
    /// What was wrong with the build step at hand.
    Failed,
    /// Which wires are built.
    Filter,
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
                of_records: false,
            },
        )
    }

    /// Asks for a why that the cavities and candidates of the edit keep as their own.
    pub fn why_of_records(title: impl Into<String>, edit: Edit, then: Then) -> Self {
        let mut line = Self::why(title, edit, then);
        if let Purpose::Why { of_records, .. } = &mut line.purpose {
            *of_records = true;
        }
        line
    }

    /// As [`Line::why_of_records`], but it must not stay empty.
    pub fn needed_why_of_records(title: impl Into<String>, edit: Edit, then: Then) -> Self {
        let mut line = Self::why_of_records(title, edit, then);
        if let Purpose::Why { needed, .. } = &mut line.purpose {
            *needed = true;
        }
        line
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
