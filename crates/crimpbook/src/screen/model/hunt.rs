//! Finding a fault: what was seen and read so far, as it was typed. What comes of it is a [`page::Page`].

pub mod page;

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    analysis::suspects::{Inquiry, Item, Signatures, seen_or_read},
    model::{Id, State},
};

use super::Model;
use crate::screen::{
    ask::{Answer, Question, answer},
    editor::Editor,
};
use page::{Choice, Page};

/// Something seen or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The state it was seen in.
    pub state: Id<State>,
    /// As it was typed.
    pub text: String,
}

/// A hunt for a fault; it stays as it is when its page is closed.
#[derive(Debug, Clone)]
pub struct Hunt {
    /// The state the switches stand in now.
    pub state: Id<State>,
    /// What was seen and read, the last one last.
    pub said: Vec<Said>,
    /// The battery at rest, hundredths of a volt; none: not read.
    pub battery_cv: Option<u32>,
    /// States in which every other lamp and load does what it should.
    pub else_usual: Vec<Id<State>>,
    /// What is being typed.
    pub editor: Editor,
    /// What is wrong with it.
    pub wrong: Option<String>,
    /// The choice the cursor is on, among those that what is typed leaves.
    pub pick: Option<usize>,
    /// First line shown.
    pub from: usize,
    /// What comes of it.
    pub page: Arc<Page>,
}

impl Hunt {
    /// A new one.
    pub fn of(state: Id<State>) -> Self {
        Self {
            state,
            said: Vec::new(),
            battery_cv: None,
            else_usual: Vec::new(),
            editor: Editor::default(),
            wrong: None,
            pick: None,
            from: 0,
            page: Arc::default(),
        }
    }

    /// The states of which something is to be computed, that of now first.
    fn states(&self) -> Vec<Id<State>> {
        let mut all = vec![self.state];
        for said in &self.said {
            if !all.contains(&said.state) {
                all.push(said.state);
            }
        }
        all
    }

    /// What the worker is asked: first without wires that touch something, which is soon there.
    pub fn questions(&self) -> Vec<Question> {
        let states = self.states();
        let of = |touches| {
            let states = states.iter();
            states.map(move |state| Question::Suspects(*state, self.battery_cv, touches))
        };
        of(false).chain(of(true)).collect()
    }

    /// What was seen and read in a state, resolved.
    pub fn inquiry(&self, book: &Book, of: &Signatures) -> Inquiry {
        let mut inquiry = Inquiry::default();
        for said in self.said.iter().filter(|said| said.state == of.state) {
            match seen_or_read(book, of, &said.text) {
                Ok(Item::Seen(symptom)) => inquiry.symptoms.push(symptom),
                Ok(Item::Read(place, volts)) => inquiry.readings.push((place, volts)),
                // It could be read when it was typed; the plan has changed since.
                Err(_) => {}
            }
        }
        if self.else_usual.contains(&of.state) {
            of.else_usual(&mut inquiry);
        }
        inquiry
    }

    /// What can be chosen beside what is typed.
    pub fn choices(&self) -> Vec<&Choice> {
        let typed = self.editor.text().to_lowercase();
        let whole: Vec<&str> = typed.split_whitespace().collect();
        let with = |least: usize, all: bool| -> Vec<&Choice> {
            let holds = |choice: &&Choice| {
                let words = choice.words.to_lowercase();
                let mut parts = whole.iter().filter(|part| part.len() >= least);
                if all {
                    parts.all(|part| words.contains(part))
                } else {
                    parts.any(|part| words.contains(part))
                }
            };
            self.page.choices.iter().filter(holds).collect()
        };
        let near = with(0, true);
        // "won't go ready": a long word of it may name something.
        if near.is_empty() { with(4, false) } else { near }
    }

    /// Whether what can be chosen is shown instead of what comes of it.
    pub fn chooses(&self) -> bool {
        let wanted = self.pick.is_some() || self.said.is_empty() || !self.editor.is_empty();
        wanted && !self.choices().is_empty()
    }
}

/// What all faults would show in a state, as far as it is computed: whether all of it is.
pub fn signatures<'m>(
    model: &'m Model,
    hunt: &Hunt,
    state: Id<State>,
) -> Option<Result<(&'m Arc<Signatures>, bool), &'m str>> {
    let ask = |touches| answer(model, Question::Suspects(state, hunt.battery_cv, touches));
    let (found, whole) = match ask(true) {
        Some(found) => (found, true),
        None => (ask(false)?, false),
    };
    match found {
        Answer::Suspects(Ok(of)) => Some(Ok((of, whole))),
        Answer::Suspects(Err(why)) => Some(Err(why)),
        _ => None,
    }
}
