//! Changing what a wire is.

use super::{Change, Edit, Refusal, cannot, need};
use crate::{
    Book,
    model::{Bundle, Fuse, Id, SizeTable, Wire, WireColour},
};

/// A field of a wire and its new value.
#[derive(Debug, Clone, PartialEq)]
pub enum WireField {
    /// Conductor size.
    Size {
        /// Area, mm².
        area_mm2: Option<f64>,
        /// As written, where it is not in mm².
        written: String,
        /// Table it is read from; absent: the workbook's.
        table: Option<SizeTable>,
    },
    /// Colour and tracer.
    Colour(Option<WireColour>),
    /// Length, m.
    Length(Option<f64>),
    /// Insulation class, °C.
    InsulationClass(Option<f64>),
    /// What it carries.
    Signal(String),
    /// Bundle it lies in.
    Bundle(Option<Id<Bundle>>),
    /// Pair it belongs to.
    Pair(String),
    /// Fuse that is meant to protect it.
    Fuse(Option<Id<Fuse>>),
    /// How much it may drop, V.
    DropLimit(Option<f64>),
    /// Anything else.
    Note(String),
}

impl WireField {
    /// A size in mm².
    pub fn mm2(area_mm2: f64) -> Self {
        Self::Size {
            area_mm2: Some(area_mm2),
            written: String::new(),
            table: None,
        }
    }

    fn put(&self, wire: &mut Wire) {
        match self {
            Self::Size {
                area_mm2,
                written,
                table,
            } => {
                wire.area_mm2 = *area_mm2;
                wire.size_written.clone_from(written);
                wire.size_table = *table;
            }
            Self::Colour(colour) => wire.colour = *colour,
            Self::Length(length) => wire.length_m = *length,
            Self::InsulationClass(class) => wire.insulation_class_c = *class,
            Self::Signal(signal) => wire.signal.clone_from(signal),
            Self::Bundle(bundle) => wire.bundle = *bundle,
            Self::Pair(pair) => wire.pair.clone_from(pair),
            Self::Fuse(fuse) => wire.fuse = *fuse,
            Self::DropLimit(limit) => wire.drop_limit_v = *limit,
            Self::Note(note) => wire.note.clone_from(note),
        }
    }

    /// What the field is called and its value in a wire.
    fn told(&self, book: &Book, wire: &Wire) -> (&'static str, String) {
        let figure = |value: Option<f64>, unit: &str| value.map_or_else(none, |v| format!("{v}{unit}"));
        let text = |text: &str| if text.is_empty() { none() } else { text.to_owned() };
        match self {
            Self::Size { .. } => (
                "size",
                match wire.size_written.as_str() {
                    "" => figure(wire.area_mm2, " mm²"),
                    written => written.to_owned(),
                },
            ),
            Self::Colour(_) => ("colour", wire.colour.map_or_else(none, |c| c.to_string())),
            Self::Length(_) => ("length", figure(wire.length_m, " m")),
            Self::InsulationClass(_) => ("insulation class", figure(wire.insulation_class_c, " °C")),
            Self::Signal(_) => ("carries", text(&wire.signal)),
            Self::Bundle(_) => ("bundle", wire.bundle.map_or_else(none, |b| book.label_of(b))),
            Self::Pair(_) => ("pair", text(&wire.pair)),
            Self::Fuse(_) => ("fuse meant", wire.fuse.map_or_else(none, |f| book.label_of(f))),
            Self::DropLimit(_) => ("drop limit", figure(wire.drop_limit_v, " V")),
            Self::Note(_) => ("note", text(&wire.note)),
        }
    }
}

fn none() -> String {
    "none".to_owned()
}

/// Gives one or several wires the same new value of a field (`W44: size 0.35 → 0.5 mm²`).
///
/// # Errors
/// No wire is given, one is gone, or all have the value.
pub fn set_wires(book: &Book, wires: &[Id<Wire>], field: &WireField) -> Result<Edit, Refusal> {
    let mut changes = Vec::new();
    let mut title = String::new();
    for id in wires {
        let before = need(book, *id)?;
        let mut after = before.clone();
        field.put(&mut after);
        if after == *before {
            continue;
        }
        if changes.is_empty() {
            title = told(book, field, before, &after);
        }
        changes.push(Change::replace(before.clone(), after));
    }
    match (changes.len(), wires.first()) {
        (_, None) => Err(Refusal::invalid(
            "a change",
            None,
            "names no wire; mark one first",
        )),
        (0, Some(first)) => Err(cannot(book, *first, "is so already; nothing to change")),
        (1, _) => Ok(Edit::design(title, changes)),
        (n, _) => Ok(Edit::design(format!("{title}, and {} more", n - 1), changes)),
    }
}

fn told(book: &Book, field: &WireField, before: &Wire, after: &Wire) -> String {
    let ((what, old), (_, new)) = (field.told(book, before), field.told(book, after));
    // The unit once: 0.35 → 0.5 mm².
    let unit = new.split_once(' ').map(|(_, unit)| unit);
    let old = match unit.and_then(|unit| old.strip_suffix(unit)) {
        Some(bare) if !matches!(field, WireField::Signal(_) | WireField::Note(_)) => {
            bare.trim_end().to_owned()
        }
        _ => old,
    };
    let short = |text: &str| text.chars().take(40).collect::<String>();
    format!("{}: {what} {} → {}", before.label, short(&old), short(&new))
}
