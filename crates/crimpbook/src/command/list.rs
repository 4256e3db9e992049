//! `crimpbook list`: lists to work from, as text or CSV.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_record::lists;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{Connector, Id},
};

use super::{Outcome, read, say};
use crate::{cli::ListOf, report::Report};

/// How a list is to look.
#[derive(Debug, Clone, Copy)]
pub struct Form {
    /// Columns of a label.
    pub width: usize,
    /// Waste, percent.
    pub waste: f64,
    /// As CSV.
    pub csv: bool,
}

/// Prints a list.
pub fn run(file: &Path, what: ListOf, connector: Option<&str>, form: &Form) -> Outcome {
    if form.width < lists::LEAST_WIDTH {
        return Err(Report::user(format!(
            "a label of {} columns holds no wire and its end; give at least {}",
            form.width,
            lists::LEAST_WIDTH
        )));
    }
    if !(0.0..=200.0).contains(&form.waste) {
        return Err(Report::user("the waste is a share of 0 to 200 percent"));
    }
    let opened = read(file)?;
    let book = opened.book;
    let sheet = match what {
        ListOf::Cuts => lists::cuts(&book, form.waste),
        ListOf::Labels => lists::labels(&book, form.width),
        ListOf::Parts => lists::parts(&book, form.waste),
        ListOf::Fuses => lists::fuses(&Snapshot::new(Arc::new(book))),
        ListOf::Packet => {
            let id = named(&book, connector.unwrap_or_default())?;
            lists::packet(&book, id)
        }
    };
    if form.csv {
        let bytes = sheet.bytes();
        say(String::from_utf8_lossy(&bytes).trim_end())?;
    } else {
        say(&sheet.lines().join("\n"))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The connector called so.
pub(super) fn named(book: &Book, label: &str) -> Result<Id<Connector>, Report> {
    book.index().labelled::<Connector>(label).ok_or_else(|| {
        let mut all: Vec<&str> = book
            .all::<Connector>()
            .values()
            .map(|c| c.label.as_str())
            .collect();
        all.sort_unstable();
        let hint = match all.as_slice() {
            [] => "there is none yet: add it in Parts on the screen first".to_owned(),
            all => format!("connectors: {}", all.join(", ")),
        };
        Report::user(format!("there is no connector called {label:?}")).hint(hint)
    })
}
