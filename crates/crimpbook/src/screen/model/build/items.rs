//! The items to build, in order.

use std::{collections::HashMap, sync::Arc};

use crimpbook_workbook::{
    Book,
    book::natural,
    model::{Built, Colour, Connector, Id, Junction, Wire, WireColour, WireEnd},
    plan::{self, Pass, Piece, task},
};

use super::{Order, steps::planned};
use crate::screen::model::{Model, sieve::has};

/// Something to build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Item {
    /// A wire, cut to continuity.
    Wire(Id<Wire>),
    /// A splice.
    Junction(Id<Junction>),
    /// A connector once its wires are in.
    Connector(Id<Connector>),
    /// What is taken into the hand once in a pass; a pair and a shield are items of their own in every order.
    Piece(Piece),
}

impl Item {
    /// Whether its record is still there.
    pub fn exists(self, book: &Book) -> bool {
        match self {
            Self::Wire(id) => book.get(id).is_some(),
            Self::Junction(id) => book.get(id).is_some(),
            Self::Connector(id) => book.get(id).is_some(),
            Self::Piece(piece) => !plan::of_piece(book, piece).is_empty(),
        }
    }

    /// The item as a whole thing, whatever the pass.
    pub fn whole(self) -> Self {
        match self {
            Self::Piece(piece) => match piece.of {
                Built::Wire(wire) | Built::End { wire, .. } => Self::Wire(wire),
                Built::Connector(id) => Self::Connector(id),
                Built::Junction(id) => Self::Junction(id),
            },
            other => other,
        }
    }
}

/// What an item is called.
pub fn label(book: &Book, item: Item) -> String {
    match item.whole() {
        Item::Junction(id) => book.label_of(id),
        Item::Connector(id) => book.label_of(id),
        Item::Wire(id) => book.label_of(id),
        Item::Piece(_) => String::new(),
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
    let filter = &model.build.filter;
    if model.build.order == Order::Passes {
        let pieces = plan::in_passes(book).into_iter();
        return pieces
            .filter(|piece| filter.is_empty() || piece_passes(book, *piece, filter))
            .map(Item::Piece)
            .collect();
    }
    let mut wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    match model.build.order {
        Order::Number => wires.sort_by_cached_key(|w| natural(&w.label)),
        Order::Connector | Order::Passes => {
            let places = hands(book);
            wires.sort_by_cached_key(|w| {
                (
                    places.get(&w.id).copied().unwrap_or(usize::MAX),
                    natural(&w.label),
                )
            });
        }
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
        .filter(|w| filter.is_empty() || wire_has(w, &said(book, w, None), filter))
        .map(|w| Item::Wire(w.id))
        .collect();
    if filter.is_empty() {
        let beside = plan::in_passes(book).into_iter();
        let beside = beside.filter(|p| matches!(p.pass, Pass::Twist | Pass::Shield));
        list.extend(beside.map(Item::Piece));
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

/// The place of each wire where connectors are filled one after the other, in the order of hands.
fn hands(book: &Book) -> HashMap<Id<Wire>, usize> {
    let mut connectors: Vec<&Connector> = book.all::<Connector>().values().collect();
    connectors.sort_by_cached_key(|c| natural(&c.label));
    let ends = connectors.iter().flat_map(|c| plan::ends_in_order(book, c.id));
    let mut places = HashMap::new();
    for (place, (wire, _)) in ends.enumerate() {
        places.entry(wire).or_insert(place);
    }
    places
}

/// Whether a piece has the words: those of its pass and of its wire, and at an end those of that end alone, so that two
/// people can insert at two connectors.
fn piece_passes(book: &Book, piece: Piece, filter: &str) -> bool {
    let (wire, end) = match piece.of {
        Built::Wire(wire) => (wire, None),
        Built::End { wire, end } => (wire, Some(end)),
        Built::Junction(_) | Built::Connector(_) => {
            let name = label(book, Item::Piece(piece));
            return has(&format!("{} {name}", piece.pass.words()), filter);
        }
    };
    book.get(wire).is_some_and(|w| {
        let words = format!("{} {}", piece.pass.words(), said(book, w, end));
        wire_has(w, &words, filter)
    })
}

/// As [`has`], but letters of a colour mean its base: `RD` is `RD/WH` as well, and never `BN/RD`.
fn wire_has(wire: &Wire, said: &str, filter: &str) -> bool {
    let is_colour = |word: &&str| {
        word.split('/')
            .all(|part| part.len() == 2 && Colour::find(part).is_some())
    };
    let (colours, others): (Vec<&str>, Vec<&str>) = filter.split_whitespace().partition(is_colour);
    let is = |word: &&str| match (wire.colour, word.parse::<WireColour>()) {
        (Some(own), Ok(asked)) => own.base == asked.base && (asked.tracer.is_none() || own == asked),
        _ => false,
    };
    colours.iter().all(is) && has(said, &others.join(" "))
}

/// What is said of a wire, or of one end of it.
fn said(book: &Book, wire: &Wire, end: Option<WireEnd>) -> String {
    let bundle = wire.bundle.map(|b| book.label_of(b)).unwrap_or_default();
    let ends = match end {
        None => format!("{} {}", book.end_name(wire.from), book.end_name(wire.to)),
        Some(WireEnd::From) => book.end_name(wire.from),
        Some(WireEnd::To) => book.end_name(wire.to),
    };
    format!(
        "{} {} {} {} {ends} {bundle} {}",
        wire.label,
        wire.signal,
        wire.colour
            .map(|c| format!("{c} {}", c.words()))
            .unwrap_or_default(),
        crate::screen::form::size_shown(wire),
        wire.pair,
    )
}
