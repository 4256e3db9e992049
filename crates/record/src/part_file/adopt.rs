//! A part file's unit in a workbook.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit},
    log::EntryKind,
    model::{ContactFamily, IdMaker, Key, Kind, RecordLists, Row},
    rules::meaning,
};

use super::{PartFile, PartFileError, remap::remap};

/// The edit that puts a file's unit into a book, called `label` there (else as in the file).
///
/// Labels of connectors and inside parts that begin with the unit's follow it; what is taken already is numbered on.
/// Contact families that the book has with the same figures are used, not made twice.
///
/// # Errors
/// The unit's label is taken.
pub fn adopt(
    book: &Book,
    ids: &mut IdMaker,
    file: &PartFile,
    label: Option<&str>,
) -> Result<Edit, PartFileError> {
    let mut records = file.records.clone();
    let Some(old) = records.units.first().map(|u| u.label.clone()) else {
        return Err(PartFileError("it holds no unit".to_owned()));
    };
    let new = label.map_or(old.as_str(), str::trim).to_owned();
    if book.index().key_labelled(Kind::Unit, &new).is_some() {
        return Err(PartFileError(format!(
            "a unit is called {new} already; give this one another label"
        )));
    }
    let mut map: BTreeMap<Key, u128> = BTreeMap::new();
    let shared = share_families(book, &mut records, &mut map);
    for record in records.clone().into_records() {
        map.entry(record.key())
            .or_insert_with(|| ids.make::<crimpbook_workbook::model::AnyRow>().bits());
    }
    records
        .contact_families
        .retain(|f| !shared.contains(&Key::of(f.id)));
    remap(&mut records, &|key| map.get(&key).copied());
    let follow = |text: &str| match text.strip_prefix(old.as_str()) {
        Some(rest) if !rest.starts_with(char::is_alphanumeric) => format!("{new}{rest}"),
        _ => text.to_owned(),
    };
    for unit in &mut records.units {
        unit.label.clone_from(&new);
    }
    let mut taken = Taken {
        book,
        made: Vec::new(),
    };
    for row in &mut records.connectors {
        row.label = taken.free(Kind::Connector, follow(&row.label), &new);
    }
    for row in &mut records.parts {
        row.label = taken.free(Kind::Part, follow(&row.label), &new);
    }
    for row in &mut records.junctions {
        row.label = taken.free(Kind::Junction, follow(&row.label), &new);
    }
    for row in &mut records.switches {
        row.label = taken.free(Kind::Switch, follow(&row.label), &new);
    }
    for row in &mut records.expressions {
        row.label = taken.free(Kind::Expression, follow(&row.label), &new);
    }
    for row in &mut records.fuses {
        row.label = taken.free(Kind::Fuse, follow(&row.label), &new);
    }
    for row in &mut records.contact_families {
        row.label = taken.free(Kind::ContactFamily, row.label.clone(), &new);
    }
    let what = match file.title.as_str() {
        "" => "unit",
        title => title,
    };
    let title = format!("{new}: {what} from a part file");
    let changes = records.into_records().into_iter().map(|after| Change {
        before: None,
        after: Some(after),
    });
    Ok(Edit::new(EntryKind::Import, title, changes.collect()))
}

/// Contact families that are in the book already, the id aside.
fn share_families(book: &Book, records: &mut RecordLists, map: &mut BTreeMap<Key, u128>) -> Vec<Key> {
    let mut shared = Vec::new();
    for family in &records.contact_families {
        let same = |other: &&ContactFamily| {
            ContactFamily {
                id: family.id,
                ..(*other).clone()
            } == *family
        };
        if let Some(known) = book.all::<ContactFamily>().values().find(same) {
            map.insert(Key::of(family.id), known.id().bits());
            // By its new id, since the records are given theirs before it is left out.
            shared.push(Key::of(family.id));
        }
    }
    shared
}

/// Labels that are taken, in the book or by what is made now.
struct Taken<'b> {
    book: &'b Book,
    made: Vec<(Kind, String)>,
}

impl Taken<'_> {
    /// The label, or the next one that is free: numbered on where it ends in a number (`F1` → `F7`), else with the unit's
    /// label behind it.
    fn free(&mut self, kind: Kind, label: String, unit: &str) -> String {
        let used = |label: &str| {
            self.book.index().key_labelled(kind, label).is_some()
                // A name in an expression stands for one thing.
                || (matches!(kind, Kind::Switch | Kind::Expression) && meaning(self.book, label).is_some())
                || self
                    .made
                    .iter()
                    .any(|(k, l)| *k == kind && l.eq_ignore_ascii_case(label))
        };
        let mut found = label.clone();
        if used(&found) {
            let stem = label.trim_end_matches(|c: char| c.is_ascii_digit());
            let number: u64 = label.strip_prefix(stem).and_then(|n| n.parse().ok()).unwrap_or(0);
            found = if number > 0 {
                (number + 1..number + 10_000)
                    .map(|n| format!("{stem}{n}"))
                    .find(|l| !used(l))
                    .unwrap_or(found)
            } else {
                let behind = format!("{label} {unit}");
                if used(&behind) {
                    (2..10_000)
                        .map(|n| format!("{behind} {n}"))
                        .find(|l| !used(l))
                        .unwrap_or(found)
                } else {
                    behind
                }
            };
        }
        self.made.push((kind, found.clone()));
        found
    }
}
