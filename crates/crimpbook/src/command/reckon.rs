//! `crimpbook reckon`: the calculators, from what is typed and from what a workbook knows.

use std::{path::Path, process::ExitCode};

use crimpbook_workbook::{
    analysis::Snapshot,
    reckon::{CALCULATORS, Calculator, Subject, Takes, Values, named},
};

use super::{Outcome, WIDTH, read, say, wrapped};
use crate::{report::Report, sketch::sketch};

/// Columns and lines of a curve.
const CURVE: (usize, usize) = (72, 16);

/// Prints the calculators, or the answer of one.
pub fn run(name: Option<&str>, typed: &[String], from: Option<&Path>, at: Option<&str>) -> Outcome {
    let Some(name) = name else {
        say(&all())?;
        return Ok(ExitCode::SUCCESS);
    };
    let calculator = named(name).ok_or_else(|| {
        let names: Vec<&str> = CALCULATORS.iter().map(|c| c.name).collect();
        Report::user(format!("there is no calculator called {name:?}"))
            .hint(format!("calculators: {}", names.join(", ")))
    })?;
    let subject = match from {
        Some(file) => chosen(calculator, &Snapshot::of(&read(file)?.book), at)?,
        None => None,
    };
    let mut texts = calculator.start(subject.as_ref());
    for typed in typed {
        let (at, text) = input(calculator, typed)?;
        if let Some(slot) = texts.get_mut(at) {
            text.clone_into(slot);
        }
    }
    say(&page(calculator, subject.as_ref(), &texts)?)?;
    Ok(ExitCode::SUCCESS)
}

/// What a calculator is worked out for.
fn chosen(calculator: &Calculator, see: &Snapshot, at: Option<&str>) -> Result<Option<Subject>, Report> {
    let mut all = calculator.subjects(see);
    let labels = all.iter().map(|s| s.label.clone()).collect::<Vec<_>>().join("; ");
    match at {
        None if all.len() < 2 => Ok(all.pop()),
        None => Err(Report::user(format!(
            "this workbook has several to work {} out for",
            calculator.name
        ))
        .hint(format!("name one with --at: {labels}"))),
        Some(at) => {
            let low = at.to_lowercase();
            let is = |s: &Subject| s.label.to_lowercase().split([' ', ',']).any(|word| word == low);
            let place = all.iter().position(is).ok_or_else(|| {
                Report::user(format!("{at} has nothing to work {} out for", calculator.name)).hint(
                    if labels.is_empty() {
                        "nothing of this workbook fits; type the figures instead".to_owned()
                    } else {
                        format!("there is: {labels}")
                    },
                )
            })?;
            Ok(Some(all.swap_remove(place)))
        }
    }
}

/// The input that `name=text` is for.
fn input<'t>(calculator: &Calculator, typed: &'t str) -> Result<(usize, &'t str), Report> {
    let names = || {
        let names: Vec<&str> = calculator.inputs.iter().map(|i| i.name).collect();
        format!("{} takes {}", calculator.name, names.join(", "))
    };
    let (name, text) = typed
        .split_once('=')
        .ok_or_else(|| Report::user(format!("{typed:?} is no NAME=VALUE")).hint(names()))?;
    let at = calculator.inputs.iter().position(|i| i.name == name.trim());
    at.map(|at| (at, text))
        .ok_or_else(|| Report::user(format!("{} takes no {:?}", calculator.name, name.trim())).hint(names()))
}

fn all() -> String {
    let mut lines = Vec::new();
    for calculator in CALCULATORS {
        lines.push(wrapped(&format!("{:<14}", calculator.name), calculator.what));
        let takes: Vec<String> = calculator
            .inputs
            .iter()
            .map(|i| match i.takes {
                Takes::OneOf(_) => format!("{}={}", i.name, i.example().replace(" | ", "|")),
                Takes::Figure(_) | Takes::Number => i.name.to_owned(),
            })
            .collect();
        lines.push(wrapped(&format!("{:<14}", ""), &takes.join(", ")));
    }
    lines.push(wrapped(
        "",
        "Write: crimpbook reckon loading track=10k pull=200k; with --from FILE what the workbook knows is filled in. Only \
         control wiring up to 60 V DC is computed; a sum is not an approval.",
    ));
    lines.join("\n")
}

fn page(calculator: &Calculator, subject: Option<&Subject>, texts: &[String]) -> Result<String, Report> {
    let values = Values::read(calculator.inputs, texts).map_err(|(at, why)| {
        let name = calculator.inputs.get(at).map_or("", |i| i.name);
        Report::user(format!("{name}: {why}"))
    })?;
    let answer = (calculator.work_out)(&values).map_err(|missing| {
        let takes: Vec<String> = calculator
            .inputs
            .iter()
            .map(|i| format!("{}= ({}, {})", i.name, i.words, i.example()))
            .collect();
        Report::user(format!("cannot reckon: missing {}", missing.0)).hint(format!(
            "{} takes {}",
            calculator.name,
            takes.join("; ")
        ))
    })?;
    let mut lines = vec![calculator.title.to_owned()];
    if let Some(subject) = subject {
        lines.push(format!("for {}", subject.label));
    }
    lines.extend(calculator.formula.iter().map(|f| format!("  {f}")));
    lines.push(String::new());
    for (input, text) in calculator.inputs.iter().zip(texts) {
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        let known = subject.and_then(|s| s.given.iter().find(|g| g.input == input.name));
        let from = match known {
            Some(given) if given.text.trim() == text => format!("   ({})", given.from),
            _ if input.usual == text => "   (usual)".to_owned(),
            _ => String::new(),
        };
        lines.push(format!("  {:<20} {text}{from}", input.words));
    }
    lines.push(String::new());
    for line in &answer.lines {
        let mark = if line.grave { "!" } else { " " };
        lines.push(wrapped(&format!("{mark} {:<20} ", line.what), &line.words));
    }
    if let Some(plot) = &answer.plot {
        lines.push(String::new());
        lines.extend(sketch(plot, CURVE.0.min(WIDTH), CURVE.1));
    }
    lines.push(String::new());
    lines.push(wrapped("", &format!("Source: {}.", calculator.source)));
    if !calculator.caution.is_empty() {
        lines.push(wrapped("", calculator.caution));
    }
    Ok(lines.join("\n"))
}
