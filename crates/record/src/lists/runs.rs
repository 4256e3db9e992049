//! Runs of cavities as they are typed from a packet: `1-20,22`.

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, Connector, Id},
};

/// What is wrong with what was typed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RunsError {
    /// No such cavity.
    #[error("{connector} has no cavity {number:?}; write numbers and runs as 1-20,22")]
    NoCavity {
        /// The connector.
        connector: String,
        /// What was typed.
        number: String,
    },
    /// The end of a run stands before its beginning.
    #[error("{0:?} runs backwards; write the smaller number first")]
    Backwards(String),
}

/// The cavities of a connector that `typed` names, in order, each once. A run takes every cavity from its first to its last
/// in the order in which people count.
///
/// # Errors
/// A number that is no cavity there; a run that ends before it begins.
pub fn runs(book: &Book, connector: Id<Connector>, typed: &str) -> Result<Vec<Id<Cavity>>, RunsError> {
    let mut cavities = book.cavities_of(connector);
    cavities.order_by(|c| natural(&c.number));
    let place = |number: &str| {
        let number = number.trim();
        let found = cavities
            .iter()
            .position(|c| c.number.eq_ignore_ascii_case(number));
        found.ok_or_else(|| RunsError::NoCavity {
            connector: book.label_of(connector),
            number: number.to_owned(),
        })
    };
    let mut all = Vec::new();
    for run in typed
        .split([',', ' ', ';'])
        .map(str::trim)
        .filter(|run| !run.is_empty())
    {
        // A number may have a dash in it; a cavity called so wins over a run.
        let (from, to) = match (place(run), run.split_once(['-', '–'])) {
            (Ok(one), _) => (one, one),
            (Err(_), Some((from, to))) => (place(from)?, place(to)?),
            (Err(wrong), None) => return Err(wrong),
        };
        if to < from {
            return Err(RunsError::Backwards(run.to_owned()));
        }
        for cavity in cavities.iter().take(to + 1).skip(from) {
            if !all.contains(&cavity.id) {
                all.push(cavity.id);
            }
        }
    }
    Ok(all)
}
