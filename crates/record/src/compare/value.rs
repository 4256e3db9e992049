//! A record's fields and their values in words.

use crimpbook_workbook::{
    Book,
    model::{AnyRow, Id, Key, Kind, Record, SignalKind},
};
use serde_json::Value;

/// A record's fields by name, as the interchange document has them.
pub type Fields = serde_json::Map<String, Value>;

/// A record's fields; none where there is no record.
pub fn fields(record: Option<&Record>) -> Fields {
    let Some(Ok(Value::Object(by_kind))) = record.map(serde_json::to_value) else {
        return Fields::new();
    };
    match by_kind.into_iter().next() {
        Some((_, Value::Object(fields))) => fields,
        _ => Fields::new(),
    }
}

/// A field's value in words, where its name says what the text is: kinds of cavities and other choices are written out.
pub fn of_field(book: &Book, kind: Kind, field: &str, value: &Value) -> String {
    let Value::String(text) = value else {
        return words(book, value);
    };
    match (kind, field) {
        (Kind::Cavity, "kind") => serde_json::from_value::<SignalKind>(value.clone())
            .map_or_else(|_| text.clone(), |kind| kind.words().to_owned()),
        (
            _,
            "kind" | "decision" | "verdict" | "outcome" | "step" | "rests_on" | "size_table" | "role"
            | "purpose",
        ) => text.replace('_', " "),
        _ => words(book, value),
    }
}

/// A field's value in words: ids become the names that `book` has for them.
pub fn words(book: &Book, value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Number(_) => figure(value),
        Value::String(text) => name_of(book, text)
            .or_else(|| moment(text))
            .unwrap_or_else(|| text.clone()),
        Value::Array(list) => list
            .iter()
            .map(|item| words(book, item))
            .collect::<Vec<_>>()
            .join(", "),
        Value::Object(map) => map
            .iter()
            .filter(|(_, value)| !value.is_null())
            .map(|(name, value)| {
                let value = words(book, value);
                if matches!(name.as_str(), "cavity" | "junction") {
                    value
                } else {
                    format!("{} {value}", field_words(name))
                }
            })
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// Units that stand at the end of names.
const UNITS: &[(&str, &str)] = &[
    ("mm2", "mm²"),
    ("mm", "mm"),
    ("nm", "Nm"),
    ("m", "m"),
    ("v", "V"),
    ("a", "A"),
    ("ohm", "Ω"),
    ("s", "s"),
    ("c", "°C"),
    ("w", "W"),
];

/// What a field is called by people: `rating_a` is a rating in A.
pub(super) fn field_words(name: &str) -> String {
    let unit = name.rsplit_once('_').and_then(|(words, unit)| {
        let (_, unit) = UNITS.iter().find(|(short, _)| *short == unit)?;
        Some(format!("{} ({unit})", words.replace('_', " ")))
    });
    unit.unwrap_or_else(|| name.replace('_', " "))
}

/// A moment to the minute, where a text is one.
fn moment(text: &str) -> Option<String> {
    let at = chrono::DateTime::parse_from_rfc3339(text).ok()?;
    Some(at.format("%Y-%m-%d %H:%M UTC").to_string())
}

/// A figure as people read it: six digits of what was computed are more than any meter shows.
pub(super) fn figure(number: &Value) -> String {
    let short = number
        .as_f64()
        .and_then(|n| format!("{n:.5e}").parse::<f64>().ok());
    short.map_or_else(|| number.to_string(), |n| n.to_string())
}

/// The name of the record whose id a text is, if it is one.
fn name_of(book: &Book, text: &str) -> Option<String> {
    let id: Id<AnyRow> = text.parse().ok()?;
    Kind::ALL.iter().find_map(|kind| {
        let key = Key { kind: *kind, id };
        book.tables().has(key).then(|| book.name_of(key))
    })
}
