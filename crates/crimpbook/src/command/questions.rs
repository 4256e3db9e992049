//! `crimpbook questions`: the facts that the checks lack, by manual, in the order of one sitting.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check,
    model::Unit,
    question::{Question, Sitting, questions},
};
use serde_json::{Value, json};

use super::{Outcome, read, say, typed, wrapped};
use crate::screen::text::count;

/// Prints what is missing; the exit code is that of `check` without its stops: 3 with facts missing, else 0.
pub fn run(file: &Path, as_json: bool) -> Outcome {
    let opened = read(file)?;
    let book = Arc::new(opened.book);
    let report = check::run_without_mends(&Snapshot::new(Arc::clone(&book)));
    let asked = questions(&book, &report);
    let text = if as_json {
        let asked: Vec<Value> = asked.iter().map(|q| question_json(&book, q)).collect();
        format!("{:#}", json!({ "questions": asked }))
    } else {
        page(&book, &asked, file)
    };
    say(&text)?;
    Ok(ExitCode::from(if asked.is_empty() { 0 } else { 3 }))
}

fn page(book: &Book, asked: &[Question], file: &Path) -> String {
    if asked.is_empty() && book.all::<Unit>().is_empty() {
        return "Nothing is asked, since nothing is entered yet: begin with the units, in Parts on the screen."
            .to_owned();
    }
    if asked.is_empty() {
        return "Nothing is missing: every check has what it needs.".to_owned();
    }
    let mut lines = Vec::new();
    let mut sitting = None;
    for question in asked {
        if sitting != Some(&question.sitting) {
            lines.push(question.sitting.words(book));
            sitting = Some(&question.sitting);
        }
        let page = match question.page.as_str() {
            "" => String::new(),
            page => format!("p. {page}"),
        };
        let as_in = question
            .ask
            .as_ref()
            .map_or_else(String::new, |ask| format!(", as in {}", ask.field.example));
        let head = format!("  {page:<8}");
        lines.push(wrapped(&head, &format!("{}{as_in}", question.words)));
        lines.push(wrapped(
            &format!("  {:8}", ""),
            &format!("for {}", question.checks.join(", ")),
        ));
    }
    lines.push(format!(
        "{}; answer them one after the other from the Overview of: crimpbook {}",
        count(asked.len(), "fact is missing", "facts are missing"),
        typed(file)
    ));
    lines.join("\n")
}

fn question_json(book: &Book, question: &Question) -> Value {
    let (told_by, unit, manual) = match &question.sitting {
        Sitting::Manual { unit, title } => ("manual", Some(book.label_of(*unit)), Some(title)),
        Sitting::Sheets => ("data sheet", None, None),
        Sitting::Vehicle => ("vehicle", None, None),
    };
    let ask = question.ask.as_ref();
    let records = ask.map_or_else(Vec::new, |ask| {
        ask.of
            .iter()
            .map(|key| json!({ "kind": key.kind, "id": key.id, "name": book.name_of(*key) }))
            .collect()
    });
    json!({
        "told_by": told_by,
        "unit": unit,
        "manual": manual.filter(|title| !title.is_empty()),
        "page": Some(&question.page).filter(|page| !page.is_empty()),
        "place": book.name_of(question.place),
        "asks": question.words,
        "records": records,
        "field": ask.map(|ask| ask.field.name()),
        "expects": ask.map(|ask| ask.field.measure.expects()),
        "example": ask.map(|ask| ask.field.example),
        "choices": ask.map(|ask| ask.choices(book)).filter(|choices| !choices.is_empty()),
        "checks": question.checks,
    })
}
