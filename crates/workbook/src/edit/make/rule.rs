//! Rules that must hold.

use crimpbook_core::rule::{Statement, parse};

use super::{Change, Edit, Refusal, about, cannot, need};
use crate::{
    Book,
    model::{Id, IdMaker, Rests, Rule},
    rules,
};

/// What a person says of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleDraft {
    /// Short name; empty: the next one.
    pub label: String,
    /// In words.
    pub words: String,
    /// The expression as it is kept ([`rules::kept`]); empty where no wiring shows it.
    pub text: String,
    /// What it rests on.
    pub rests_on: Rests,
    /// Anything else.
    pub note: String,
}

impl RuleDraft {
    fn row(self, id: Id<Rule>) -> Rule {
        Rule {
            id,
            label: self.label.trim().to_owned(),
            words: self.words,
            text: self.text,
            rests_on: self.rests_on,
            note: self.note,
        }
    }
}

/// Adds a rule.
///
/// # Errors
/// It does not begin with `never`; it rests on the wiring and says nothing that could be proven.
pub fn add_rule(book: &Book, ids: &mut IdMaker, draft: RuleDraft) -> Result<Edit, Refusal> {
    let mut row = draft.row(ids.make());
    if row.label.is_empty() {
        row.label = super::next_label::<Rule>(book, "I");
    }
    checked(&row)?;
    Ok(Edit::design(
        format!("{}: rule added: {}", row.label, row.words),
        vec![Change::make(row)],
    ))
}

/// Changes a rule.
///
/// # Errors
/// As [`add_rule`]; it is gone; nothing is changed.
pub fn change_rule(book: &Book, id: Id<Rule>, draft: RuleDraft) -> Result<Edit, Refusal> {
    let before = need(book, id)?;
    let after = draft.row(id);
    if after == *before {
        return Err(cannot(book, id, "is so already; nothing to change"));
    }
    checked(&after)?;
    let title = if before.text == after.text {
        format!("rule {} changed", after.label)
    } else {
        format!("{}: {}", after.label, rules::shown(book, &after.text))
    };
    Ok(Edit::design(title, vec![Change::replace(before.clone(), after)]))
}

fn checked(row: &Rule) -> Result<(), Refusal> {
    let says = match row.text.trim() {
        "" if row.rests_on == Rests::Wiring => {
            "rests on the wiring and says nothing that could be proven; type it, as in never charge_lead is in and MC.ready, or say \
             what else it rests on"
        }
        "" => return Ok(()),
        text => match parse(text) {
            Ok(Statement::Never(_)) => return Ok(()),
            _ => "begins with never and says what must not be",
        },
    };
    Err(about(row, says))
}
