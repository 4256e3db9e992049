//! `crimpbook suppose`: what changes if a wire comes off or chafes through, in words.

use std::{path::Path, process::ExitCode};

use crimpbook_workbook::analysis::{
    Snapshot, StateResult,
    suppose::{CavityChange, FunctionVerdict, Moment, OPENS_AT, Supposed, Touch, Turn, WireVerdict},
};

use super::{Outcome, read, say, volts, wrapped};

/// Cavities told one by one, apart from those that read otherwise; the rest is counted.
const MOST_CAVITIES: usize = 6;

/// Prints what changes, state by state.
pub fn run(file: &Path, wire: &str) -> Outcome {
    let opened = read(file)?;
    let see = Snapshot::of(&opened.book);
    let at = volts::wire_named(&see, wire)?;
    say(&page(&see, at))?;
    Ok(ExitCode::SUCCESS)
}

fn page(see: &Snapshot, at: usize) -> String {
    let book = see.book();
    let mut lines = Vec::new();
    for touch in Touch::ALL {
        // States in which the same happens are told once.
        let mut told: Vec<(Vec<String>, String)> = Vec::new();
        for of in see.states() {
            let label = book.label_of(of.state);
            let text = match see.suppose(of, at, touch) {
                Ok(supposed) => in_words(see, of, &supposed),
                Err(why) => wrapped("    cannot compute: ", &why.words(book)),
            };
            match told.iter_mut().find(|(_, other)| *other == text) {
                Some((labels, _)) => labels.push(label),
                None => told.push((vec![label], text)),
            }
        }
        let wire = see
            .wiring()
            .wires
            .get(at)
            .map(|run| book.label_of(run.wire))
            .unwrap_or_default();
        let head = match touch {
            Touch::Off => "comes off",
            Touch::Chassis => "touches chassis",
            Touch::Supply => "touches supply",
        };
        lines.push(format!("If {wire} {head}"));
        for (labels, text) in told {
            lines.push(wrapped("  ", &labels.join(", ")));
            lines.push(text);
        }
    }
    for (state, trouble) in see.unsolved() {
        lines.push(wrapped(
            "cannot compute: ",
            &format!("{}, {}", book.label_of(*state), trouble.words(book)),
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
    if supposed.touch != Touch::Off {
        lines.push(wrapped("    ", &happens(see, supposed)));
    }
    let opened: Vec<String> = supposed
        .opened
        .iter()
        .map(|o| format!("{} at {:.0} A", see.book().label_of(o.fuse), o.current_a))
        .collect();
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
    lines.push(wrapped("    wire      ", &wires(see, of, supposed)));
    lines.push(wrapped("    function  ", &function(see, supposed)));
    lines.join("\n")
}

/// Where it touches, and what flows there.
pub(super) fn happens(see: &Snapshot, supposed: &Supposed) -> String {
    let book = see.book();
    let wire = see
        .wiring()
        .wires
        .get(supposed.wire)
        .map(|run| book.label_of(run.wire))
        .unwrap_or_default();
    match supposed.at {
        None => format!("{wire} is off."),
        Some(end) => format!(
            "{wire} touches {} at {}: {:.2} A flow.",
            supposed.to,
            book.end_name(end),
            supposed.first.short_a.abs()
        ),
    }
}

/// What changes in a moment, one phrase each: loads and relays, then inputs, then other cavities.
pub(super) fn changes(see: &Snapshot, moment: &Moment) -> Vec<String> {
    let book = see.book();
    let mut all: Vec<String> = moment
        .changes
        .parts
        .iter()
        .filter_map(|p| {
            let label = book.label_of(see.wiring().parts.get(p.part)?.part);
            let turn = match p.turn {
                Turn::Starts => "starts",
                Turn::Stops => "stops",
                Turn::PullsIn => "pulls in",
                Turn::Releases => "releases",
            };
            Some(format!("{label} {turn}"))
        })
        .collect();
    let name = |c: &CavityChange| {
        let function = book
            .get(c.cavity)
            .map(|cavity| cavity.name.as_str())
            .unwrap_or_default();
        let space = if function.is_empty() { "" } else { " " };
        format!("{}{space}{function}", book.cavity_name(c.cavity))
    };
    let (mut told, mut others) = (0, 0);
    for change in &moment.changes.cavities {
        let volts = volts::from_to(change.before, change.after);
        if let Some((before, after)) = change.turned() {
            all.push(format!(
                "{} reads {} instead of {} ({volts})",
                name(change),
                after.words(),
                before.words()
            ));
        } else if let Some(most) = change.above_most_v {
            all.push(format!("{} goes above its {most} V ({volts})", name(change)));
        } else if told < MOST_CAVITIES && change.moves_for_its_unit() {
            told += 1;
            all.push(format!("{} {volts}", name(change)));
        } else {
            others += 1;
        }
    }
    if others > 0 {
        all.push(format!("{others} more cavities change"));
    }
    all
}

fn wires(see: &Snapshot, of: &StateResult, supposed: &Supposed) -> String {
    match supposed.wires(see, of) {
        WireVerdict::Safe => "safe: every wire bears what flows".to_owned(),
        WireVerdict::CannotTell(missing) => format!("cannot compute: missing {missing}"),
        WireVerdict::Hurt {
            wire,
            current_a,
            bears_s,
            fuse_s,
        } => {
            let fuse = fuse_s.map_or("no fuse opens".to_owned(), |s| {
                format!("the fuse may take {s:.3} s")
            });
            format!(
                "NOT safe: {} carries {current_a:.1} A, bears that {bears_s:.2} s, and {fuse}",
                see.book().label_of(wire)
            )
        }
    }
}

fn function(see: &Snapshot, supposed: &Supposed) -> String {
    match supposed.function() {
        FunctionVerdict::Unchanged => "safe: nothing starts, stops or reads otherwise".to_owned(),
        FunctionVerdict::Lost => {
            "lost: something stops or reads otherwise; whether that is the safe side is yours to judge"
                .to_owned()
        }
        FunctionVerdict::ActsByItself => {
            let comes_on = |m: &Moment| -> Vec<String> {
                let parts = m.changes.parts.iter();
                let parts = parts.filter(|p| matches!(p.turn, Turn::Starts | Turn::PullsIn));
                let parts = parts.filter_map(|p| Some(see.wiring().parts.get(p.part)?.part));
                let mut all: Vec<String> = parts.map(|id| see.book().label_of(id)).collect();
                let on = |c: &&CavityChange| {
                    c.turned()
                        .is_some_and(|t| t.1 == crimpbook_workbook::analysis::suppose::Reads::On)
                };
                let cavities = m.changes.cavities.iter().filter(on);
                all.extend(cavities.map(|c| see.book().cavity_name(c.cavity)));
                all
            };
            let mut all = comes_on(&supposed.first);
            all.extend(comes_on(&supposed.lasting));
            let mut seen = std::collections::HashSet::new();
            all.retain(|label| seen.insert(label.clone()));
            format!(
                "NOT safe: on though this state does not have it on: {}",
                list(&all)
            )
        }
    }
}

fn or_nothing(all: &[String]) -> String {
    if all.is_empty() {
        "nothing".to_owned()
    } else {
        all.join("; ")
    }
}

/// `a, b and c`.
pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
