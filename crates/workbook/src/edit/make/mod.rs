//! Edits made from what a person means, used by every key and command: pure, from the book as it is.
//!
//! Each gives an [`Edit`] for [`Book::prepare`](crate::Book::prepare); where it needs a why the caller adds it with
//! [`Edit::because`]. What cannot be meant is refused in a sentence; what would make a record wrong the door refuses.

mod candidate;
mod cavity;
mod connector;
mod expression;
mod face;
mod fault_finding;
mod fuse;
mod junction;
mod label;
mod pair;
mod part;
mod release;
mod remove;
mod rename;
mod rule;
mod setting;
mod splice;
mod state;
mod switch;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_rules;
mod trial;
mod unit;
mod wire;
mod wire_end;
mod wire_field;

pub use candidate::{choose, refuse, weigh};
pub use cavity::{bridge, decide, no_longer_wired, now_wired};
pub use connector::{ConnectorDraft, add_cavities, add_connector, cavity_row, renumber};
pub use expression::{ExpressionDraft, add_expression, change_expression, read_condition};
pub use face::set_face;
pub use fault_finding::keep_fault_finding;
pub use fuse::{FuseDraft, add_fuse_way, add_inline_fuse, set_rating};
pub use junction::add_junction;
pub use label::{next_label, next_labels};
pub use pair::{add_pair, pair_of};
pub use part::{add_part, change_part};
pub use release::{add_link, release, remove_link};
pub use remove::remove;
pub use rename::rename;
pub use rule::{RuleDraft, add_rule, change_rule};
pub use setting::{put_setting, set_limits, set_value};
pub use splice::insert_splice;
pub use state::{StateDraft, add_state, change_state};
pub use switch::{SwitchDraft, add_switch, change_switch};
pub use trial::{change_trial, go_through, log_trial, put_file};
pub use unit::add_unit;
pub use wire::{WireDraft, add_wire, like};
pub use wire_end::move_end;
pub use wire_field::{WireField, set_wires};

use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{Expression, Id, Key, Part, Row, Switch},
};

/// The record, or a sentence that it is gone.
fn need<R: Row>(book: &Book, id: Id<R>) -> Result<&R, Refusal> {
    book.get(id).ok_or_else(|| {
        Refusal::invalid(
            format!("this {}", R::KIND.title()),
            Some(Key::of(id)),
            "is not in the workbook any more; look again",
        )
    })
}

/// A refusal that names a record.
fn cannot<R: Row>(book: &Book, id: Id<R>, problem: impl Into<String>) -> Refusal {
    let key = Key::of(id);
    Refusal::invalid(book.name_of(key), Some(key), problem)
}

/// The edit of one record's fields, in words of the caller's.
///
/// # Errors
/// The record is gone, or nothing is changed.
pub fn change<R: Row>(
    book: &Book,
    id: Id<R>,
    title: impl Into<String>,
    alter: impl FnOnce(&mut R),
) -> Result<Edit, Refusal> {
    let before = need(book, id)?;
    let mut after = before.clone();
    alter(&mut after);
    if after == *before {
        return Err(cannot(book, id, "is so already; nothing to change"));
    }
    Ok(Edit::design(title, vec![Change::replace(before.clone(), after)]))
}

/// A refusal about a record that need not be in the book yet.
fn about<R: Row>(row: &R, problem: impl Into<String>) -> Refusal {
    let what = match row.label() {
        "" => format!("this {}", R::KIND.title()),
        label => format!("{} {label}", R::KIND.title()),
    };
    Refusal::invalid(what, Some(Key::of(row.id())), problem)
}

/// Refuses a name that already stands for something else in expressions: a fact and what a unit reads of it are two names.
fn only_meaning<R: Row>(book: &Book, before: Option<&R>, row: &R) -> Result<(), Refusal> {
    let label = row.label();
    if before.is_some_and(|before| before.label() == label) {
        return Ok(());
    }
    stands_for(book, Key::of(row.id()), label).map_err(|problem| about(row, problem))
}

/// The same for a label that a record gets.
fn stands_for(book: &Book, own: Key, label: &str) -> Result<(), String> {
    let index = book.index();
    let others = [
        index.labelled::<Switch>(label).map(Key::of),
        index.labelled::<Expression>(label).map(Key::of),
        book.find_cavity(label).map(Key::of),
        index.labelled::<Part>(label).map(Key::of),
    ];
    // Of the same kind: the door says so.
    match others.into_iter().flatten().find(|other| other.kind != own.kind) {
        None => Ok(()),
        Some(other) => Err(format!(
            "the name stands for {} in expressions already; a fact and what is read of it need two names: choose another",
            book.name_of(other)
        )),
    }
}
