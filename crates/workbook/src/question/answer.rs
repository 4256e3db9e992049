//! Reading an answer, and the edit that takes it in.

use crate::book::InOrder;
use crimpbook_core::quantity::{Kind as Quantity, Size};
use serde_json::{Value, json};

use super::{Ask, Measure};
use crate::{
    Book,
    edit::{Change, Edit},
    model::{Kind, Record, SignalKind, SizeTable},
};

/// The why that an answer gets in the log.
const WHY: &str = "a fact that a check lacked";

impl Ask {
    /// Reads what is typed, and gives the edit that puts it into its field. The edit is still to pass the door.
    ///
    /// # Errors
    /// A sentence: what is wrong with it and how it is written.
    pub fn answer(&self, book: &Book, typed: &str) -> Result<Edit, String> {
        let typed = typed.trim();
        let mut changes = Vec::new();
        for key in self.of.iter().filter(|key| self.is_open_at(book, **key)) {
            let Some(before) = book.tables().get(*key) else {
                continue;
            };
            let after = Some(self.put(book, &before, typed)?);
            changes.push(Change {
                before: Some(before),
                after,
            });
        }
        if changes.is_empty() {
            return Err("it is answered already, or gone; go on to the next".to_owned());
        }
        let title = format!("{}: {typed}", self.words(book));
        Ok(Edit::design(title, changes).because(WHY))
    }

    /// What may be typed, where it is one of a list.
    pub fn choices(&self, book: &Book) -> Vec<String> {
        match self.field.measure {
            Measure::YesNo => vec!["yes".to_owned(), "no".to_owned()],
            Measure::OneOf(choices) => choices.iter().map(|c| c.words.to_owned()).collect(),
            Measure::SignalKind => SignalKind::ALL.iter().map(|k| k.words().to_owned()).collect(),
            Measure::Record(kind) => labels(book, kind),
            _ => Vec::new(),
        }
    }

    fn put(&self, book: &Book, before: &Record, typed: &str) -> Result<Record, String> {
        let mut values = vec![(self.field.path, self.read(book, typed)?)];
        if self.field.measure == Measure::WireSize {
            let (written, table) = how_written(typed)?;
            values.push((&["size_written"], written));
            values.push((&["size_table"], table));
        }
        let gone = || {
            format!(
                "it cannot be said of {} any more; go on to the next",
                before.label()
            )
        };
        let mut whole = serde_json::to_value(before).map_err(|_| gone())?;
        for (path, value) in values {
            let row = whole.as_object_mut().and_then(|kinds| kinds.values_mut().next());
            let place = row.and_then(|row| place(row, path));
            *place.ok_or_else(|| {
                format!(
                    "{} is of another kind now; go on to the next",
                    book.name_of(before.key())
                )
            })? = value;
        }
        crate::json::read_value(&whole).map_err(|_| gone())
    }

    fn read(&self, book: &Book, typed: &str) -> Result<Value, String> {
        let example = self.field.example;
        if typed.is_empty() {
            return Err(format!("nothing is typed; write it as in {example}, or skip it"));
        }
        let said = |e: crimpbook_core::quantity::QuantityError| e.to_string();
        Ok(match self.field.measure {
            Measure::Amount(quantity) => json!(quantity.parse(typed).map_err(said)?),
            Measure::WireSize | Measure::Area => json!(typed.parse::<Size>().map_err(said)?.area_mm2()),
            Measure::Millimetres => json!(millimetres(typed, example)?),
            Measure::Number => match typed.replace(',', ".").parse::<f64>() {
                Ok(value) if value.is_finite() => json!(value),
                _ => return Err(format!("{typed} is no number; write it as in {example}")),
            },
            Measure::YesNo => json!(one_of(typed, &["yes", "no"])? == "yes"),
            Measure::OneOf(choices) => {
                let words: Vec<&str> = choices.iter().map(|c| c.words).collect();
                let meant = one_of(typed, &words)?;
                let choice = choices.iter().find(|c| c.words == meant);
                choice
                    .and_then(|c| serde_json::from_str(c.json).ok())
                    .unwrap_or_default()
            }
            Measure::SignalKind => {
                let words: Vec<&str> = SignalKind::ALL.iter().map(|k| k.words()).collect();
                let meant = one_of(typed, &words)?;
                json!(SignalKind::ALL.iter().find(|k| k.words() == meant))
            }
            Measure::Record(kind) => {
                let known = labels(book, kind);
                let Some(key) = book.index().key_labelled(kind, typed) else {
                    return Err(no_such(kind, typed, &known));
                };
                json!(key.id)
            }
            Measure::Words => json!(typed),
        })
    }
}

/// Where a path leads; what is not there yet is made on the way.
fn place<'a>(row: &'a mut Value, path: &[&str]) -> Option<&'a mut Value> {
    let mut at = row;
    for (nth, step) in path.iter().enumerate() {
        if at.is_null() {
            *at = json!({});
        }
        let inner = at.as_object_mut()?;
        // The variant of an enum must be there already: a coil's figure is no lamp's.
        if nth == 1 && path.first() == Some(&"kind") && !inner.contains_key(*step) {
            return None;
        }
        at = inner.entry(*step).or_insert(Value::Null);
    }
    Some(at)
}

fn how_written(typed: &str) -> Result<(Value, Value), String> {
    let size: Size = typed
        .parse()
        .map_err(|e: crimpbook_core::quantity::QuantityError| e.to_string())?;
    Ok(match size {
        Size::Metric { .. } => (json!(""), Value::Null),
        Size::Awg(_) => (json!(size.to_string()), json!(SizeTable::Awg)),
        Size::Sae(_) => (json!(size.to_string()), Value::Null),
    })
}

/// A bare number is in mm; with a unit it is any length.
fn millimetres(typed: &str, example: &str) -> Result<f64, String> {
    let bare = typed
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+'));
    let with_unit = if bare {
        format!("{typed} mm")
    } else {
        typed.to_owned()
    };
    let length_m = Quantity::Length
        .parse(&with_unit)
        .map_err(|e| format!("{e} Here as in {example}."))?;
    // Tenths of a micrometre: what is typed as 1.2 mm stays 1.2.
    Ok((length_m * 1e7).round() / 1e4)
}

/// The one of these words that is meant: itself, or the only one that begins so.
fn one_of<'a>(typed: &str, words: &[&'a str]) -> Result<&'a str, String> {
    let low = typed.to_lowercase();
    if let Some(same) = words.iter().find(|w| w.to_lowercase() == low) {
        return Ok(same);
    }
    let mut begins = words.iter().filter(|w| w.to_lowercase().starts_with(&low));
    match (begins.next(), begins.next()) {
        (Some(one), None) => Ok(one),
        (Some(one), Some(other)) => Err(format!(
            "{typed} can be {one} or {other}; type a little more of it"
        )),
        _ => Err(format!("{typed} is none of {}", some(words))),
    }
}

fn no_such(kind: Kind, typed: &str, known: &[String]) -> String {
    let kind = kind.title();
    if known.is_empty() {
        return format!("no {kind} is entered yet; enter one on Parts, then come back");
    }
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    format!("no {kind} is called {typed}; there is {}", some(&known))
}

fn some(words: &[&str]) -> String {
    const MOST: usize = 8;
    let shown: Vec<&str> = words.iter().take(MOST).copied().collect();
    let more = if words.len() > MOST { " …" } else { "" };
    format!("{}{more}", shown.join(", "))
}

fn labels(book: &Book, kind: Kind) -> Vec<String> {
    let mut labels = Vec::new();
    book.tables()
        .each_ref(kind, &mut |record| labels.push(record.label().to_owned()));
    labels.order_by(|label| crate::book::natural(label));
    labels
}
