//! A field that a person can be asked for: where it stands in its record, how it is measured, who knows it.

use crimpbook_core::quantity::Kind as Quantity;

use crate::model::Kind;

/// A field that can be asked for.
#[derive(Debug, PartialEq)]
pub struct Field {
    /// The kind of record it belongs to.
    pub kind: Kind,
    /// Where it stands in the record, as in interchange JSON (`kind`, `coil`, `pull_in_v`).
    pub path: &'static [&'static str],
    /// What it is, as it stands before `of K2 coil`.
    pub words: &'static str,
    /// How it is measured.
    pub measure: Measure,
    /// An answer as it may be typed.
    pub example: &'static str,
    /// Who knows it.
    pub told: Told,
}

impl Field {
    /// Its stable name (`limits.rest_v`).
    pub fn name(&self) -> String {
        self.path.join(".")
    }
}

/// How an answer is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// A figure with its unit, kept in the base unit.
    Amount(Quantity),
    /// A wire's size, in mm² or a gauge.
    WireSize,
    /// A conductor area, kept in mm².
    Area,
    /// A length on a drawing, kept in mm; a bare number is in mm.
    Millimetres,
    /// A bare number.
    Number,
    /// Yes or no.
    YesNo,
    /// One of these.
    OneOf(&'static [Choice]),
    /// The kind of signal, by its words.
    SignalKind,
    /// The label of a record of this kind.
    Record(Kind),
    /// Any words.
    Words,
}

impl Measure {
    /// Stable name of what is expected (`V`, `yes or no`).
    pub fn expects(self) -> &'static str {
        match self {
            Self::Amount(quantity) => match quantity {
                Quantity::Length => "m",
                Quantity::Voltage => "V",
                Quantity::Current => "A",
                Quantity::Resistance => "Ω",
                Quantity::Time => "s",
                Quantity::Temperature => "°C",
                Quantity::Share => "%",
                Quantity::Power => "W",
                Quantity::Frequency => "Hz",
                Quantity::Force => "N",
                Quantity::MeltingIntegral => "A²s",
                Quantity::Capacitance => "F",
            },
            Self::WireSize | Self::Area => "mm²",
            Self::Millimetres => "mm",
            Self::Number => "number",
            Self::YesNo => "yes or no",
            Self::OneOf(_) | Self::SignalKind => "one of a list",
            Self::Record(kind) => kind.title(),
            Self::Words => "words",
        }
    }
}

/// One of the answers of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Choice {
    /// As it is typed.
    pub words: &'static str,
    /// As it stands in the record, in JSON.
    pub json: &'static str,
}

/// Who knows a fact: it decides when in a sitting it is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Told {
    /// The manual of the unit.
    Manual,
    /// The data sheet of a contact or fuse.
    Sheet,
    /// The builder, at the vehicle.
    Vehicle,
}
