//! Parts: every kind of record as a list.

use std::sync::Arc;

use crimpbook_core::tables::terminals::terminal;
use crimpbook_record::lists::needs;
use crimpbook_workbook::{
    book::natural,
    model::{
        About, Bundle, ColourUse, Connector, ContactFamily, Drum, FileNote, Fuse, Junction, Key, Kind, Part,
        Row as _, State, StockLine, Switch, TerminalNumber, Unit, Wire, WireColour, Zone,
    },
    plan::from_drums,
};

use super::{
    Model,
    sieve::{By, List, arrange},
};
use crate::screen::{
    figures::number,
    form::{Purpose, drum_size, fuse_words, junction_words, size_shown},
    text::count,
};

/// The kinds listed, in the order of the keys left and right.
pub const KINDS: &[Kind] = &[
    Kind::Unit,
    Kind::Connector,
    Kind::Wire,
    Kind::Junction,
    Kind::Fuse,
    Kind::ContactFamily,
    Kind::Zone,
    Kind::Bundle,
    Kind::Switch,
    Kind::State,
    Kind::Part,
    Kind::Drum,
    Kind::StockLine,
    Kind::ColourUse,
    Kind::TerminalNumber,
    Kind::FileNote,
    Kind::About,
];

/// Share that is cut off or cut wrong: 10 to 15 % (common practice, no source).
pub const WASTE: f64 = 0.1;

/// State of the Parts screen.
#[derive(Debug, Clone, Default)]
pub struct Parts {
    /// Which of [`KINDS`] is shown.
    pub kind: usize,
    /// The record the cursor is on, by kind.
    pub at: std::collections::HashMap<Kind, usize>,
}

/// A record in a list.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The record.
    pub key: Key,
    /// What it is called.
    pub name: String,
    /// What it is.
    pub words: String,
    /// A wire's colour.
    pub colour: Option<WireColour>,
}

/// The kind shown.
pub fn kind(model: &Model) -> Kind {
    KINDS.get(model.parts.kind).copied().unwrap_or(Kind::Unit)
}

/// What a list of a kind is called.
pub fn heading(kind: Kind) -> &'static str {
    match kind {
        Kind::Unit => "units",
        Kind::Connector => "connectors",
        Kind::Wire => "wires",
        Kind::Junction => "splices and studs",
        Kind::Fuse => "fuses",
        Kind::ContactFamily => "contacts",
        Kind::Zone => "zones",
        Kind::Bundle => "bundles",
        Kind::Switch => "switches",
        Kind::State => "states",
        Kind::Drum => "drums of wire",
        Kind::StockLine => "parts in stock",
        Kind::ColourUse => "house colours",
        Kind::TerminalNumber => "terminal numbers",
        Kind::About => "vehicle",
        Kind::FileNote => "photos and files",
        _ => "inside parts",
    }
}

/// The form for a new record of a kind, or for one that is there; none where there is no form.
pub fn purpose(kind: Kind, key: Option<Key>) -> Option<Purpose> {
    Some(match kind {
        Kind::About => Purpose::About(key.and_then(Key::as_id)?),
        Kind::Unit => Purpose::Unit(key.and_then(Key::as_id)),
        Kind::Connector => Purpose::Connector(key.and_then(Key::as_id)),
        Kind::Wire => Purpose::Wire(key.and_then(Key::as_id)),
        Kind::Junction => Purpose::Junction(key.and_then(Key::as_id)),
        Kind::Fuse => Purpose::Fuse(key.and_then(Key::as_id)),
        Kind::ContactFamily => Purpose::Contact(key.and_then(Key::as_id)),
        Kind::Zone => Purpose::Zone(key.and_then(Key::as_id)),
        Kind::Bundle => Purpose::Bundle(key.and_then(Key::as_id)),
        Kind::FileNote => Purpose::File(key.and_then(Key::as_id)),
        Kind::Drum => Purpose::Drum(key.and_then(Key::as_id)),
        Kind::StockLine => Purpose::Stock(key.and_then(Key::as_id)),
        Kind::ColourUse => Purpose::ColourUse(key.and_then(Key::as_id)),
        Kind::TerminalNumber => Purpose::TerminalNumber(key.and_then(Key::as_id)),
        _ => return super::written::purpose(kind, key),
    })
}

/// The records of the kind shown, in order.
pub fn rows(model: &Model) -> &[Row] {
    let find = || {
        let mut rows = of_kind(model, kind(model));
        rows.sort_by_cached_key(|row| natural(&row.name));
        let sieve = model.sieves.of(List::Parts(kind(model)));
        arrange(&sieve, &mut rows, said, |row, by| by_column(model, row, by));
        Arc::new(rows)
    };
    match model.derived.parts.get(model.parts.kind) {
        Some(rows) => rows.get_or_init(find),
        None => &[],
    }
}

/// All words of a row.
fn said(row: &Row) -> String {
    let colour = row.colour.map(|c| format!("{c} {}", c.words()));
    format!("{} {} {}", row.name, row.words, colour.unwrap_or_default())
}

/// What a row is put in order by.
fn by_column(model: &Model, row: &Row, by: usize) -> By {
    let book = &model.book;
    if let Some(wire) = row.key.as_id().and_then(|id| book.get::<Wire>(id)) {
        return match by {
            1 => By::figure(wire.area_mm2),
            2 => By::words(wire.colour.map_or_else(String::new, |c| c.to_string())),
            3 => By::figure(wire.length_m),
            4 => By::words(book.end_name(wire.from)),
            5 => By::words(book.end_name(wire.to)),
            _ => By::words(&wire.signal),
        };
    }
    if let Some(fuse) = row.key.as_id().and_then(|id| book.get::<Fuse>(id)) {
        return match by {
            1 => By::Figure(fuse.rating_a),
            _ => By::words(&fuse.feeds),
        };
    }
    By::words(&row.words)
}

/// The record the cursor is on.
pub fn record(model: &Model) -> Option<Key> {
    let at = model.parts.at.get(&kind(model)).copied().unwrap_or(0);
    let rows = rows(model);
    rows.get(at.min(rows.len().saturating_sub(1))).map(|row| row.key)
}

fn about_words(about: &About) -> String {
    let supply = about.supply;
    let class = about.insulation_class_c.map_or_else(
        || "insulation class not given".to_owned(),
        |c| format!("wires of class {} °C", number(c)),
    );
    format!(
        "{} to {} V, {class}",
        number(supply.least_v),
        number(supply.most_v)
    )
}

fn of_kind(model: &Model, kind: Kind) -> Vec<Row> {
    let book = &model.book;
    let row = |key: Key, name: &str, words: String| Row {
        key,
        name: name.to_owned(),
        words,
        colour: None,
    };
    macro_rules! list {
        ($kind:ty, |$record:ident| $words:expr) => {
            book.all::<$kind>()
                .values()
                .map(|$record| row(Key::of($record.id()), $record.label(), $words))
                .collect()
        };
    }
    match kind {
        Kind::Unit => list!(Unit, |u| {
            let connectors = book.index().connectors_of.get(&u.id).map_or(0, Vec::len);
            format!("{}, {}", u.name, count(connectors, "connector", "connectors"))
        }),
        Kind::Connector => list!(Connector, |c| {
            let cavities = book.cavities_of(c.id).len();
            format!(
                "of {}, {}",
                book.label_of(c.unit),
                count(cavities, "cavity", "cavities")
            )
        }),
        Kind::Wire => book
            .all::<Wire>()
            .values()
            .map(|w| Row {
                key: Key::of(w.id),
                name: w.label.clone(),
                words: wire_words(model, w),
                colour: w.colour,
            })
            .collect(),
        Kind::Junction => list!(Junction, |j| {
            let wires = book.index().wires_at_junction.get(&j.id).map_or(0, Vec::len);
            let what = format!("{}, {}", junction_words(j.kind), count(wires, "wire", "wires"));
            if j.place.is_empty() {
                what
            } else {
                format!("{what}, {}", j.place)
            }
        }),
        Kind::Fuse => list!(Fuse, |f| {
            format!("{} A {}, {}", number(f.rating_a), fuse_words(f.kind), f.feeds)
        }),
        Kind::ContactFamily => list!(ContactFamily, |c| {
            let mm2 = |v: Option<f64>| v.map_or_else(|| "?".to_owned(), number);
            format!("{} to {} mm²", mm2(c.least_mm2), mm2(c.most_mm2))
        }),
        Kind::Zone => list!(Zone, |z| {
            let warm = z
                .ambient_c
                .map_or_else(|| "ambient not given".to_owned(), |c| format!("{} °C", number(c)));
            let place = z.plan.map_or_else(
                || "no place on the plan".to_owned(),
                |p| format!("{} % from the front", number(p.from_front_pct)),
            );
            format!("{warm}, {}, {place}", if z.wet { "wet" } else { "dry" })
        }),
        Kind::Bundle => list!(Bundle, |b| {
            b.factor.map_or_else(
                || "factor by the loaded wires".to_owned(),
                |f| format!("factor {}", number(f)),
            )
        }),
        Kind::Switch => list!(Switch, |s| s.positions.join(", ")),
        Kind::State => list!(State, |s| s.words.clone()),
        Kind::FileNote => {
            let files = book.all::<FileNote>().values();
            files
                .map(|f| {
                    let of =
                        f.of.map_or_else(|| "the vehicle".to_owned(), |key| book.name_of(key));
                    let more = if f.note.is_empty() { "" } else { ": " };
                    row(Key::of(f.id), &f.name, format!("{of}{more}{}", f.note))
                })
                .collect()
        }
        Kind::Drum | Kind::StockLine | Kind::ColourUse | Kind::TerminalNumber => shelf(model, kind),
        Kind::About => list!(About, |a| about_words(a)),
        _ => list!(Part, |p| format!(
            "{} in {}",
            p.kind.words(),
            book.label_of(p.unit)
        )),
    }
}

/// Drums, parts in stock, house colours, terminal numbers.
fn shelf(model: &Model, kind: Kind) -> Vec<Row> {
    let book = &model.book;
    match kind {
        Kind::Drum => {
            let (_, left) = from_drums(book, WASTE);
            let row = |d: &Drum| Row {
                key: Key::of(d.id),
                name: d.label.clone(),
                words: format!(
                    "{}, {} m in stock, {} m left after this loom",
                    drum_size(d),
                    number(d.stock_m),
                    left.get(&d.id)
                        .map_or_else(|| "?".to_owned(), |m| number((m * 10.0).floor() / 10.0))
                ),
                colour: d.colour,
            };
            book.all::<Drum>().values().map(row).collect()
        }
        Kind::StockLine => {
            let needs = needs(book, WASTE * 100.0);
            let row = |s: &StockLine| {
                let need = needs.iter().find(|n| n.label().eq_ignore_ascii_case(&s.label));
                let words = match need {
                    None => "not in the plan".to_owned(),
                    Some(need) => format!(
                        "to buy {}; needed {}, have {}, ordered {}, here {}",
                        need.to_buy(Some(s)).map_or_else(String::new, number),
                        number(need.needed),
                        number(s.have),
                        number(s.ordered),
                        number(s.here)
                    ),
                };
                Row {
                    key: Key::of(s.id),
                    name: s.label.clone(),
                    words,
                    colour: None,
                }
            };
            book.all::<StockLine>().values().map(row).collect()
        }
        Kind::ColourUse => {
            let row = |c: &ColourUse| Row {
                key: Key::of(c.id),
                name: c.purpose.words().to_owned(),
                words: match c.colour {
                    Some(colour) if colour.tracer.is_none() => {
                        "with any tracer, and for nothing else".to_owned()
                    }
                    _ => "for nothing else".to_owned(),
                },
                colour: c.colour,
            };
            book.all::<ColourUse>().values().map(row).collect()
        }
        _ => {
            let row = |t: &TerminalNumber| Row {
                key: Key::of(t.id),
                name: format!("{} at {}", t.number, book.terminal_name(&t.at)),
                words: terminal(&t.number).map_or_else(
                    || "no number of DIN 72552 that is known".to_owned(),
                    |row| row.meaning.to_string(),
                ),
                colour: None,
            };
            book.all::<TerminalNumber>().values().map(row).collect()
        }
    }
}

/// Size, ends and signal, each below that of the wire above where they are no wider than most.
fn wire_words(model: &Model, wire: &Wire) -> String {
    let book = &model.book;
    let ends = format!("{} → {}", book.end_name(wire.from), book.end_name(wire.to));
    format!("{:<8} {ends:<17} {}", size_shown(wire), wire.signal)
}
