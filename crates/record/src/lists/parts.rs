//! What to have on the bench before work begins.

use std::collections::BTreeMap;

use crimpbook_core::quantity::{Kind, rounded};
use crimpbook_workbook::{
    Book,
    book::{Natural, natural},
    model::{About, Connector, Decision, End, Fuse, Junction, JunctionKind, StockLine, Wire},
    plan::{from_drums, in_stock_m},
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
    family: Natural,
    thick_um2: u64,
    order: Natural,
    words: String,
}

impl Which {
    fn called(rank: u8, what: &'static str, words: impl Into<String>) -> Self {
        let words = words.into();
        Self {
            rank,
            what,
            family: Natural::default(),
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

/// A line of the parts list.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// What it is (`contact`).
    pub part: &'static str,
    /// Which (`M, 0.5 mm²`).
    pub which: String,
    /// How many, or how much.
    pub needed: f64,
    /// Unit of how much.
    pub unit: &'static str,
    /// Where it goes.
    pub places: Vec<String>,
    /// Wire only: metres on drums in stock, and metres that no drum holds.
    pub drums_m: Option<(f64, f64)>,
}

impl Need {
    /// The line in words, by which what is in stock of it is kept.
    pub fn label(&self) -> String {
        format!("{} {}", self.part, self.which)
    }

    /// What is to be bought beyond what is in stock and ordered; none where nothing of it was counted.
    pub fn to_buy(&self, line: Option<&StockLine>) -> Option<f64> {
        let ordered = line.map(|l| l.ordered);
        match (self.drums_m, line) {
            (Some((_, short_m)), _) => Some((short_m - line.map_or(0.0, |l| l.have + l.ordered)).max(0.0)),
            (None, Some(line)) => Some((self.needed - line.have - ordered.unwrap_or(0.0)).max(0.0)),
            (None, None) => None,
        }
    }
}

/// Contacts, seals, sealing plugs, lugs, splices, fuses and wire, counted from the plan.
pub fn needs(book: &Book, waste_percent: f64) -> Vec<Need> {
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
    let mut metres = drums(book, waste_percent, &mut counts);
    counts
        .0
        .into_iter()
        .map(|(which, (many, places))| Need {
            drums_m: metres.remove(&which),
            part: which.what,
            which: which.words,
            needed: rounded(many),
            unit: if which.what == "wire" { "m" } else { "" },
            places,
        })
        .collect()
}

/// The parts list with what is in stock of each, what is to be bought, what is ordered and what of that has come. What was
/// never counted has boxes to tick instead.
pub fn parts(book: &Book, waste_percent: f64) -> Sheet {
    let needs = needs(book, waste_percent);
    let line = |label: &str| {
        let id = book.index().labelled::<StockLine>(label)?;
        book.get(id)
    };
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut met: Vec<String> = Vec::new();
    for need in &needs {
        let label = need.label();
        let stock = line(&label);
        let counted =
            |figure: Option<f64>| figure.map_or(Cell::text(super::BOX), |n| Cell::Number(rounded(n)));
        let have = match (need.drums_m, stock) {
            (Some((metres, _)), line) => Some(metres + line.map_or(0.0, |l| l.have)),
            (None, line) => line.map(|l| l.have),
        };
        rows.push(vec![
            Cell::text(need.part),
            Cell::text(&need.which),
            Cell::Number(need.needed),
            Cell::text(need.unit),
            counted(have),
            counted(need.to_buy(stock)),
            counted(stock.map(|l| l.ordered)),
            counted(stock.map(|l| l.here)),
            Cell::text(need.places.join(" ")),
        ]);
        met.push(label.to_lowercase());
    }
    for line in by_label::<StockLine>(book) {
        if !met.contains(&line.label.to_lowercase()) {
            rows.push(vec![
                Cell::text("not in the plan"),
                Cell::text(&line.label),
                Cell::Number(0.0),
                Cell::Nothing,
                Cell::Number(line.have),
                Cell::Number(0.0),
                Cell::Number(line.ordered),
                Cell::Number(line.here),
                Cell::text(&line.note),
            ]);
        }
    }
    Sheet {
        name: "parts",
        about: "Parts list, counted from the plan; order some more of what is crimped, for samples and second tries",
        columns: Column::list(&[
            ("part", "What it is"),
            ("which", "Family, size, rating or colour"),
            ("needed", "How many, or how much"),
            ("unit", "Unit of how much"),
            (
                "have",
                "At hand before anything was ordered; of wire the metres on drums",
            ),
            ("to_buy", "Needed beyond what is at hand and ordered"),
            ("ordered", "Ordered in all"),
            ("here", "Of those ordered, come"),
            ("for", "Where it goes"),
        ]),
        rows,
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

/// Wire in metres, drum by drum; gives the metres in stock of each, and those that no drum holds, where a drum of it is
/// entered.
fn drums(book: &Book, waste_percent: f64, counts: &mut Counts) -> BTreeMap<Which, (f64, f64)> {
    let page = book.all::<About>().values().next();
    let mut metres: BTreeMap<Which, (f64, f64)> = BTreeMap::new();
    let (groups, _) = from_drums(book, waste_percent / 100.0);
    for (group, parts) in groups {
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
        if let Some(stock_m) = in_stock_m(book, &group) {
            let none = parts.iter().filter(|part| part.drum.is_none());
            let entry = metres.entry(which.clone()).or_insert((stock_m, 0.0));
            entry.1 += none.map(|part| part.needs_m).sum::<f64>();
        }
        counts.add(which, group.total_m * (1.0 + waste_percent / 100.0), "");
    }
    metres
}
