//! Missing facts being answered, one after the other in the order of one sitting.

use crimpbook_workbook::{
    model::Key,
    question::{Question, questions},
};

use super::Model;
use crate::screen::editor::Editor;

/// A sitting: what is asked, where one is, what is being typed.
#[derive(Debug, Clone, Default)]
pub struct Asking {
    /// What is asked, in order.
    pub list: Vec<Question>,
    /// Which of it is asked now.
    pub at: usize,
    /// What is typed as its answer.
    pub editor: Editor,
    /// What is wrong with that, in a sentence.
    pub wrong: Option<String>,
    /// How many were answered since it was opened.
    pub answered: usize,
}

impl Asking {
    /// What the checks ask for now; it begins with what belongs to `first`, if that is given.
    pub fn of(model: &Model, first: Option<Key>) -> Self {
        let list = asked(model);
        let at = first
            .and_then(|place| list.iter().position(|q| q.place == place))
            .unwrap_or(0);
        Self {
            list,
            at,
            ..Self::default()
        }
    }

    /// What is asked now.
    pub fn question(&self) -> Option<&Question> {
        self.list.get(self.at)
    }

    /// Whether leaving would lose something typed.
    pub fn typed(&self) -> bool {
        !self.editor.is_empty()
    }

    /// Takes in what is asked now; the cursor stays with its question, or goes to the one that took its place.
    pub fn renew(&mut self, list: Vec<Question>) {
        let same = self.question().and_then(|was| {
            let is = |q: &Question| q.ask == was.ask && q.place == was.place && q.words == was.words;
            list.iter().position(is)
        });
        match same {
            Some(at) => self.at = at,
            None => {
                self.at = self.at.min(list.len().saturating_sub(1));
                self.editor = Editor::default();
                self.wrong = None;
            }
        }
        self.list = list;
    }
}

/// What the checks ask for, without what has been told since they ran.
pub fn asked(model: &Model) -> Vec<Question> {
    let book = &model.book;
    let mut list = match model.findings.report() {
        Some(report) => questions(book, report),
        None => Vec::new(),
    };
    // A fact told while the checks still run is no place to look at.
    if model.findings.running {
        list.retain(|q| q.ask.is_some());
    }
    list
}
