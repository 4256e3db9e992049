//! Labels: what people see and type.

use super::{Refusal, wrong};
use crate::{
    Book,
    book::unique_label,
    edit::LABEL_TAKEN,
    model::{Kind, Record},
};

/// Longest label, in characters.
const LONGEST: usize = 40;
/// The same of a line of the parts list, which is worded from other labels.
const LONGEST_LINE: usize = 120;

/// Refuses a label that is empty, too long, padded or taken.
pub(super) fn check(after: &Book, record: &Record) -> Result<(), Refusal> {
    let key = record.key();
    if !has_label(key.kind) {
        return Ok(());
    }
    let label = record.label();
    if label.is_empty() {
        return Err(Refusal::invalid(
            format!("a {}", key.kind.title()),
            Some(key),
            "has no label; give it one",
        ));
    }
    let longest = if key.kind == Kind::StockLine {
        LONGEST_LINE
    } else {
        LONGEST
    };
    let problem = if label.trim() != label {
        "its label starts or ends with a space; take it away".to_owned()
    } else if label.chars().count() > longest {
        format!("its label is longer than {longest} characters; shorten it")
    } else if label.chars().any(char::is_control) {
        "its label holds a line break or another control character; take it out".to_owned()
    } else {
        return taken(after, record);
    };
    Err(wrong(after, key, problem))
}

fn taken(after: &Book, record: &Record) -> Result<(), Refusal> {
    let key = record.key();
    if !unique_label(record) {
        return Ok(());
    }
    let place = (key.kind, record.label().to_lowercase());
    let other = after
        .index()
        .by_label
        .of(&place)
        .iter()
        .find(|other| **other != key);
    match other {
        None => Ok(()),
        Some(_) => Err(Refusal::invalid(
            format!("{} {}", key.kind.title(), record.label()),
            Some(key),
            LABEL_TAKEN,
        )),
    }
}

fn has_label(kind: Kind) -> bool {
    match kind {
        Kind::About
        | Kind::Zone
        | Kind::Bundle
        | Kind::ContactFamily
        | Kind::Unit
        | Kind::Connector
        | Kind::Junction
        | Kind::Fuse
        | Kind::Switch
        | Kind::Part
        | Kind::Wire
        | Kind::State
        | Kind::Expression
        | Kind::Rule
        | Kind::Setting
        | Kind::Drum
        | Kind::StockLine => true,
        Kind::Cavity
        | Kind::ChassisPath
        | Kind::Trial
        | Kind::FirstRun
        | Kind::FaultFinding
        | Kind::FileNote
        | Kind::ColourUse
        | Kind::TerminalNumber
        | Kind::Candidate
        | Kind::StepDone
        | Kind::Reading
        | Kind::Acceptance
        | Kind::TemporaryLink => false,
    }
}
