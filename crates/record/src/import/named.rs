//! Connectors that rows name beside the one that the table is for.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    model::{Connector, Id},
};

use super::number::short;

/// Where rows go, by the connector that they name in small letters; none: they are left out.
pub type Places = BTreeMap<String, Option<Id<Connector>>>;

/// A connector that rows name, though the table is for another or the workbook has none of that name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The name as the first of its rows writes it.
    pub name: String,
    /// The connector of that name.
    pub known: Option<Id<Connector>>,
    /// Where its rows go; none: they are left out.
    pub goes: Option<Id<Connector>>,
    /// The lines of its rows.
    pub lines: Vec<u64>,
}

impl Named {
    /// Where its rows may go, the likeliest first: to their own connector, to the one that the table is for, to any other, nowhere.
    pub fn places(&self, book: &Book, told: Option<Id<Connector>>) -> Vec<Option<Id<Connector>>> {
        let mut others: Vec<&Connector> = book.all::<Connector>().values().collect();
        others.sort_by(|a, b| a.label.cmp(&b.label));
        let mut places: Vec<Option<Id<Connector>>> = Vec::new();
        for id in self
            .known
            .into_iter()
            .chain(told)
            .chain(others.iter().map(|c| c.id))
        {
            if !places.contains(&Some(id)) {
                places.push(Some(id));
            }
        }
        places.push(None);
        places
    }

    /// `MC-B on 12 rows: left out`.
    pub fn words(&self, book: &Book) -> String {
        let rows = match self.lines.as_slice() {
            [line] => format!("line {line}"),
            lines => format!("{} rows", lines.len()),
        };
        let goes = match (self.goes, self.known) {
            (Some(id), _) => format!("taken to {}", book.label_of(id)),
            (None, Some(_)) => "left out".to_owned(),
            (None, None) => "left out, since no connector is called so".to_owned(),
        };
        format!("{} on {rows}: {goes}", short(&self.name))
    }

    /// How it is answered on the command line.
    pub fn answer(&self, book: &Book, told: Option<Id<Connector>>) -> String {
        let place = self
            .known
            .or(told)
            .map_or_else(|| "CONNECTOR".to_owned(), |id| book.label_of(id));
        format!("--rows {}={place} takes them there", self.name.trim())
    }
}
