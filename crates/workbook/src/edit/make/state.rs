//! Operating states.

use super::{Change, Edit, Refusal, about, cannot, need};
use crate::{
    Book,
    model::{Id, IdMaker, PartSetting, State, SwitchPosition},
};

/// What a person says of an operating state.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StateDraft {
    /// Name.
    pub label: String,
    /// Place in the list; none: the last.
    pub order: Option<i64>,
    /// What it is, in words.
    pub words: String,
    /// Voltage of the supply, V; none: the workbook's nominal.
    pub supply_v: Option<f64>,
    /// Switches that do not rest.
    pub switches: Vec<SwitchPosition>,
    /// Positions given to inside parts directly.
    pub parts: Vec<PartSetting>,
}

impl StateDraft {
    fn row(self, book: &Book, id: Id<State>) -> State {
        let last = book.all::<State>().values().map(|s| s.order).max().unwrap_or(0);
        State {
            id,
            label: self.label.trim().to_owned(),
            order: self.order.unwrap_or_else(|| last.saturating_add(1)),
            words: self.words,
            supply_v: self.supply_v,
            switches: self.switches,
            parts: self.parts,
        }
    }
}

/// Adds an operating state.
///
/// # Errors
/// None of its own; the door refuses positions that a switch has not.
pub fn add_state(book: &Book, ids: &mut IdMaker, draft: StateDraft) -> Result<Edit, Refusal> {
    let row = draft.row(book, ids.make());
    if row.label.is_empty() {
        return Err(about(&row, "has no name; give it one"));
    }
    Ok(Edit::design(
        format!("{}: operating state added", row.label),
        vec![Change::make(row)],
    ))
}

/// Changes an operating state.
///
/// # Errors
/// It is gone; nothing is changed.
pub fn change_state(book: &Book, id: Id<State>, draft: StateDraft) -> Result<Edit, Refusal> {
    let before = need(book, id)?;
    let order = draft.order.or(Some(before.order));
    let after = StateDraft { order, ..draft }.row(book, id);
    if after == *before {
        return Err(cannot(book, id, "is so already; nothing to change"));
    }
    let title = format!("state {} changed", before.label);
    Ok(Edit::design(title, vec![Change::replace(before.clone(), after)]))
}
