//! A record into cells.

use rusqlite::types::Value as Cell;
use serde_json::{Map, Value};

use crimpbook_workbook::model::Record;

use super::{
    Plan,
    shape::{Form, Part, Shape},
};

/// A record as it stands in the file.
#[derive(Debug, Default)]
pub(crate) struct Cells {
    /// Its row, in the order of [`Plan::columns`]; the first is its id.
    pub row: Vec<Cell>,
    /// The rows of each of its lists, without owner and place.
    pub lists: Vec<Vec<Vec<Cell>>>,
}

/// The cells of a record.
///
/// # Errors
/// Names a field that no column holds: it would be lost.
pub(crate) fn cells(plan: &Plan, record: &Record) -> Result<Cells, String> {
    let lost =
        |field: &str, value: &Value| format!("no column of {} holds {field}: {value}", plan.kind.name());
    let mut object = object(plan, record)?;
    let mut cells = Cells::default();
    cells
        .row
        .push(whole(object.remove("id").unwrap_or_default(), Form::Plain).map_err(|v| lost("id", &v))?);
    for field in plan.fields {
        let value = object.remove(field.name).unwrap_or_default();
        let done = match (&field.shape, value) {
            (Shape::One(form), value) => whole(value, *form).map(|cell| cells.row.push(cell)),
            (Shape::Many(parts, Some(word)), Value::String(text)) if text == *word => {
                taken(parts, Value::Null, &mut cells.row)
            }
            (Shape::Many(parts, _), value) => taken(parts, value, &mut cells.row),
            (Shape::List(list), Value::Array(elements)) => elements
                .into_iter()
                .map(|element| {
                    let mut row = Vec::with_capacity(list.parts.len());
                    taken(list.parts, element, &mut row).map(|()| row)
                })
                .collect::<Result<_, _>>()
                .map(|rows| cells.lists.push(rows)),
            (Shape::List(_), other) => Err(other),
        };
        done.map_err(|value| lost(field.name, &value))?;
    }
    match object.into_iter().next() {
        None => Ok(cells),
        Some((name, value)) => Err(lost(&name, &value)),
    }
}

fn object(plan: &Plan, record: &Record) -> Result<Map<String, Value>, String> {
    match serde_json::to_value(record).map_err(|e| e.to_string())? {
        Value::Object(mut tagged) => match tagged.remove(&plan.word) {
            Some(Value::Object(object)) => Ok(object),
            _ => Err(format!("a record is not a {}", plan.word)),
        },
        _ => Err(format!("a {} is not an object", plan.word)),
    }
}

/// Takes the cells out of `value`; what is left over has no column and is an error.
fn taken(parts: &[Part], mut value: Value, cells: &mut Vec<Cell>) -> Result<(), Value> {
    for part in parts {
        let cell = match part.form {
            Form::Word => word(&mut value, part.path),
            Form::Figures => match value
                .as_object_mut()
                .and_then(|tagged| tagged.values_mut().next())
            {
                Some(held) => whole(held.take(), Form::Json)?,
                None => Cell::Null,
            },
            form => match take(&mut value, part.path) {
                Some(found) => whole(found, form)?,
                None => Cell::Null,
            },
        };
        cells.push(cell);
    }
    if hollow(&value) { Ok(()) } else { Err(value) }
}

/// The variant's name: a word by itself is taken, the tag of an object is only read.
fn word(value: &mut Value, path: &[&str]) -> Cell {
    match descend(value, path) {
        Some(Value::String(word)) => {
            let word = std::mem::take(word);
            if let Some(at) = descend(value, path) {
                *at = Value::Null;
            }
            Cell::Text(word)
        }
        Some(Value::Object(tagged)) => tagged
            .keys()
            .next()
            .map_or(Cell::Null, |name| Cell::Text(name.clone())),
        _ => Cell::Null,
    }
}

fn take(value: &mut Value, path: &[&str]) -> Option<Value> {
    match path.split_last() {
        None => Some(value.take()),
        Some((last, way)) => descend(value, way)?.as_object_mut()?.remove(*last),
    }
}

fn descend<'v>(value: &'v mut Value, path: &[&str]) -> Option<&'v mut Value> {
    path.iter().try_fold(value, |value, step| value.get_mut(*step))
}

/// Whether nothing is left but the husks of objects.
fn hollow(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Object(object) => object.values().all(hollow),
        _ => false,
    }
}

/// A whole value as a cell; a list or an object is none unless it stands as JSON.
fn whole(value: Value, form: Form) -> Result<Cell, Value> {
    match (form, value) {
        (_, Value::Null) => Ok(Cell::Null),
        (Form::Json | Form::Figures, value) => Ok(Cell::Text(value.to_string())),
        (_, Value::Bool(flag)) => Ok(Cell::Integer(flag.into())),
        (_, Value::String(text)) => Ok(Cell::Text(text)),
        (_, Value::Number(number)) => match (number.as_i64(), number.as_f64()) {
            (Some(integer), _) => Ok(Cell::Integer(integer)),
            (None, Some(real)) => Ok(Cell::Real(real)),
            (None, None) => Err(Value::Number(number)),
        },
        (_, other) => Err(other),
    }
}
