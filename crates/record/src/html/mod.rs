//! The record: one HTML page to print and to keep, for whoever services the vehicle in five years.
//!
//! Self-contained: no script, no network, no font or picture from elsewhere. Written so that it is well-formed XML as well,
//! so that any tool can read it. Each section is a small file of its own; to add one, copy its neighbour and name it in
//! [`SECTIONS`].

mod build;
mod candidates;
mod connectors;
mod cover;
mod faults;
mod files;
mod findings;
mod fuses;
mod glovebox;
mod junctions;
mod log;
mod loom;
mod measured;
pub(crate) mod page;
mod parts;
mod pedal;
mod protection;
mod rules;
mod service;
mod settings;
mod since;
mod states;
mod table;
mod units;
mod volts;
mod wires;

use chrono::{DateTime, Utc};
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::Report,
    log::{EntryHead, Hash},
    tune::Past,
};

use crate::{compare::Comparison, markup::Element};

/// What the record is made of.
#[derive(Debug, Clone, Copy)]
pub struct RecordInput<'a> {
    /// The workbook, and what is computed of it.
    pub snapshot: &'a Snapshot,
    /// Heads of its log, oldest first.
    pub heads: &'a [EntryHead],
    /// Hash of the log's last entry: the record's verification code.
    pub head: Hash,
    /// What the checks say of this book.
    pub report: &'a Report,
    /// What changed since the last release; none: nothing was released, or nothing changed.
    pub since: Option<&'a Comparison>,
    /// What became of every setting, as the log tells it.
    pub past: &'a Past,
    /// When the record is made.
    pub made_at: DateTime<Utc>,
    /// Name and version of the program that makes it.
    pub program: &'a str,
}

impl RecordInput<'_> {
    fn book(&self) -> &Book {
        self.snapshot.book()
    }
}

/// A section: its anchor, its heading, what stands in it.
struct Section {
    anchor: &'static str,
    heading: &'static str,
    body: fn(&RecordInput<'_>) -> Vec<Element>,
}

const SECTIONS: &[Section] = &[
    Section {
        anchor: "service",
        heading: "For service and rescue",
        body: service::body,
    },
    Section {
        anchor: "findings",
        heading: "What the checks say",
        body: findings::body,
    },
    Section {
        anchor: "fuses",
        heading: "Fuse legend",
        body: fuses::body,
    },
    Section {
        anchor: "supply",
        heading: "Supply tree and protection",
        body: protection::body,
    },
    Section {
        anchor: "units",
        heading: "Units",
        body: units::body,
    },
    Section {
        anchor: "connectors",
        heading: "Connectors",
        body: connectors::body,
    },
    Section {
        anchor: "wires",
        heading: "Wire list",
        body: wires::body,
    },
    Section {
        anchor: "loom",
        heading: "Loom map",
        body: loom::body,
    },
    Section {
        anchor: "junctions",
        heading: "Splices, studs and grounds",
        body: junctions::body,
    },
    Section {
        anchor: "parts",
        heading: "Inside the units",
        body: parts::body,
    },
    Section {
        anchor: "states",
        heading: "Operating states",
        body: states::body,
    },
    Section {
        anchor: "rules",
        heading: "Rules and their proofs",
        body: rules::body,
    },
    Section {
        anchor: "volts",
        heading: "Volts to expect",
        body: volts::body,
    },
    Section {
        anchor: "tests",
        heading: "Tests with a meter",
        body: measured::body,
    },
    Section {
        anchor: "faults",
        heading: "Fault finding",
        body: faults::body,
    },
    Section {
        anchor: "settings",
        heading: "Settings and trials",
        body: settings::body,
    },
    Section {
        anchor: "candidates",
        heading: "Sources that were weighed",
        body: candidates::body,
    },
    Section {
        anchor: "build",
        heading: "Build and readings",
        body: build::body,
    },
    Section {
        anchor: "since",
        heading: "Changes since the last release",
        body: since::body,
    },
    Section {
        anchor: "log",
        heading: "Change log",
        body: log::body,
    },
    Section {
        anchor: "files",
        heading: "Reading the files without this program",
        body: files::body,
    },
];

pub use glovebox::glovebox;

/// The record as one HTML file.
pub fn record(input: &RecordInput<'_>) -> String {
    page::page(input)
}

#[cfg(test)]
mod tests;
