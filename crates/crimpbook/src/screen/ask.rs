//! What a screen asks of the computed book only when somebody looks at it: answered on the worker, kept by question.

use std::sync::Arc;

use crimpbook_workbook::{
    analysis::{
        Snapshot,
        protect::{FarRow, Picture, far_ends, picture},
        suppose::{Outcome, Touch},
    },
    model::{Fuse, Id, Wire},
    rules::Proof,
};

use super::{
    computed::Computed,
    effect::Effect,
    model::{Model, wanted::wanted},
};

/// A question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Question {
    /// What a wire that fails so does in every state. Three questions a wire, so that the checks of a change need not
    /// wait for all of them.
    Suppose(Id<Wire>, Touch),
    /// A fuse and the wires beneath it.
    Picture(Id<Fuse>),
    /// The far-end fault of every wire.
    FarEnds,
    /// Whether each rule holds.
    Proof,
}

/// Its answer.
#[derive(Debug)]
pub enum Answer {
    /// What happens, the gravest first.
    Suppose(Vec<Outcome>),
    /// The picture, or what is missing for it.
    Picture(Result<Picture, String>),
    /// A row a wire.
    FarEnds(Vec<FarRow>),
    /// Every rule's answer.
    Proof(Arc<Proof>),
}

impl Question {
    /// Computes the answer.
    pub fn answer(self, see: &Snapshot) -> Answer {
        match self {
            Self::Suppose(wire, touch) => {
                let at = see.wiring().wire_at(wire);
                Answer::Suppose(at.map_or_else(Vec::new, |at| see.suppose_everywhere(at, touch)))
            }
            Self::Picture(fuse) => Answer::Picture(picture(see, fuse)),
            Self::FarEnds => Answer::FarEnds(far_ends(see)),
            Self::Proof => Answer::Proof(Arc::clone(see.proof())),
        }
    }
}

/// How many answers are kept of one generation of the book.
const MOST: usize = 64;

/// Answers of one generation of the book.
#[derive(Debug, Clone, Default)]
pub struct Answers {
    generation: u64,
    /// What was asked last and is not answered yet.
    waiting: Option<Question>,
    known: Vec<(Question, Arc<Answer>)>,
}

impl Answers {
    fn known(&self, question: Question) -> Option<&Answer> {
        let found = self.known.iter().find(|(asked, _)| *asked == question);
        found.map(|(_, answer)| answer.as_ref())
    }

    /// Takes in an answer; one about another generation is dropped.
    pub fn take(&mut self, generation: u64, question: Question, answer: Arc<Answer>) {
        if generation != self.generation {
            return;
        }
        if self.waiting == Some(question) {
            self.waiting = None;
        }
        self.known.retain(|(asked, _)| *asked != question);
        if self.known.len() >= MOST {
            self.known.remove(0);
        }
        self.known.push((question, answer));
    }
}

/// The answer to a question about the book as it is now; none: it is being computed.
pub fn answer(model: &Model, question: Question) -> Option<&Answer> {
    model.findings.current()?;
    (model.answers.generation == model.findings.generation).then_some(())?;
    model.answers.known(question)
}

/// Asks what the screen shown needs and does not know yet.
pub fn ask(model: &mut Model) -> Option<Effect> {
    model.findings.current()?;
    let computed: Arc<Computed> = model.findings.computed.clone()?;
    let generation = model.findings.generation;
    if model.answers.generation != generation {
        model.answers = Answers {
            generation,
            ..Answers::default()
        };
    }
    let question = wanted(model)?;
    if model.answers.waiting == Some(question) || model.answers.known(question).is_some() {
        return None;
    }
    model.answers.waiting = Some(question);
    Some(Effect::Ask(generation, computed, question))
}
