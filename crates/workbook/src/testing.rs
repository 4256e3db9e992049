//! Small workbooks for tests, built by names.

use std::sync::Arc;

use crate::{Book, analysis::Snapshot, model::*};

/// Builds a small workbook; what is named and not there is made.
pub(crate) struct Bench {
    tables: Tables,
    ids: IdMaker,
}

impl Bench {
    /// Empty, but for the book's own page: 12.6 V nominal.
    pub fn new() -> Self {
        let mut bench = Self {
            tables: Tables::default(),
            ids: IdMaker::new(7),
        };
        let about = About {
            id: bench.ids.make(),
            vehicle: "test bench".to_owned(),
            purpose: String::new(),
            supply: Supply {
                least_v: 10.5,
                nominal_v: 12.6,
                most_v: 14.4,
            },
            reference: None,
            size_table: SizeTable::Iso6722,
            insulation_class_c: Some(105.0),
            insulation: "PVC".to_owned(),
            colour_custom: String::new(),
            service_note: String::new(),
        };
        bench.put(about);
        bench
    }

    /// The book so far.
    pub fn book(&self) -> Book {
        Book::from_tables(self.tables.clone(), None)
    }

    /// A snapshot of the book so far.
    pub fn snapshot(&self) -> Snapshot {
        Snapshot::new(Arc::new(self.book()))
    }

    /// Puts a record in.
    pub fn put<R: Row>(&mut self, row: R) -> Id<R> {
        let id = row.id();
        R::table_mut(&mut self.tables).insert(id, row);
        id
    }

    /// Changes a record.
    pub fn edit<R: Row>(&mut self, id: Id<R>, change: impl FnOnce(&mut R)) {
        change(
            R::table_mut(&mut self.tables)
                .get_mut(&id)
                .expect("a record of the bench"),
        );
    }

    fn labelled<R: Row>(&mut self, label: &str, make: impl FnOnce(Id<R>, String) -> R) -> Id<R> {
        let found = R::table(&self.tables)
            .values()
            .find(|r| r.label() == label)
            .map(Row::id);
        found.unwrap_or_else(|| {
            let id = self.ids.make();
            self.put(make(id, label.to_owned()))
        })
    }

    /// A unit by label.
    pub fn unit(&mut self, label: &str) -> Id<Unit> {
        self.labelled(label, |id, label| Unit {
            id,
            name: label.clone(),
            label,
            zone: None,
            manual: None,
            serial: String::new(),
            firmware: String::new(),
            supply_note: String::new(),
            note: String::new(),
        })
    }

    /// A connector by label; its unit is the part before the hyphen.
    pub fn connector(&mut self, label: &str) -> Id<Connector> {
        let unit = self.unit(label.split('-').next().unwrap_or(label));
        self.labelled(label, |id, label| Connector {
            id,
            unit,
            label,
            name: String::new(),
            sealed: None,
            face: String::new(),
            couples_to: None,
            single_steps: false,
            note: String::new(),
        })
    }

    /// A cavity by its connector's label and its number.
    pub fn cavity(&mut self, connector: &str, number: &str) -> Id<Cavity> {
        let connector = self.connector(connector);
        let there = self
            .tables
            .cavities
            .values()
            .find(|c| c.connector == connector && c.number == number);
        if let Some(cavity) = there {
            return cavity.id;
        }
        let id = self.ids.make();
        self.put(Cavity {
            id,
            connector,
            number: number.to_owned(),
            unit_number: String::new(),
            name: String::new(),
            kind: None,
            limits: Limits::default(),
            contact: None,
            decision: Decision::Undecided,
            why: String::new(),
            plug: false,
            page: String::new(),
            note: String::new(),
        })
    }
}
