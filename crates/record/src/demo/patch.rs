//! Records as a beat leaves them.

use crimpbook_workbook::{
    Book,
    edit::Change,
    json,
    model::{AnyRow, Id, Key, Kind, Record},
};
use serde_json::{Map, Value};

/// The change that a beat's fields make: of the record with that id, or a new one.
///
/// # Errors
/// What is wrong, in words.
pub(super) fn changes(book: &Book, set: &Map<String, Value>) -> Result<Vec<Change>, String> {
    let mut changes = Vec::new();
    for (list, rows) in set {
        let kind = Kind::ALL
            .iter()
            .copied()
            .find(|kind| kind.name() == list)
            .ok_or_else(|| format!("there is no list called {list:?}"))?;
        let rows = rows.as_array().ok_or_else(|| format!("{list} is not a list"))?;
        for row in rows {
            changes.push(change(book, kind, row)?);
        }
    }
    Ok(changes)
}

fn change(book: &Book, kind: Kind, row: &Value) -> Result<Change, String> {
    let list = kind.name();
    let fields = row
        .as_object()
        .ok_or_else(|| format!("a row of {list} has no fields"))?;
    let id: Id<AnyRow> = fields
        .get("id")
        .and_then(Value::as_str)
        .and_then(|text| text.parse().ok())
        .ok_or_else(|| format!("a row of {list} has no id"))?;
    let before = book.tables().get(Key { kind, id });
    let tag = serde_json::to_value(kind).map_err(|e| e.to_string())?;
    let tag = tag.as_str().unwrap_or_default().to_owned();
    let mut whole = match &before {
        None => Map::new(),
        Some(record) => fields_of(record, &tag)?,
    };
    whole.extend(fields.clone());
    let tagged = Map::from_iter([(tag, Value::Object(whole))]);
    let after: Record = json::read_value(&Value::Object(tagged)).map_err(|e| format!("{list} {id}: {e}"))?;
    Ok(Change {
        before,
        after: Some(after),
    })
}

fn fields_of(record: &Record, tag: &str) -> Result<Map<String, Value>, String> {
    let mut value = serde_json::to_value(record).map_err(|e| e.to_string())?;
    match value.get_mut(tag).map(Value::take) {
        Some(Value::Object(fields)) => Ok(fields),
        _ => Err(format!("{tag} is not a record")),
    }
}
