//! Where each zone is drawn, and what stands in it.

use crimpbook_workbook::{
    Book,
    check::words::celsius,
    model::{PlanPlace, Zone},
};

use super::{
    super::{
        loom::{Loom, Place, place_words, units_of},
        strokes::{SOFT, WIDE, fitted, rect, words, wrapped},
    },
    trunk_words,
};
use crate::markup::{Element, el};

/// Width of a zone.
pub(super) const WIDTH: f64 = 196.0;
/// Least length of the vehicle on paper.
const LENGTH: f64 = 470.0;
/// Upper edge of what lies in the vehicle.
const TOP: f64 = 46.0;
/// Between two zones, so that a trunk and its name are seen.
const GAP: (f64, f64) = (30.0, 46.0);
/// Lines of units in a zone.
const UNIT_LINES: usize = 4;

/// A zone as it is drawn.
pub(super) struct Pad {
    pub place: Place,
    /// Whether the workbook says where it lies.
    pub on_plan: bool,
    /// Left upper corner.
    pub at: (f64, f64),
    pub height: f64,
    lines: Vec<String>,
}

/// All zones, in the order of the loom.
pub(super) struct Pads {
    pub all: Vec<Pad>,
    /// Where the vehicle's outline ends.
    pub floor: f64,
    /// Where the last zone ends.
    pub bottom: f64,
}

impl Pads {
    /// None where no zone has a place.
    pub fn of(book: &Book, loom: &Loom) -> Option<Self> {
        let mut all: Vec<(Pad, Option<PlanPlace>)> = loom
            .places
            .iter()
            .map(|place| {
                let plan = place.and_then(|id| book.get::<Zone>(id)).and_then(|z| z.plan);
                let lines = lines(book, loom, *place);
                let pad = Pad {
                    place: *place,
                    on_plan: plan.is_some(),
                    at: (0.0, 0.0),
                    height: 44.0 + 14.0 * lines.len() as f64,
                    lines,
                };
                (pad, plan)
            })
            .collect();
        if all.iter().all(|(_, plan)| plan.is_none()) {
            return None;
        }
        let floor = lay(&mut all).max(TOP + LENGTH) + 18.0;
        let bottom = lay_below(&mut all, floor);
        Some(Self {
            all: all.into_iter().map(|(pad, _)| pad).collect(),
            floor,
            bottom,
        })
    }
}

/// Lays those that have a place from the front to the rear, each pushed back as far as it would cover another; where the
/// last ends.
fn lay(all: &mut [(Pad, Option<PlanPlace>)]) -> f64 {
    let mut order: Vec<(usize, PlanPlace)> = all
        .iter()
        .enumerate()
        .filter_map(|(at, (_, plan))| plan.map(|p| (at, p)))
        .collect();
    order.sort_by(|(_, a), (_, b)| {
        (a.from_front_pct, a.from_left_pct)
            .partial_cmp(&(b.from_front_pct, b.from_left_pct))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut laid: Vec<(f64, f64, f64)> = Vec::new();
    for (at, plan) in order {
        let pad = &mut all[at].0;
        let x = 20.0 + plan.from_left_pct / 100.0 * (WIDE - 40.0 - WIDTH);
        let mut y = TOP + plan.from_front_pct / 100.0 * (LENGTH - pad.height).max(0.0);
        while let Some((_, low, tall)) = laid.iter().find(|(left, top, tall)| {
            (x - left).abs() < WIDTH + GAP.0 && y < top + tall + GAP.1 && top < &(y + pad.height + GAP.1)
        }) {
            y = low + tall + GAP.1;
        }
        pad.at = (x, y);
        laid.push((x, y, pad.height));
    }
    laid.iter().map(|(_, y, tall)| y + tall).fold(0.0, f64::max)
}

/// Lays those without a place beneath the vehicle, three in a row; where the last ends.
fn lay_below(all: &mut [(Pad, Option<PlanPlace>)], floor: f64) -> f64 {
    let mut bottom = floor;
    let mut top = floor + GAP.1;
    let mut column = 0;
    for (pad, _) in all.iter_mut().filter(|(pad, _)| !pad.on_plan) {
        if column == 3 {
            (column, top) = (0, bottom + GAP.1);
        }
        pad.at = (20.0 + f64::from(column) * (WIDTH + 66.0), top);
        bottom = f64::max(bottom, top + pad.height);
        column += 1;
    }
    bottom
}

fn lines(book: &Book, loom: &Loom, place: Place) -> Vec<String> {
    let mut lines = wrapped(&units_of(book, place), WIDTH - 16.0, 11.5, UNIT_LINES);
    let within: Vec<String> = loom
        .trunks
        .iter()
        .filter_map(|trunk| {
            let wires = trunk.between.get(&(place, place))?;
            Some(format!("{} {}", trunk_words(book, trunk), wires.len()))
        })
        .collect();
    if !within.is_empty() {
        lines.extend(wrapped(
            &format!("within: {}", within.join(", ")),
            WIDTH - 16.0,
            11.5,
            3,
        ));
    }
    lines
}

impl Pad {
    pub fn middle(&self) -> (f64, f64) {
        (self.at.0 + WIDTH / 2.0, self.at.1 + self.height / 2.0)
    }

    /// Whether a point lies in it or nearer than `rim`.
    pub fn covers(&self, (x, y): (f64, f64), rim: f64) -> bool {
        let (left, top) = self.at;
        (left - rim..=left + WIDTH + rim).contains(&x) && (top - rim..=top + self.height + rim).contains(&y)
    }

    pub fn drawn(&self, book: &Book) -> Element {
        let zone = self.place.and_then(|id| book.get(id));
        let wet = zone.is_some_and(|z| z.wet);
        let mut told: Vec<String> = zone
            .and_then(|z| z.ambient_c)
            .map(|c| format!("up to {}", celsius(c)))
            .into_iter()
            .collect();
        if wet {
            told.push("wet".to_owned());
        }
        if !self.on_plan && self.place.is_some() {
            told.push("place not told".to_owned());
        }
        let (x, y) = self.at;
        let outline = rect(self.at, (WIDTH, self.height), 14.0)
            .attr("fill", if wet { "#eef3f6" } else { "#ffffff" })
            .attr("stroke-width", 1.4);
        // Wet zones have a broken outline too, so that no tint is needed to tell them.
        let outline = if wet {
            outline.attr("stroke-dasharray", "7 4")
        } else {
            outline
        };
        let id = self
            .place
            .map_or_else(|| "plan-no-zone".to_owned(), |id| format!("plan-{id}"));
        el("g")
            .attr("id", id)
            .child(outline)
            .child(
                words(
                    (x + 9.0, y + 19.0),
                    13.5,
                    &fitted(&place_words(book, self.place), WIDTH - 16.0, 14.0),
                )
                .attr("font-weight", "bold"),
            )
            .child(words((x + 9.0, y + 34.0), 11.5, &told.join(" · ")).attr("fill", SOFT))
            .children(
                self.lines
                    .iter()
                    .enumerate()
                    .map(|(at, text)| words((x + 9.0, y + 50.0 + 14.0 * at as f64), 11.5, text)),
            )
    }
}
