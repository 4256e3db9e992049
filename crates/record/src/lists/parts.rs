//! What to have on the bench before work begins.

use std::collections::BTreeMap;

use crimpbook_core::quantity::{Kind, rounded};
use crimpbook_workbook::{
    Book,
    book::natural,
    model::{About, Connector, Decision, End, Fuse, Junction, JunctionKind, Wire},
    plan::cut_list,
};

use crate::{
    csv::{Cell, Column, Sheet},
    fuse::colour,
    order::by_label,
    words,
};

/// Which of a kind of part: in order of family, then thickness, then as people count.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Which {
    /// Order among the kinds.
    rank: u8,
    what: &'static str,
    family: Vec<(String, u64)>,
    thick_um2: u64,
    order: Vec<(String, u64)>,
    words: String,
}

impl Which {
    fn called(rank: u8, what: &'static str, words: impl Into<String>) -> Self {
        let words = words.into();
        Self {
            rank,
            what,
            family: Vec::new(),
            thick_um2: 0,
            order: natural(&words),
            words,
        }
    }

    /// Of the size of a wire; not given comes last.
    fn sized(rank: u8, what: &'static str, family: &str, wire: &Wire) -> Self {
        let size = size(wire);
        let words = if family.is_empty() {
            size
        } else {
            format!("{family}, {size}")
        };
        Self {
            family: natural(family),
            thick_um2: wire.area_mm2.map_or(u64::MAX, |area| (area * 1e6).round() as u64),
            ..Self::called(rank, what, words)
        }
    }
}

fn size(wire: &Wire) -> String {
    if wire.area_mm2.is_some() {
        words::size(wire).0
    } else {
        "no size given".to_owned()
    }
}

/// How many or how much of each, and where.
#[derive(Default)]
struct Counts(BTreeMap<Which, (f64, Vec<String>)>);

impl Counts {
    fn add(&mut self, which: Which, many: f64, place: &str) {
        let entry = self.0.entry(which).or_default();
        entry.0 += many;
        if !place.is_empty() && !entry.1.iter().any(|known| known == place) {
            entry.1.push(place.to_owned());
        }
    }
}

/// Contacts, seals, sealing plugs, lugs, splices, fuses and wire, counted from the plan.
pub fn parts(book: &Book, waste_percent: f64) -> Sheet {
    let mut counts = Counts::default();
    ends(book, &mut counts);
    for connector in by_label::<Connector>(book) {
        if connector.sealed == Some(true) {
            plugs(book, connector, &mut counts);
        }
    }
    for splice in by_label::<Junction>(book) {
        if splice.kind == JunctionKind::Splice {
            let many = book.index().wires_at_junction.of(&splice.id).len();
            counts.add(
                Which::called(4, "splice", format!("{many} wires")),
                1.0,
                &splice.label,
            );
        }
    }
    for fuse in by_label::<Fuse>(book) {
        let rating = Kind::Current.print(fuse.rating_a);
        let words = format!("{rating} {} {}", words::fuse_kind(fuse.kind), colour(fuse));
        counts.add(Which::called(5, "fuse", words.trim_end()), 1.0, &fuse.label);
    }
    drums(book, waste_percent, &mut counts);
    let rows = counts.0.into_iter().map(|(which, (many, places))| {
        vec![
            Cell::text(which.what),
            Cell::text(which.words),
            Cell::Number(rounded(many)),
            Cell::text(if which.what == "wire" { "m" } else { "" }),
            Cell::text(super::BOX),
            Cell::text(super::BOX),
            Cell::text(super::BOX),
            Cell::text(places.join(" ")),
        ]
    });
    Sheet {
        name: "parts",
        about: "Parts list, counted from the plan; order some more of what is crimped, for samples and second tries",
        columns: Column::list(&[
            ("part", "What it is"),
            ("which", "Family, size, rating or colour"),
            ("needed", "How many, or how much"),
            ("unit", "Unit of how much"),
            ("have", "A box to tick"),
            ("ordered", "A box to tick"),
            ("here", "A box to tick"),
            ("for", "Where it goes"),
        ]),
        rows: rows.collect(),
    }
}

/// Contacts and seals in plugs, lugs on studs.
fn ends(book: &Book, counts: &mut Counts) {
    for wire in by_label::<Wire>(book) {
        for end in [wire.from, wire.to] {
            match end {
                End::Cavity(id) => {
                    let Some(cavity) = book.get(id) else { continue };
                    let family = cavity
                        .contact
                        .map_or_else(|| "family not given".to_owned(), |c| book.label_of(c));
                    let plug = book.label_of(cavity.connector);
                    counts.add(Which::sized(0, "contact", &family, wire), 1.0, &plug);
                    if book.get(cavity.connector).is_some_and(|c| c.sealed == Some(true)) {
                        counts.add(Which::sized(1, "seal", &family, wire), 1.0, &plug);
                    }
                }
                End::Junction(id) => {
                    if let Some(stud) = book.get(id).filter(|j| j.kind != JunctionKind::Splice) {
                        counts.add(Which::sized(3, "ring lug", "", wire), 1.0, &stud.label);
                    }
                }
                End::Free => {}
            }
        }
    }
}

/// A plug for every cavity of a sealed connector that this loom leaves empty.
fn plugs(book: &Book, connector: &Connector, counts: &mut Counts) {
    let empty = book.cavities_of(connector.id).into_iter().filter(|c| {
        !matches!(c.decision, Decision::NotOurs | Decision::Bridged { .. })
            && book.index().wires_at_cavity.of(&c.id).is_empty()
    });
    let many = empty.count();
    if many > 0 {
        let which = Which::called(2, "sealing plug", connector.label.as_str());
        counts.add(which, many as f64, &connector.label);
    }
}

/// Wire in metres, drum by drum.
fn drums(book: &Book, waste_percent: f64, counts: &mut Counts) {
    let page = book.all::<About>().values().next();
    for group in cut_list(book) {
        let Some(first) = group.wires.iter().find_map(|id| book.get(*id)) else {
            continue;
        };
        let colour = group
            .colour
            .map_or_else(|| "no colour given".to_owned(), |c| c.to_string());
        let class = group
            .insulation_class_c
            .or(page.and_then(|a| a.insulation_class_c))
            .map_or_else(String::new, |c| format!(", {c} °C"));
        let which = Which {
            words: format!("{} {colour}{class}", size(first)),
            ..Which::sized(6, "wire", "", first)
        };
        counts.add(which, group.total_m * (1.0 + waste_percent / 100.0), "");
    }
}
