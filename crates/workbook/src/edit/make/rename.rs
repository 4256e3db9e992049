//! Giving things another label.

use super::{Change, Edit, Refusal};
use crate::{
    Book,
    model::{Key, Kind, Record},
};

/// Gives a record another label (`W44 renamed W144`).
///
/// # Errors
/// The record is gone, has no label, or has this one; in expressions the label stands for something else already.
pub fn rename(book: &Book, key: Key, label: &str) -> Result<Edit, Refusal> {
    let label = label.trim();
    let refused = |problem: &str| Refusal::invalid(book.name_of(key), Some(key), problem);
    let Some(before) = book.tables().get(key) else {
        return Err(refused("is not in the workbook any more; look again"));
    };
    let mut after = before.clone();
    match &mut after {
        Record::About(row) => label.clone_into(&mut row.vehicle),
        Record::Zone(row) => label.clone_into(&mut row.label),
        Record::Bundle(row) => label.clone_into(&mut row.label),
        Record::ContactFamily(row) => label.clone_into(&mut row.label),
        Record::Unit(row) => label.clone_into(&mut row.label),
        Record::Connector(row) => label.clone_into(&mut row.label),
        Record::Junction(row) => label.clone_into(&mut row.label),
        Record::Fuse(row) => label.clone_into(&mut row.label),
        Record::Switch(row) => label.clone_into(&mut row.label),
        Record::Part(row) => label.clone_into(&mut row.label),
        Record::Wire(row) => label.clone_into(&mut row.label),
        Record::State(row) => label.clone_into(&mut row.label),
        Record::Expression(row) => label.clone_into(&mut row.label),
        Record::Rule(row) => label.clone_into(&mut row.label),
        Record::Setting(row) => label.clone_into(&mut row.label),
        Record::Drum(row) => label.clone_into(&mut row.label),
        Record::StockLine(row) => label.clone_into(&mut row.label),
        Record::Cavity(_)
        | Record::ChassisPath(_)
        | Record::Trial(_)
        | Record::FirstRun(_)
        | Record::FaultFinding(_)
        | Record::FileNote(_)
        | Record::ColourUse(_)
        | Record::TerminalNumber(_)
        | Record::Candidate(_)
        | Record::StepDone(_)
        | Record::Reading(_)
        | Record::Acceptance(_)
        | Record::TemporaryLink(_) => return Err(refused("has no label to change")),
    }
    if after == before {
        return Err(refused("is called so already"));
    }
    if matches!(key.kind, Kind::Switch | Kind::Expression | Kind::Part) {
        super::stands_for(book, key, label).map_err(|problem| refused(&problem))?;
    }
    let title = format!("{} renamed {label}", before.label());
    let change = Change {
        before: Some(before),
        after: Some(after),
    };
    Ok(Edit::design(title, vec![change]))
}
