//! What the faults of a wire and of what it hangs on do, line by line: words first, figures after.

use crimpbook_workbook::{
    analysis::suppose::{Failing, Gist, Outcome},
    model::{Id, Wire},
};

use super::Model;
use crate::screen::ask::{Answer, Question, answer};

/// How a line looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// How the wire fails.
    Heading,
    /// The states in which it is so.
    States,
    /// What happens.
    Words,
    /// What must not be overlooked.
    Grave,
    /// Figures, and what to keep in mind.
    Quiet,
    /// Nothing.
    Empty,
}

/// A line: how it looks, what it says of, what it says.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// How it looks.
    pub look: Look,
    /// What it is about, in a word; may be empty.
    pub what: &'static str,
    /// What it says.
    pub words: String,
}

const CAUTION: &str = "Each state as it stands, with relays left to their coils; what a unit's firmware then does is not \
                       known here. Never try it on a live vehicle. A passed check is not an approval.";

/// What the page of a wire tells of; nothing while the book is being checked.
pub fn failings(model: &Model, wire: Id<Wire>) -> Vec<Failing> {
    let see = model.findings.current();
    let at = see.and_then(|see| Some((see, see.wiring().wire_at(wire)?)));
    at.map_or_else(Vec::new, |(see, at)| Failing::around(see, at))
}

/// The page of a wire; what is not computed yet says so.
pub fn lines(model: &Model, wire: Id<Wire>) -> Vec<Line> {
    let line = |look, what, words: String| Line { look, what, words };
    let Some(see) = model.findings.current() else {
        return vec![line(
            Look::Quiet,
            "",
            "checking the book as it is now …".to_owned(),
        )];
    };
    let mut all = Vec::new();
    for failing in failings(model, wire) {
        all.push(line(Look::Heading, "", format!("If {}", failing.words(see))));
        let Some(Answer::Suppose(outcomes)) = answer(model, Question::Suppose(failing)) else {
            all.push(line(Look::Quiet, "", "checking every state with it …".to_owned()));
            continue;
        };
        if outcomes.is_empty() {
            all.push(line(
                Look::Words,
                "",
                "cannot compute: there is no operating state with a solution yet".to_owned(),
            ));
        }
        for (n, outcome) in outcomes.iter().enumerate() {
            let others = match (outcomes.len(), n + 1 == outcomes.len()) {
                (1, _) => Some("in every state"),
                (_, true) => Some("in all other states"),
                _ => None,
            };
            told(model, failing, outcome, others, &mut all);
        }
        all.push(line(Look::Empty, "", String::new()));
    }
    for (state, trouble) in see.unsolved() {
        let words = format!("{}, {}", model.book.label_of(*state), trouble.words(&model.book));
        all.push(line(Look::Words, "cannot compute", words));
    }
    all.push(line(Look::Quiet, "", CAUTION.to_owned()));
    all
}

/// `others`: the states in a few words, where that is shorter than naming them.
fn told(model: &Model, failing: Failing, outcome: &Outcome, others: Option<&str>, all: &mut Vec<Line>) {
    let mut say = |look, what, words: String| all.push(Line { look, what, words });
    let labels: Vec<String> = outcome.states.iter().map(|s| model.book.label_of(*s)).collect();
    let states = match others {
        Some(words) if labels.len() > 3 => format!("{words} ({})", labels.len()),
        _ => labels.join(", "),
    };
    say(Look::States, "", states);
    let gist = match &outcome.gist {
        Ok(gist) => gist,
        Err(why) => return say(Look::Grave, "cannot compute", why.clone()),
    };
    if gist.unnoticed() {
        let more = if failing.is_touch() {
            "nobody would notice: nothing starts, stops or reads otherwise, and no fuse opens"
        } else {
            "nobody would notice: nothing starts, stops or reads otherwise"
        };
        say(Look::Words, "", more.to_owned());
    } else {
        happens(gist, &mut say);
    }
    if !outcome.figures.is_empty() {
        let of = labels.first().filter(|_| labels.len() > 1);
        let of = of.map_or_else(String::new, |label| format!("in {label}: "));
        say(
            Look::Quiet,
            "figures",
            format!("{of}{}", outcome.figures.join("; ")),
        );
    }
}

fn happens(gist: &Gist, say: &mut impl FnMut(Look, &'static str, String)) {
    let look = |words: &str| {
        if words.starts_with("NOT safe") {
            Look::Grave
        } else {
            Look::Words
        }
    };
    let mut some = |what, words: &[String]| {
        if !words.is_empty() {
            say(Look::Words, what, words.join("; "));
        }
    };
    some("at first", &gist.at_first);
    some("opens", &gist.opens);
    some("stops", &gist.stops);
    some("starts", &gist.starts);
    some("reads", &gist.reads);
    say(look(&gist.wires), "wire", gist.wires.clone());
    say(look(&gist.function), "function", gist.function.clone());
}
