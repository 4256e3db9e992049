//! The calculators. What is typed here changes no workbook.

use crimpbook_workbook::reckon::{CALCULATORS, Takes};

use crate::screen::{
    action::{Do, Where},
    editor::Editor,
    keys::Key,
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        reckon::{calculator, cavity_here, input, sheet, subjects, sum},
    },
};

/// Opens the calculators; at a cavity that one is for, that one.
pub fn open(model: &mut Model) {
    if let Some(cavity) = cavity_here(model) {
        let fits = |model: &Model| {
            let all = subjects(model).unwrap_or_default();
            all.iter().any(|s| s.cavity == Some(cavity))
        };
        let before = model.reckon.at;
        if !fits(model) {
            let found = (0..CALCULATORS.len()).find(|at| {
                model.reckon.at = *at;
                fits(model)
            });
            model.reckon.at = found.unwrap_or(before);
        }
        if fits(model) {
            model.reckon.place = Some(cavity);
        }
    }
    model.over.push(Over::Reckon);
}

pub fn perform(model: &mut Model, act: Do, key: Key) {
    let last = calculator(model).inputs.len().saturating_sub(1);
    model.reckon.row = model.reckon.row.min(last);
    match act {
        Do::InputUp => model.reckon.row = model.reckon.row.saturating_sub(1),
        Do::InputDown => model.reckon.row = (model.reckon.row + 1).min(last),
        Do::NextSum => turn(model, 1),
        Do::PreviousSum => turn(model, CALCULATORS.len() - 1),
        Do::NextSubject => step(model, true),
        Do::PreviousSubject => step(model, false),
        Do::Curve => model.reckon.whole = !model.reckon.whole,
        Do::AsKnown => {
            let sum = sum(model);
            model.reckon.typed.remove(&sum);
            model.say("the inputs are as the workbook knows them");
        }
        Do::ClearFigure => keep(model, String::new()),
        Do::EnterFigure => match input(model).map(|i| i.takes) {
            Some(Takes::OneOf(all)) => {
                let text = text_here(model);
                let at = all.iter().position(|word| *word == text).map_or(0, |at| at + 1);
                let next = all.get(at % all.len().max(1)).copied().unwrap_or_default();
                keep(model, next.to_owned());
            }
            _ => ask(model, None),
        },
        Do::TypeFigure => {
            if let Key::Char(c) = key {
                ask(model, Some(c));
            }
        }
        Do::HelpReckon => model.over.push(Over::Help {
            of: Where::Reckon,
            from: 0,
        }),
        Do::CloseReckon => {
            model.over.pop();
        }
        _ => {}
    }
}

/// To another calculator; the place of the workbook stays, if it has one there.
fn turn(model: &mut Model, by: usize) {
    model.reckon.at = (model.reckon.at + by) % CALCULATORS.len().max(1);
    model.reckon.row = 0;
}

fn step(model: &mut Model, forward: bool) {
    let all = subjects(model).unwrap_or_default();
    let count = all.len();
    if count < 2 {
        model.complain(match count {
            0 => "the workbook has no place for this sum; type the figures",
            _ => "the workbook has one place for this sum",
        });
        return;
    }
    let at = sheet(model).subject.map_or(0, |(_, at, _)| at);
    let next = if forward { at + 1 } else { at + count - 1 } % count;
    model.reckon.place = all.get(next).and_then(|s| s.cavity);
}

fn text_here(model: &Model) -> String {
    let row = model.reckon.row;
    sheet(model).texts.get(row).cloned().unwrap_or_default()
}

/// Asks for what stands in the input here.
fn ask(model: &mut Model, begun: Option<char>) {
    let Some(input) = input(model) else { return };
    let title = format!("{} ({})", input.words, input.example());
    let mut line = Line::new(title, Purpose::Figure(input.name));
    line.editor = match begun {
        Some(c) => Editor::with(c.to_string()),
        None => Editor::picked(text_here(model)),
    };
    line.started = line.editor.text();
    model.over.push(Over::Line(line));
}

/// Takes what is typed; what cannot be read stays in the line.
pub fn take(model: &mut Model, name: &'static str, text: &str) -> Result<(), String> {
    let Some(at) = calculator(model).inputs.iter().position(|i| i.name == name) else {
        return Ok(());
    };
    if let Some(input) = calculator(model).inputs.get(at) {
        input.read(text)?;
    }
    model.reckon.row = at;
    keep(model, text.to_owned());
    model.reckon.row = (at + 1).min(calculator(model).inputs.len().saturating_sub(1));
    Ok(())
}

fn keep(model: &mut Model, text: String) {
    if let Some(input) = input(model) {
        let sum = sum(model);
        model
            .reckon
            .typed
            .entry(sum)
            .or_default()
            .insert(input.name, text);
    }
}
