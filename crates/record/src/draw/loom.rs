//! The loom map: zones of the vehicle side by side, trunks through them, as thick as wires run in them.

use std::collections::{BTreeMap, BTreeSet};

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    check::words::celsius,
    model::{Bundle, Connector, End, Id, Junction, Unit, Wire, Zone},
};

use super::{
    paint::INK,
    strokes::{SOFT, WIDE, drawing, figure, fitted, line, rect, words, words_about, wrapped},
};
use crate::markup::{Element, el};

/// Zones whose best order is looked for; more stand as they are called.
const MOST_ORDERED: usize = 7;
/// Width between two zones, where what passes is counted.
const GAP: f64 = 34.0;
/// Lines of units within a zone.
const UNIT_LINES: usize = 4;
/// Thickest band.
const THICK: f64 = 40.0;

/// Where a thing lies; none: the workbook does not say.
pub type Place = Option<Id<Zone>>;

/// What runs in a trunk.
#[derive(Debug, Clone, PartialEq)]
pub struct Trunk {
    /// The bundle; none: wires that no bundle is named for.
    pub bundle: Option<Id<Bundle>>,
    /// Its wires by the two zones they join.
    pub between: BTreeMap<(Place, Place), Vec<Id<Wire>>>,
}

/// Zones in the order that keeps trunks short, and the trunks.
#[derive(Debug, Clone, PartialEq)]
pub struct Loom {
    /// Zones that something lies in, and last what has no zone.
    pub places: Vec<Place>,
    /// Trunks by name, last the wires without.
    pub trunks: Vec<Trunk>,
}

/// The zone that a wire's end lies in.
pub fn zone_of(book: &Book, end: End) -> Place {
    let unit = |id: Id<Unit>| book.get(id).and_then(|u| u.zone);
    match end {
        End::Cavity(id) => unit(book.get::<Connector>(book.get(id)?.connector)?.unit),
        End::Junction(id) => {
            let junction: &Junction = book.get(id)?;
            junction.zone.or_else(|| unit(junction.unit?))
        }
        End::Free => None,
    }
}

impl Loom {
    /// The loom of a book.
    pub fn of(book: &Book) -> Self {
        let mut trunks: BTreeMap<Option<Id<Bundle>>, Trunk> = BTreeMap::new();
        for wire in book.all::<Wire>().values() {
            let mut ends = [zone_of(book, wire.from), zone_of(book, wire.to)];
            ends.sort();
            let trunk = trunks.entry(wire.bundle).or_insert_with(|| Trunk {
                bundle: wire.bundle,
                between: BTreeMap::new(),
            });
            trunk.between.entry((ends[0], ends[1])).or_default().push(wire.id);
        }
        let mut trunks: Vec<Trunk> = trunks.into_values().collect();
        trunks.order_by(|t| (t.bundle.is_none(), t.bundle.map(|id| natural(&book.label_of(id)))));
        for wires in trunks.iter_mut().flat_map(|t| t.between.values_mut()) {
            wires.order_by(|id| natural(&book.label_of(*id)));
        }
        let places = ordered(book, &trunks);
        Self { places, trunks }
    }
}

/// The place in words.
pub fn place_words(book: &Book, place: Place) -> String {
    place.map_or_else(|| "zone not told".to_owned(), |id| book.label_of(id))
}

/// Places in the order in which wires reach over the fewest of them.
fn ordered(book: &Book, trunks: &[Trunk]) -> Vec<Place> {
    let mut pairs: BTreeMap<(Place, Place), usize> = BTreeMap::new();
    for (ends, wires) in trunks.iter().flat_map(|t| &t.between) {
        *pairs.entry(*ends).or_default() += wires.len();
    }
    let used: BTreeSet<Place> = pairs.keys().flat_map(|(a, b)| [*a, *b]).collect();
    let untold = used.contains(&None);
    let mut places: Vec<Place> = book.all::<Zone>().keys().map(|id| Some(*id)).collect();
    places.order_by(|p| natural(&place_words(book, *p)));
    if places.len() <= MOST_ORDERED {
        let reach = |order: &[Place]| -> usize {
            let at = |p: Place| order.iter().position(|o| *o == p).unwrap_or(order.len());
            pairs
                .iter()
                .map(|((a, b), wires)| at(*a).abs_diff(at(*b)) * wires)
                .sum()
        };
        let mut best = (reach(&places), places.clone());
        permuted(&mut places.clone(), 0, &mut |order| {
            let reaches = reach(order);
            if reaches < best.0 {
                best = (reaches, order.to_vec());
            }
        });
        places = best.1;
    }
    if untold {
        places.push(None);
    }
    places
}

/// Each order of the places from `from` on.
fn permuted(places: &mut [Place], from: usize, see: &mut impl FnMut(&[Place])) {
    if from + 1 >= places.len() {
        see(places);
        return;
    }
    for at in from..places.len() {
        places.swap(from, at);
        permuted(places, from + 1, see);
        places.swap(from, at);
    }
}

/// The map; none where the book has no zones to draw.
pub fn loom_map(book: &Book, loom: &Loom) -> Option<Element> {
    let columns = loom.places.len();
    if columns == 0 || book.all::<Zone>().is_empty() {
        return None;
    }
    let width = (WIDE - 8.0 - GAP * (columns as f64 - 1.0)) / columns as f64;
    let left = |at: usize| 4.0 + at as f64 * (width + GAP);
    let units = loom.places.iter().map(|place| units_of(book, *place));
    let units: Vec<Vec<String>> = units
        .map(|text| wrapped(&text, width - 14.0, 11.5, UNIT_LINES))
        .collect();
    let lines = units.iter().map(Vec::len).max().unwrap_or(0);
    let first = 62.0 + 15.0 * lines as f64;
    let drawn: Vec<&Trunk> = loom
        .trunks
        .iter()
        .filter(|t| t.bundle.is_some() || t.between.keys().any(|(a, b)| a != b))
        .collect();
    let tops: Vec<f64> = drawn
        .iter()
        .scan(first, |y, trunk| {
            let top = *y;
            *y += 44.0 + most_at_once(loom, trunk);
            Some(top)
        })
        .collect();
    let height = drawn
        .iter()
        .zip(&tops)
        .map(|(t, top)| top + 44.0 + most_at_once(loom, t))
        .fold(first, f64::max);
    let told = format!(
        "{columns} zones and {} trunks through them. The table below names every wire in each.",
        drawn.iter().filter(|t| t.bundle.is_some()).count()
    );
    let mut svg = drawing(
        "loom-map",
        WIDE,
        height + 10.0,
        "Loom map: zones and trunks",
        &told,
    );
    for (at, (place, units)) in loom.places.iter().zip(&units).enumerate() {
        svg = svg.child(zone(book, *place, units, (left(at), 4.0), (width, height)));
    }
    for (trunk, top) in drawn.into_iter().zip(tops) {
        svg = svg.child(band(book, loom, trunk, top, (width, &left)));
    }
    Some(svg)
}

pub(super) fn units_of(book: &Book, place: Place) -> String {
    let mut labels: Vec<String> = book
        .all::<Unit>()
        .values()
        .filter(|u| u.zone == place)
        .map(|u| u.label.clone())
        .collect();
    labels.order_by(|l| natural(l));
    labels.join(", ")
}

fn zone(
    book: &Book,
    place: Place,
    units: &[String],
    (x, y): (f64, f64),
    (width, height): (f64, f64),
) -> Element {
    let zone = place.and_then(|id| book.get(id));
    let wet = zone.is_some_and(|z| z.wet);
    let warmth = zone
        .and_then(|z| z.ambient_c)
        .map(|c| format!("up to {}", celsius(c)));
    let mut told: Vec<String> = warmth.into_iter().collect();
    if wet {
        told.push("wet".to_owned());
    }
    let outline = rect((x, y), (width, height), 16.0)
        .attr("fill", if wet { "#eef3f6" } else { "#fbfbfa" })
        .attr("stroke-width", 1.4);
    // Wet zones have a broken outline too, so that no tint is needed to tell them.
    let outline = if wet {
        outline.attr("stroke-dasharray", "7 4")
    } else {
        outline
    };
    el("g")
        .child(outline)
        .child(
            words(
                (x + 8.0, y + 20.0),
                13.5,
                &fitted(&place_words(book, place), width - 14.0, 14.0),
            )
            .attr("font-weight", "bold"),
        )
        .child(words((x + 8.0, y + 36.0), 11.5, &told.join(" · ")).attr("fill", SOFT))
        .children(
            units
                .iter()
                .enumerate()
                .map(|(at, text)| words((x + 8.0, y + 53.0 + 15.0 * at as f64), 11.5, text)),
        )
}

/// Wires that pass from each place to the next.
fn passing(loom: &Loom, trunk: &Trunk) -> Vec<usize> {
    let at = |place: Place| loom.places.iter().position(|p| *p == place).unwrap_or(0);
    let mut counts = vec![0; loom.places.len()];
    for ((a, b), wires) in &trunk.between {
        let (from, to) = (at(*a).min(at(*b)), at(*a).max(at(*b)));
        for count in counts.iter_mut().take(to).skip(from) {
            *count += wires.len();
        }
    }
    counts
}

/// Ends of a trunk's wires in each place.
fn ending(loom: &Loom, trunk: &Trunk) -> Vec<usize> {
    let count = |place: &Place| {
        let ends = trunk.between.iter();
        ends.map(|((a, b), wires)| (usize::from(a == place) + usize::from(b == place)) * wires.len())
            .sum()
    };
    loom.places.iter().map(count).collect()
}

fn thickness(wires: usize) -> f64 {
    if wires == 0 {
        0.0
    } else {
        (3.0 + 1.3 * wires as f64).min(THICK)
    }
}

fn most_at_once(loom: &Loom, trunk: &Trunk) -> f64 {
    passing(loom, trunk)
        .into_iter()
        .map(thickness)
        .fold(10.0, f64::max)
}

fn band(
    book: &Book,
    loom: &Loom,
    trunk: &Trunk,
    top: f64,
    (width, left): (f64, &impl Fn(usize) -> f64),
) -> Element {
    let passing = passing(loom, trunk);
    let ending = ending(loom, trunk);
    let middle = top + 24.0 + most_at_once(loom, trunk) / 2.0;
    let name = match trunk.bundle {
        Some(id) => format!("trunk {}", book.label_of(id)),
        None => "in no trunk".to_owned(),
    };
    let first = ending.iter().position(|n| *n > 0).unwrap_or(0);
    let wires: usize = trunk.between.values().map(Vec::len).sum();
    let mut group = el("g").child(
        words(
            (left(first) + 8.0, top + 12.0),
            12.5,
            &format!("{name}: {wires} {}", if wires == 1 { "wire" } else { "wires" }),
        )
        .attr("font-weight", "bold")
        // A rim of paper, since the words may cross a zone's outline.
        .attr("stroke", "#ffffff")
        .attr("stroke-width", 4)
        .attr("paint-order", "stroke"),
    );
    for (at, count) in passing.iter().enumerate().filter(|(_, n)| **n > 0) {
        let (from, to) = (left(at) + width / 2.0, left(at + 1) + width / 2.0);
        let piece = line((from, middle), (to, middle), thickness(*count));
        group = group.child(match trunk.bundle {
            Some(_) => piece.attr("style", "stroke:#6d7780"),
            None => piece
                .attr("style", "stroke:#6d7780")
                .attr("stroke-dasharray", "8 5"),
        });
        let gap = (left(at) + width + left(at + 1)) / 2.0;
        group = group
            .child(
                el("circle")
                    .attr("cx", figure(gap))
                    .attr("cy", figure(middle))
                    .attr("r", 11)
                    .attr("fill", "#ffffff")
                    .attr("stroke", INK),
            )
            .child(words_about((gap, middle + 4.0), 11.5, &count.to_string()));
    }
    for (at, count) in ending.iter().enumerate().filter(|(_, n)| **n > 0) {
        let x = left(at) + width / 2.0;
        group = group
            .child(
                rect((x - 33.0, middle - 10.0), (66.0, 20.0), 10.0)
                    .attr("fill", "#ffffff")
                    .attr("stroke-width", 1.2),
            )
            .child(words_about(
                (x, middle + 4.0),
                11.5,
                &format!("{count} {}", if *count == 1 { "end" } else { "ends" }),
            ));
    }
    group
}
