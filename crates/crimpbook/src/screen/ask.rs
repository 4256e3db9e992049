//! What a screen asks of the computed book only when somebody looks at it: answered on the worker, kept by question.

use std::sync::Arc;

use crimpbook_workbook::{
    analysis::{
        Snapshot,
        protect::{FarRow, Picture, far_ends, picture},
        suppose::{Failing, Outcome},
        suspects::Signatures,
    },
    check::{self, Mend},
    measure::{Windows, windows},
    model::{Fuse, Id, Key, State},
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
    /// What a fault does in every state. A question each, so that the checks of a change need not wait for all of them.
    Suppose(Failing),
    /// A fuse and the wires beneath it.
    Picture(Id<Fuse>),
    /// The far-end fault of every wire.
    FarEnds,
    /// Whether each rule holds.
    Proof,
    /// Whether each held before what is tried.
    ProofBefore,
    /// What a meter should show at every cavity in a state.
    Windows(Id<State>),
    /// What every single fault would show in a state, with the battery read at so many hundredths of a volt; without wires
    /// that touch something, or with them.
    Suspects(Id<State>, Option<u32>, bool),
    /// The mend of a finding, by check and place, that was not tried with the others.
    Mend(&'static str, Key),
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
    /// From least to most, or why that cannot be told.
    Windows(Result<Windows, String>),
    /// What they would show, or why that is not computed.
    Suspects(Result<Arc<Signatures>, String>),
    /// The mend, if there is one.
    Mend(Option<Mend>),
}

impl Question {
    /// Computes the answer.
    pub fn answer(self, see: &Snapshot) -> Answer {
        match self {
            Self::Suppose(failing) => Answer::Suppose(see.suppose_everywhere(failing)),
            Self::Picture(fuse) => Answer::Picture(picture(see, fuse)),
            Self::FarEnds => Answer::FarEnds(far_ends(see)),
            Self::Proof | Self::ProofBefore => Answer::Proof(Arc::clone(see.proof())),
            Self::Windows(state) => Answer::Windows(windows(see, state)),
            Self::Suspects(state, battery_cv, touches) => {
                let supply_v = battery_cv.map(|cv| f64::from(cv) / 100.0);
                let gone = || "the state is not in the workbook any more, or has no solution".to_owned();
                let found = see.state(state).ok_or_else(gone).and_then(|of| {
                    see.signatures_of(of, supply_v, touches)
                        .map_err(|why| why.words(see.book()))
                });
                Answer::Suspects(found)
            }
            Self::Mend(check, place) => Answer::Mend(check::mend_of(see, check, place)),
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
    let of = match (question, &model.trying) {
        (Question::ProofBefore, Some(trying)) => Arc::clone(&trying.base),
        _ => computed,
    };
    Some(Effect::Ask(generation, of, question))
}
