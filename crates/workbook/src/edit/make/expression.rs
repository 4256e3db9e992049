//! Behaviours of units as named expressions, typed with labels and kept with ids.

use crimpbook_core::rule::{Statement, SyntaxError, parse};

use super::{Change, Edit, Refusal, about, cannot, need, only_meaning};
use crate::{
    Book,
    model::{Expression, Id, IdMaker, Key, Unit},
    rules,
};

/// What a person says of a unit's behaviour.
#[derive(Debug, Clone, PartialEq)]
pub struct ExpressionDraft {
    /// Name.
    pub label: String,
    /// The unit whose behaviour it is.
    pub unit: Id<Unit>,
    /// The expression as it is kept ([`read_condition`]).
    pub text: String,
    /// Anything else.
    pub note: String,
}

/// Reads a typed condition, `MC-A2 and not MC-A19`, with `:=` and its own name before it or without, and gives it as it is kept.
/// `label` is the name it is for; empty: it has none.
///
/// # Errors
/// [`SyntaxError`] with the character; `never` belongs to rules.
pub fn read_condition(book: &Book, label: &str, typed: &str) -> Result<String, SyntaxError> {
    let wrong = |found: &str, expected: String| SyntaxError {
        at: typed.chars().take_while(|c| c.is_whitespace()).count(),
        found: found.to_owned(),
        expected,
    };
    match parse(typed)? {
        Statement::Never(_) => Err(wrong(
            "never",
            "a condition without never, which stands in rules only".to_owned(),
        )),
        Statement::Define { name, .. } if !name.eq_ignore_ascii_case(label) => {
            let expected = if label.is_empty() {
                "the condition alone, without :=".to_owned()
            } else {
                format!("the condition alone, or {label} before :=")
            };
            Err(wrong(&name, expected))
        }
        Statement::Define { .. } | Statement::Plain(_) => {
            let kept = rules::kept(book, typed)?;
            Ok(parse(&kept)?.expr().to_string())
        }
    }
}

impl ExpressionDraft {
    fn row(self, id: Id<Expression>) -> Expression {
        Expression {
            id,
            label: self.label.trim().to_owned(),
            unit: self.unit,
            text: self.text,
            note: self.note,
        }
    }
}

/// Adds a behaviour.
///
/// # Errors
/// It says nothing; its name means something else already.
pub fn add_expression(book: &Book, ids: &mut IdMaker, draft: ExpressionDraft) -> Result<Edit, Refusal> {
    let row = draft.row(ids.make());
    checked(book, None, &row)?;
    Ok(Edit::design(
        format!("{}: behaviour of {} added", row.label, book.label_of(row.unit)),
        vec![Change::make(row)],
    ))
}

/// Changes a behaviour.
///
/// # Errors
/// As [`add_expression`]; it is gone; it would rest on itself; nothing is changed.
pub fn change_expression(book: &Book, id: Id<Expression>, draft: ExpressionDraft) -> Result<Edit, Refusal> {
    let before = need(book, id)?;
    let after = draft.row(id);
    if after == *before {
        return Err(cannot(book, id, "is so already; nothing to change"));
    }
    checked(book, Some(before), &after)?;
    if let Some(round) = round(book, &after) {
        return Err(about(
            &after,
            format!("would rest on itself: {}; take that out", round.join(" → ")),
        ));
    }
    let title = if before.text == after.text {
        format!("{}: behaviour changed", after.label)
    } else {
        format!("{} := {}", after.label, rules::shown(book, &after.text))
    };
    Ok(Edit::design(title, vec![Change::replace(before.clone(), after)]))
}

fn checked(book: &Book, before: Option<&Expression>, row: &Expression) -> Result<(), Refusal> {
    if row.text.trim().is_empty() {
        return Err(about(
            row,
            "says nothing; type when it holds, as in MC-A2 and not MC-A19",
        ));
    }
    only_meaning(book, before, row)
}

/// The way on which an expression comes back to itself, in names.
fn round(book: &Book, row: &Expression) -> Option<Vec<String>> {
    let goal = Key::of(row.id);
    let mut been = Vec::new();
    let mut open = vec![(row.text.clone(), vec![row.label.clone()])];
    while let Some((text, way)) = open.pop() {
        for key in rules::named(&text) {
            if key == goal {
                return Some([way, vec![row.label.clone()]].concat());
            }
            let Some(next) = key.as_id::<Expression>().and_then(|id| book.get(id)) else {
                continue;
            };
            if !been.contains(&key) {
                been.push(key);
                open.push((
                    next.text.clone(),
                    [way.clone(), vec![next.label.clone()]].concat(),
                ));
            }
        }
    }
    None
}
