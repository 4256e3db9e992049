//! `crimpbook suppose`: what changes if a wire comes off or chafes through, or a fuse, plug, ground or contact fails, in words.

use std::{path::Path, process::ExitCode};

use crimpbook_workbook::{
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Moment, OPENS_AT, Supposed, Told},
    },
    check::words::list,
};

use super::{Outcome, read, say, volts, wrapped};

/// Cavities told one by one, apart from those that read otherwise; the rest is counted.
const MOST_CAVITIES: usize = 6;

/// Prints what changes, state by state.
pub fn run(file: &Path, what: &str) -> Outcome {
    let opened = read(file)?;
    let see = Snapshot::of(&opened.book);
    let ways = volts::failing(&see, what)?;
    say(&page(&see, &ways))?;
    Ok(ExitCode::SUCCESS)
}

fn page(see: &Snapshot, ways: &[Failing]) -> String {
    let book = see.book();
    let mut lines = Vec::new();
    if see.states().is_empty() && see.unsolved().is_empty() {
        lines.push("cannot compute: the workbook has no operating state yet".to_owned());
    }
    let ways = if see.states().is_empty() { &[] } else { ways };
    for way in ways.iter().copied() {
        // States in which the same happens are told once.
        let mut told: Vec<(Vec<String>, String)> = Vec::new();
        for of in see.states() {
            let label = book.label_of(of.state);
            let text = match see.suppose(of, way) {
                Ok(supposed) => in_words(see, of, &supposed),
                Err(why) => wrapped("    cannot compute: ", &why.words(book)),
            };
            match told.iter_mut().find(|(_, other)| *other == text) {
                Some((labels, _)) => labels.push(label),
                None => told.push((vec![label], text)),
            }
        }
        lines.push(format!("If {}", way.words(see)));
        for (labels, text) in told {
            lines.push(wrapped("  ", &labels.join(", ")));
            lines.push(text);
        }
    }
    // States that fail alike are told once.
    let mut failed: Vec<(String, Vec<String>)> = Vec::new();
    for (state, trouble) in see.unsolved() {
        let (label, why) = (book.label_of(*state), trouble.words(book));
        match failed.iter_mut().find(|(other, _)| *other == why) {
            Some((_, labels)) => labels.push(label),
            None => failed.push((why, vec![label])),
        }
    }
    for (why, labels) in failed {
        lines.push(wrapped(
            "cannot compute: ",
            &format!("{}, {why}", labels.join(", ")),
        ));
    }
    lines.push(wrapped(
        "",
        "Each state as it stands, with relays left to their coils; what a unit's firmware then does is not known \
         here. A passed check is not an approval.",
    ));
    lines.join("\n")
}

fn in_words(see: &Snapshot, of: &StateResult, supposed: &Supposed) -> String {
    let mut lines = Vec::new();
    if supposed.failing.is_touch() {
        lines.push(wrapped("    ", &supposed.happens(see)));
    }
    let opened = supposed.opens(see);
    let mut last = "changes   ";
    if !opened.is_empty() {
        let until = changes(see, &supposed.first);
        lines.push(wrapped("    at first  ", &or_nothing(&until)));
        lines.push(wrapped(
            "    opens     ",
            &format!(
                "{} (above {OPENS_AT} times the rating; gate from memory)",
                list(&opened)
            ),
        ));
        last = "then      ";
    }
    lines.push(wrapped(
        &format!("    {last}"),
        &or_nothing(&changes(see, &supposed.lasting)),
    ));
    let (wires, figures) = supposed.wires_words(see, of);
    lines.push(wrapped("    wire      ", format!("{wires} {figures}").trim_end()));
    lines.push(wrapped("    function  ", &supposed.function_words(see)));
    lines.join("\n")
}

/// What changes in a moment, one phrase each: loads and relays, then inputs, then other cavities.
pub(super) fn changes(see: &Snapshot, moment: &Moment) -> Vec<String> {
    let parts = moment.parts_words(see).into_iter();
    let mut all: Vec<String> = parts
        .map(|(label, turn)| format!("{label} {}", turn.words()))
        .collect();
    let (mut told, mut others) = (0, 0);
    for cavity in moment.cavities_words(see) {
        match cavity.how {
            Told::Reads | Told::AboveMost => all.push(format!("{} ({})", cavity.words, cavity.volts)),
            Told::Moves if told < MOST_CAVITIES => {
                told += 1;
                all.push(format!("{} {}", cavity.words, cavity.volts));
            }
            Told::Moves | Told::Beside => others += 1,
        }
    }
    if others > 0 {
        all.push(format!("{others} more cavities change"));
    }
    all
}

fn or_nothing(all: &[String]) -> String {
    if all.is_empty() {
        "nothing".to_owned()
    } else {
        all.join("; ")
    }
}
