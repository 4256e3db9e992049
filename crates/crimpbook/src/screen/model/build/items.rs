//! The items to build, in order.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    book::natural,
    model::{Connector, End, Id, Junction, Wire},
    plan::task,
};

use super::{Order, steps::planned};
use crate::screen::model::Model;

/// Something to build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Item {
    /// A wire, cut to continuity.
    Wire(Id<Wire>),
    /// A splice.
    Junction(Id<Junction>),
    /// A connector once its wires are in.
    Connector(Id<Connector>),
}

impl Item {
    /// Whether its record is still there.
    pub fn exists(self, book: &Book) -> bool {
        match self {
            Self::Wire(id) => book.get(id).is_some(),
            Self::Junction(id) => book.get(id).is_some(),
            Self::Connector(id) => book.get(id).is_some(),
        }
    }
}

/// What an item is called.
pub fn label(book: &Book, item: Item) -> String {
    match item {
        Item::Wire(id) => book.label_of(id),
        Item::Junction(id) => book.label_of(id),
        Item::Connector(id) => book.label_of(id),
    }
}

/// Whether anything of an item is still to be done.
pub fn open(book: &Book, item: Item) -> bool {
    planned(book, item)
        .into_iter()
        .any(|step| task(book, step).standing.is_open())
}

/// The items in the order chosen: wires first, then splices, then connectors as a whole.
pub fn items(model: &Model) -> &[Item] {
    model.derived.items.get_or_init(|| Arc::new(find_items(model)))
}

fn find_items(model: &Model) -> Vec<Item> {
    let book = &model.book;
    let mut wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    match model.build.order {
        Order::Number => wires.sort_by_cached_key(|w| natural(&w.label)),
        Order::Connector => wires.sort_by_cached_key(|w| (natural(&hands(book, w)), natural(&w.label))),
        Order::Size => wires.sort_by_cached_key(|w| {
            let um2 = w.area_mm2.map_or(0, |a| (a * 1e6) as u64);
            (um2, w.colour, natural(&w.label))
        }),
        Order::Route => wires.sort_by_cached_key(|w| {
            let bundle = w.bundle.map(|b| book.label_of(b)).unwrap_or_default();
            let mm = w.length_m.map_or(0, |m| (m * 1000.0) as i64);
            (natural(&bundle), -mm, natural(&w.label))
        }),
    }
    let mut list: Vec<Item> = wires
        .into_iter()
        .filter(|w| passes(book, w, &model.build.filter))
        .map(|w| Item::Wire(w.id))
        .collect();
    if model.build.filter.is_empty() {
        let mut junctions: Vec<&Junction> = book.all::<Junction>().values().collect();
        junctions.sort_by_cached_key(|j| natural(&j.label));
        list.extend(junctions.iter().map(|j| Item::Junction(j.id)));
        let mut connectors: Vec<&Connector> = book.all::<Connector>().values().collect();
        connectors.sort_by_cached_key(|c| natural(&c.label));
        list.extend(connectors.iter().map(|c| Item::Connector(c.id)));
        list.retain(|item| !planned(book, *item).is_empty());
    }
    list
}

/// The cavity by which a wire is taken up: the first of its ends by name that is one.
fn hands(book: &Book, wire: &Wire) -> String {
    let mut ends: Vec<String> = [wire.from, wire.to]
        .into_iter()
        .filter(|end| matches!(end, End::Cavity(_)))
        .map(|end| book.end_name(end))
        .collect();
    ends.sort_by_cached_key(|e| natural(e));
    // Wires without a cavity come last.
    ends.into_iter().next().unwrap_or_else(|| "~".to_owned())
}

/// Whether every word of the filter begins a word that is said of the wire.
fn passes(book: &Book, wire: &Wire, filter: &str) -> bool {
    if filter.is_empty() {
        return true;
    }
    let bundle = wire.bundle.map(|b| book.label_of(b)).unwrap_or_default();
    let said = format!(
        "{} {} {} {} {} {} {bundle} {}",
        wire.label,
        wire.signal,
        wire.colour
            .map(|c| format!("{c} {}", c.words()))
            .unwrap_or_default(),
        crate::screen::form::size_shown(wire),
        book.end_name(wire.from),
        book.end_name(wire.to),
        wire.pair,
    )
    .to_lowercase();
    let tokens: Vec<&str> = said.split_whitespace().chain(said.split([' ', '/'])).collect();
    filter.to_lowercase().split_whitespace().all(|word| {
        // A number is meant whole: 0.5 is not 0.75, and 1 is not 1.5.
        let number = word.parse::<f64>().is_ok();
        tokens
            .iter()
            .any(|t| if number { *t == word } else { t.starts_with(word) })
    })
}
