//! Reading the folder.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    json,
    log::Entry,
    model::{Kind, RecordLists},
};
use csv::StringRecord;
use serde_json::{Map, Value};

use super::{FORMAT, MARKER, cell, columns};
use crate::json::{Interchange, schema};

/// Why a bundle is not read, in a sentence with file and line.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct BundleError(String);

/// Reads a folder's files (name and bytes). Files of other names are left alone.
///
/// # Errors
/// It is no bundle, a newer one, or something in it does not fit.
pub fn read(files: &BTreeMap<String, Vec<u8>>) -> Result<Interchange, BundleError> {
    let marker = files
        .get(MARKER)
        .ok_or_else(|| BundleError(format!("this is no bundle of ours: {MARKER} is missing")))?;
    let marker = table(MARKER, marker)?;
    let value = |head: &str| {
        let at = marker.heads.iter().position(|h| h == head)?;
        marker
            .rows
            .first()
            .and_then(|(_, row)| row.get(at))
            .filter(|text| !text.is_empty())
    };
    match value("format").map(str::parse::<u32>) {
        Some(Ok(FORMAT)) => {}
        Some(Ok(format)) if format > FORMAT => {
            return Err(BundleError(format!(
                "it is of format {format}, this program knows {FORMAT}: take a newer program"
            )));
        }
        _ => {
            return Err(BundleError(format!(
                "{MARKER} does not say in which format it is"
            )));
        }
    }
    let schema = schema();
    let mut lists = Map::new();
    for kind in Kind::ALL {
        let file = format!("{}.csv", kind.name());
        if let Some(bytes) = files.get(&file) {
            let rows = rows(&file, bytes, *kind, &columns::of(&schema, *kind))?;
            lists.insert(kind.name().to_owned(), Value::Array(rows));
        }
    }
    let records: RecordLists = json::read_value(&Value::Object(lists)).map_err(|e| BundleError(e.words()))?;
    Ok(Interchange {
        records,
        log: files.get("log.csv").map_or(Ok(Vec::new()), |bytes| log(bytes))?,
        head: value("head").map(str::to_owned),
    })
}

struct Table {
    heads: StringRecord,
    rows: Vec<(u64, StringRecord)>,
}

fn table(file: &str, bytes: &[u8]) -> Result<Table, BundleError> {
    let wrong = |e: csv::Error| BundleError(format!("{file}: {e}"));
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut reader = csv::Reader::from_reader(bytes);
    let heads = reader.headers().map_err(wrong)?.clone();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(wrong)?;
        rows.push((record.position().map_or(0, csv::Position::line), record));
    }
    Ok(Table { heads, rows })
}

fn rows(
    file: &str,
    bytes: &[u8],
    kind: Kind,
    columns: &[columns::Column],
) -> Result<Vec<Value>, BundleError> {
    let table = table(file, bytes)?;
    let mut known = Vec::new();
    for head in &table.heads {
        let column = columns.iter().find(|c| c.head == head);
        known.push(column.ok_or_else(|| BundleError(format!("{file}: no field is called {head:?}")))?);
    }
    let mut rows = Vec::new();
    for (line, record) in &table.rows {
        let mut fields = Map::new();
        for (column, text) in known.iter().zip(record) {
            let value = cell::read(text, column.is)
                .map_err(|why| BundleError(format!("{file}, line {line}, {}: {why}", column.head)))?;
            if let Some(value) = value {
                fields.insert(column.head.clone(), value);
            }
        }
        let row = Value::Object(fields);
        // By itself first, so that what is wrong is told with its line.
        let mut one = Map::new();
        one.insert(kind.name().to_owned(), Value::Array(vec![row.clone()]));
        json::read_value::<RecordLists>(&Value::Object(one)).map_err(|e| {
            let field = e
                .path
                .split_once('.')
                .map(|(_, field)| format!(", {field}"))
                .unwrap_or_default();
            BundleError(format!("{file}, line {line}{field}: {}", e.words()))
        })?;
        rows.push(row);
    }
    Ok(rows)
}

fn log(bytes: &[u8]) -> Result<Vec<Entry>, BundleError> {
    let table = table("log.csv", bytes)?;
    let at = table.heads.iter().position(|h| h == "entry");
    let at = at.ok_or_else(|| BundleError("log.csv: the column entry is missing".to_owned()))?;
    let entry = |(line, row): &(u64, StringRecord)| {
        json::read(row.get(at).unwrap_or_default())
            .map_err(|e| BundleError(format!("log.csv, line {line}: {}", e.error)))
    };
    table.rows.iter().map(entry).collect()
}
