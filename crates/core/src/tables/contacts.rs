//! Resistance of contacts, lugs and crimps by family.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// One contact family.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactRow {
    /// `0.64`, `1.5`, `2.8` (width of the blade in mm), `ring` or `splice`.
    pub family: Cow<'static, str>,
    /// Limit in Ω, of the pair with the crimp of one wire.
    pub ohm: f64,
    /// In words.
    pub what: Cow<'static, str>,
    /// Where it comes from.
    pub source: Source,
}

static CONTACTS: Embedded<ContactRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/contact_resistances.csv");
    read("contact_resistances.csv", text, |r: &Row<'_>| {
        Ok(ContactRow {
            family: r.text("family")?,
            ohm: r.number("resistance_mohm")? / 1000.0,
            what: r.text("what")?,
            source: r.source()?,
        })
    })
});

/// All families.
pub fn contacts() -> &'static [ContactRow] {
    rows(&CONTACTS)
}

/// The family of this name.
pub fn contact(family: &str) -> Option<&'static ContactRow> {
    contacts().iter().find(|r| r.family == family)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    CONTACTS.as_ref().err().cloned()
}
