//! Edits that are tried: what they cost, line by line.

use std::sync::Arc;

use crimpbook_workbook::{
    model::Rule,
    tried::{Cost, Judged},
};

use super::{
    Model,
    suppose::{Line, Look},
};
use crate::screen::{computed::Computed, text::count};

/// A trial of edits.
#[derive(Debug, Clone)]
pub struct Trying {
    /// What was computed of the plan before them.
    pub base: Arc<Computed>,
    /// Entries of the log before them.
    pub heads: usize,
    /// What they cost.
    page: Arc<Page>,
}

/// What was told last, and of what.
#[derive(Debug, Default)]
struct Page {
    generation: u64,
    proven: [bool; 2],
    lines: Vec<Line>,
}

impl Trying {
    /// From here on.
    pub fn of(base: Arc<Computed>, heads: usize) -> Self {
        Self {
            base,
            heads,
            page: Arc::default(),
        }
    }
}

/// How many edits are tried; none: no edit is.
pub fn tried(model: &Model) -> Option<usize> {
    let trying = model.trying.as_ref()?;
    Some(model.heads.len().saturating_sub(trying.heads))
}

/// The whys given to what is tried, one after the other.
pub fn whys(model: &Model) -> String {
    let from = model.trying.as_ref().map_or(usize::MAX, |t| t.heads);
    let mut whys: Vec<&str> = Vec::new();
    for head in model.heads.iter().skip(from) {
        if !head.why.is_empty() && !whys.contains(&head.why.as_str()) {
            whys.push(&head.why);
        }
    }
    whys.join("; ")
}

/// Makes the page anew where what it tells of has changed.
pub fn renew(model: &mut Model) {
    let (Some(trying), Some(after)) = (&model.trying, model.findings.current()) else {
        return;
    };
    let (Some(before), Some(report)) = (&trying.base.snapshot, model.findings.report()) else {
        return;
    };
    let proven = [before.proof_at_hand().is_some(), after.proof_at_hand().is_some()];
    let generation = model.findings.generation;
    if trying.page.generation == generation && trying.page.proven == proven {
        return;
    }
    let was = Judged {
        see: before,
        report: &trying.base.report,
    };
    let cost = Cost::of(was, Judged { see: after, report });
    let page = Arc::new(Page {
        generation,
        proven,
        lines: told(
            &cost,
            proven != [true, true] && !model.book.all::<Rule>().is_empty(),
        ),
    });
    if let Some(trying) = &mut model.trying {
        trying.page = page;
    }
}

/// `proving`: the worker is at the rules, before and after.
fn told(cost: &Cost, proving: bool) -> Vec<Line> {
    let mut all = Vec::new();
    let mut say = |look, words: String| {
        all.push(Line {
            look,
            what: "",
            words,
        })
    };
    for block in cost.blocks() {
        let look = if block.grave { Look::States } else { Look::Heading };
        say(look, block.heading);
        for line in block.lines {
            say(Look::Words, line);
        }
    }
    if proving {
        let words = "The rules are being proven anew, before and after; the answer follows here.";
        say(Look::Quiet, words.to_owned());
    }
    let unmoved = cost.unmoved();
    if !unmoved.is_empty() {
        say(Look::Quiet, format!("Beside that {unmoved}."));
    }
    for caution in cost.cautions() {
        say(Look::Quiet, caution.to_owned());
    }
    all
}

/// The page.
pub fn lines(model: &Model) -> Vec<Line> {
    let Some(trying) = &model.trying else {
        return Vec::new();
    };
    let line = |look, words: String| Line {
        look,
        what: "",
        words,
    };
    let mut all = Vec::new();
    let heads: Vec<_> = model.heads.iter().skip(trying.heads).collect();
    if heads.is_empty() {
        let words = "Nothing is tried yet. Leave this page and change what you like, on any screen; nothing of it reaches \
                     the disk. Then come back for what it costs.";
        return vec![line(Look::Words, words.to_owned())];
    }
    all.push(line(Look::Heading, "Tried".to_owned()));
    all.extend(heads.iter().map(|head| line(Look::Words, head.title.clone())));
    if model.findings.current().is_none() {
        all.push(line(Look::Quiet, "checking the plan with it …".to_owned()));
        return all;
    }
    all.extend(trying.page.lines.iter().cloned());
    all.push(line(
        Look::Quiet,
        "A passed check is not an approval; what it rests on is told at each finding and rule.".to_owned(),
    ));
    all
}

/// The mark of a trial (`trying 2 edits, not kept`).
pub fn mark(model: &Model) -> Option<String> {
    let tried = tried(model)?;
    Some(format!("TRYING {}, not kept", count(tried, "edit", "edits")))
}
