//! Reads fields.

use crimpbook_core::{quantity::Kind as Quantity, rule::SyntaxError};
use crimpbook_workbook::{
    Book,
    book::natural,
    model::{End, Id, Plating, Row},
};

use super::Form;
use crate::screen::{
    action::{Do, key_of},
    figures::number,
};

/// Why a form cannot be read: the field and a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Name of the field; empty: the whole form.
    pub field: &'static str,
    /// What is wrong and what to do.
    pub sentence: String,
    /// Characters of the field before the place, if one place is wrong.
    pub place: Option<usize>,
}

impl Wrong {
    /// Something is wrong with a field.
    pub fn at(field: &'static str, sentence: impl Into<String>) -> Self {
        Self {
            field,
            sentence: sentence.into(),
            place: None,
        }
    }

    /// Something is wrong with one place of an expression.
    pub fn in_expression(field: &'static str, error: &SyntaxError) -> Self {
        Self {
            place: Some(error.at),
            ..Self::at(field, error.to_string())
        }
    }

    /// There is nothing to take.
    pub fn unchanged() -> Self {
        Self::whole(format!(
            "nothing is changed; {} leaves the form",
            key_of(Do::Cancel)
        ))
    }

    /// Something is wrong with the whole.
    pub fn whole(sentence: impl Into<String>) -> Self {
        Self::at("", sentence)
    }
}

impl Form {
    /// The text of a field, without spaces around it.
    pub fn text(&self, name: &'static str) -> String {
        self.fields
            .iter()
            .find(|f| f.name == name)
            .map(|f| f.editor.text().trim().to_owned())
            .unwrap_or_default()
    }

    /// A text that must be there.
    pub fn needed(&self, name: &'static str, what: &str) -> Result<String, Wrong> {
        let text = self.text(name);
        if text.is_empty() {
            Err(Wrong::at(name, format!("{what} is needed")))
        } else {
            Ok(text)
        }
    }

    /// A figure; none where the field is empty.
    pub fn amount(&self, name: &'static str, kind: Quantity) -> Result<Option<f64>, Wrong> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(None);
        }
        kind.parse(&text)
            .map(Some)
            .map_err(|e| Wrong::at(name, e.to_string()))
    }

    /// A figure that must be there.
    pub fn needed_amount(&self, name: &'static str, kind: Quantity, what: &str) -> Result<f64, Wrong> {
        self.amount(name, kind)?
            .ok_or_else(|| Wrong::at(name, format!("{what} is needed")))
    }

    /// The text of a field as it is typed, so that places in it can be pointed at.
    pub fn as_typed(&self, name: &'static str) -> String {
        let field = self.fields.iter().find(|f| f.name == name);
        field.map(|f| f.editor.text()).unwrap_or_default()
    }

    /// A bare number with a least; none where the field is empty.
    pub fn plain_number(&self, name: &'static str, unit: &str) -> Result<Option<f64>, Wrong> {
        let text = self.text(name).replace(',', ".");
        let text = text.strip_suffix(unit).unwrap_or(&text).trim();
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() && value >= 0.0 => Ok(Some(value)),
            _ => Err(Wrong::at(name, format!("expected a number of {unit}, as in 1.5"))),
        }
    }

    /// Yes, no or not known.
    pub fn yes_no(&self, name: &'static str) -> Option<bool> {
        match self.text(name).to_lowercase().as_str() {
            "" => None,
            text => Some("yes".starts_with(text)),
        }
    }

    /// A plating; none where the field is empty.
    pub fn plating(&self, name: &'static str) -> Result<Option<Plating>, Wrong> {
        let text = self.text(name).to_lowercase();
        let known = Plating::ALL.into_iter().find(|p| p.words() == text);
        match known {
            None if !text.is_empty() => Err(Wrong::at(name, "tin, silver, gold, nickel or bare")),
            known => Ok(known),
        }
    }

    /// A record by label; none where the field is empty.
    pub fn record<R: Row>(&self, book: &Book, name: &'static str) -> Result<Option<Id<R>>, Wrong> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(None);
        }
        book.index().labelled::<R>(&text).map(Some).ok_or_else(|| {
            Wrong::at(
                name,
                format!(
                    "no {} is called {text}; enter it first, or leave this empty",
                    R::KIND.title()
                ),
            )
        })
    }

    /// An end of a wire; free where the field is empty.
    pub fn end(&self, book: &Book, name: &'static str) -> Result<End, Wrong> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(End::Free);
        }
        book.find_end(&text).ok_or_else(|| {
            Wrong::at(
                name,
                format!("no cavity, splice or stud is called {text}; write it as in MC-A16 or SP1, or free"),
            )
        })
    }
}

/// Labels of every record of a kind, in order.
pub fn labels<R: Row>(book: &Book) -> Vec<String> {
    let mut labels: Vec<String> = book.all::<R>().values().map(|r| r.label().to_owned()).collect();
    labels.sort_by_cached_key(|l| natural(l));
    labels
}

/// What a wire can end at, in order.
pub fn ends(book: &Book) -> Vec<String> {
    use crimpbook_workbook::model::{Cavity, Junction};
    let mut ends: Vec<String> = book
        .all::<Cavity>()
        .keys()
        .map(|id| book.cavity_name(*id))
        .collect();
    ends.extend(book.all::<Junction>().values().map(|j| j.label.clone()));
    ends.sort_by_cached_key(|e| natural(e));
    ends
}

/// Yes, no, or not known.
pub fn yes_or_no(known: Option<bool>) -> &'static str {
    known.map_or("", |yes| if yes { "yes" } else { "no" })
}

/// A figure with its unit, empty where there is none.
pub fn shown(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(String::new, |v| format!("{} {unit}", number(v)))
}

/// The label after the highest that begins with `stem` and a number (`W91` after `W90`).
pub fn next_label<'a>(labels: impl Iterator<Item = &'a str>, stem: &str) -> String {
    let highest = labels
        .filter_map(|l| l.strip_prefix(stem)?.parse::<u64>().ok())
        .max()
        .unwrap_or(0);
    format!("{stem}{}", highest + 1)
}
