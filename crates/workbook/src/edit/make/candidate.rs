//! Sources weighed for an input.

use super::cavity::now_wired;
use super::label::next_label;
use super::{Change, Edit, Refusal, WireDraft, cannot, need};
use crate::{
    Book,
    model::{Candidate, Cavity, End, Id, IdMaker, Verdict, Wire},
};

/// Writes down a source for `sink` that is being weighed: a cavity of the book, or one in words only.
///
/// # Errors
/// The sink is gone; nothing says what the source is; it is weighed already.
pub fn weigh(
    book: &Book,
    ids: &mut IdMaker,
    sink: Id<Cavity>,
    source: Option<Id<Cavity>>,
    words: &str,
) -> Result<Edit, Refusal> {
    need(book, sink)?;
    let words = match (words.trim(), source) {
        ("", None) => {
            return Err(cannot(
                book,
                sink,
                "needs the source's name or a cavity; give one",
            ));
        }
        ("", Some(source)) => book.cavity_name(source),
        (words, _) => words.to_owned(),
    };
    let known = book
        .index()
        .candidates_of
        .of(&sink)
        .iter()
        .filter_map(|id| book.get(*id));
    if source.is_some() && known.into_iter().any(|c| c.source == source) {
        return Err(cannot(book, sink, format!("{words} is weighed for it already")));
    }
    let title = format!("{}: {words} weighed", book.cavity_name(sink));
    let row = Candidate {
        id: ids.make(),
        sink,
        source,
        words,
        verdict: Verdict::Weighed,
        why: String::new(),
    };
    Ok(Edit::design(title, vec![Change::make(row)]))
}

/// Takes a candidate: it is marked as chosen, any that was chosen before is weighed again, and a wire from the source to
/// the sink is added where both are cavities of the book and none joins them yet. `draft` says what the wire is.
///
/// # Errors
/// The candidate is gone or chosen already.
pub fn choose(
    book: &Book,
    ids: &mut IdMaker,
    candidate: Id<Candidate>,
    draft: WireDraft,
    why: &str,
) -> Result<Edit, Refusal> {
    let before = need(book, candidate)?;
    if before.verdict == Verdict::Chosen {
        return Err(cannot(
            book,
            candidate,
            format!("{} is chosen already", before.words),
        ));
    }
    let mut changes = vec![with_verdict(before, Verdict::Chosen, why)];
    for other in book.index().candidates_of.of(&before.sink) {
        let other = need(book, *other)?;
        if other.verdict == Verdict::Chosen {
            changes.push(with_verdict(other, Verdict::Weighed, ""));
        }
    }
    let mut title = format!("{}: {} chosen", book.cavity_name(before.sink), before.words);
    if let Some(source) = before.source.filter(|source| !joined(book, *source, before.sink)) {
        let (from, to) = (End::Cavity(source), End::Cavity(before.sink));
        changes.extend([from, to].into_iter().filter_map(|end| now_wired(book, end)));
        let label = match draft.label.trim() {
            "" => next_label::<Wire>(book, "W"),
            label => label.to_owned(),
        };
        title = format!("{title}, {label} added");
        changes.push(Change::make(
            WireDraft { from, to, ..draft }.row(ids.make(), label),
        ));
    }
    Ok(Edit::design(title, changes).because(why))
}

/// Refuses a candidate; it is kept with its why.
///
/// # Errors
/// The candidate is gone or refused already; no why is given.
pub fn refuse(book: &Book, candidate: Id<Candidate>, why: &str) -> Result<Edit, Refusal> {
    let before = need(book, candidate)?;
    if before.verdict == Verdict::Refused {
        return Err(cannot(
            book,
            candidate,
            format!("{} is refused already", before.words),
        ));
    }
    if why.trim().is_empty() {
        return Err(cannot(
            book,
            candidate,
            format!("{} needs its why: the builder comes back to it", before.words),
        ));
    }
    let title = format!("{}: {} refused", book.cavity_name(before.sink), before.words);
    let change = with_verdict(before, Verdict::Refused, why);
    Ok(Edit::design(title, vec![change]).because(why))
}

fn with_verdict(before: &Candidate, verdict: Verdict, why: &str) -> Change {
    let mut after = before.clone();
    after.verdict = verdict;
    let why = why.trim();
    if !why.is_empty() {
        // What was said for and against it when it was weighed stays.
        after.why = match (before.why.as_str(), verdict) {
            ("", _) => why.to_owned(),
            (own, Verdict::Chosen) => format!("{own}; chosen: {why}"),
            (own, Verdict::Refused) => format!("{own}; refused: {why}"),
            (own, Verdict::Weighed) => format!("{own}; {why}"),
        };
    }
    Change::replace(before.clone(), after)
}

fn joined(book: &Book, a: Id<Cavity>, b: Id<Cavity>) -> bool {
    let nets = crate::signals::Nets::of(book);
    nets.at_cavity(a).is_some() && nets.at_cavity(a) == nets.at_cavity(b)
}
