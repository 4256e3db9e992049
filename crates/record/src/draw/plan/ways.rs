//! How trunks run from zone to zone.

use std::collections::{BTreeMap, BTreeSet};

use crimpbook_workbook::Book;

use super::{
    super::{
        loom::{Loom, Trunk},
        strokes::figure,
    },
    pads::{Pad, Pads},
    tag,
};
use crate::markup::{Element, el};

/// Thickest line.
const THICK: f64 = 15.0;
/// How far a way is bent aside, in steps of this.
const BEND: f64 = 26.0;
/// Points at which a way is looked at.
const POINTS: usize = 24;

/// A piece of a trunk between two zones.
struct Piece {
    /// Zones by their place in the list.
    ends: (usize, usize),
    /// Wires that run in it.
    wires: usize,
}

/// Every trunk, its name and the count of its wires on each piece; names last, so that no line crosses them.
pub(super) fn drawn(book: &Book, loom: &Loom, pads: &Pads) -> Vec<Element> {
    let mut taken = Taken::default();
    let (mut lines, mut tags) = (Vec::new(), Vec::new());
    for trunk in &loom.trunks {
        let name = trunk
            .bundle
            .map_or_else(|| "no trunk".to_owned(), |id| book.label_of(id));
        for piece in pieces(trunk, &pads.all) {
            let text = format!(
                "{} {}",
                super::super::strokes::fitted(&name, 110.0, 11.5),
                piece.wires
            );
            let width = 6.4 * text.chars().count() as f64 + 16.0;
            let way = taken.best(&pads.all, piece.ends, width);
            let line = el("path")
                .attr("d", way.path())
                .attr("fill", "none")
                .attr("stroke", "#6d7780")
                .attr(
                    "stroke-width",
                    figure((2.0 + 0.45 * piece.wires as f64).min(THICK)),
                );
            lines.push(match trunk.bundle {
                Some(_) => line,
                None => line.attr("stroke-dasharray", "8 5"),
            });
            tags.push(tag(way.tag, width, &text));
            taken.keep(&pads.all, piece.ends, &way, width);
        }
    }
    lines.into_iter().chain(tags).collect()
}

/// The shortest tree over the zones in which a trunk's wires end, with how many pass each of its pieces.
fn pieces(trunk: &Trunk, pads: &[Pad]) -> Vec<Piece> {
    let at = |place| pads.iter().position(|p| p.place == place);
    let runs: Vec<(usize, usize, usize)> = trunk
        .between
        .iter()
        .filter_map(|((a, b), wires)| Some((at(*a)?, at(*b)?, wires.len())))
        .filter(|(a, b, _)| a != b)
        .collect();
    let zones: BTreeSet<usize> = runs.iter().flat_map(|(a, b, _)| [*a, *b]).collect();
    // Grown from the first zone by the nearest that is not in it yet; each knows the zone it was reached from.
    let mut from: BTreeMap<usize, Option<usize>> = BTreeMap::new();
    if let Some(first) = zones.first() {
        from.insert(*first, None);
    }
    while from.len() < zones.len() {
        let next = from
            .keys()
            .flat_map(|in_it| zones.iter().map(move |zone| (*in_it, *zone)))
            .filter(|(_, zone)| !from.contains_key(zone))
            .min_by(|(a, b), (c, d)| apart(pads, *a, *b).total_cmp(&apart(pads, *c, *d)));
        let Some((in_it, zone)) = next else { break };
        from.insert(zone, Some(in_it));
    }
    let up = |zone: usize| -> Vec<usize> {
        let next = |at: &usize| from.get(at).copied().flatten();
        std::iter::successors(Some(zone), next).collect()
    };
    let mut counts: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for (a, b, wires) in runs {
        let (one, other) = (up(a), up(b));
        // What both ways to the root have in common is not on the way from one to the other.
        for (way, against) in [(&one, &other), (&other, &one)] {
            for step in way.windows(2).filter(|step| !against.contains(&step[0])) {
                *counts.entry((step[0], step[1])).or_default() += wires;
            }
        }
    }
    counts
        .into_iter()
        .map(|(ends, wires)| Piece { ends, wires })
        .collect()
}

fn apart(pads: &[Pad], a: usize, b: usize) -> f64 {
    let (a, b) = (pads[a].middle(), pads[b].middle());
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// A way, bent aside, and where its name stands.
#[derive(Clone)]
struct Way {
    from: (f64, f64),
    by: (f64, f64),
    to: (f64, f64),
    tag: (f64, f64),
}

impl Way {
    fn path(&self) -> String {
        let Self { from, by, to, .. } = self;
        format!(
            "M {} {} Q {} {} {} {}",
            figure(from.0),
            figure(from.1),
            figure(by.0),
            figure(by.1),
            figure(to.0),
            figure(to.1)
        )
    }

    fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        let Self { from, by, to, .. } = self.clone();
        (1..POINTS).map(move |n| {
            let t = n as f64 / POINTS as f64;
            let of = |a: f64, b: f64, c: f64| (1.0 - t).powi(2) * a + 2.0 * t * (1.0 - t) * b + t * t * c;
            (of(from.0, by.0, to.0), of(from.1, by.1, to.1))
        })
    }
}

/// What ways and names keep clear of.
#[derive(Default)]
struct Taken {
    points: Vec<(f64, f64)>,
    /// Middle and width of each name.
    tags: Vec<((f64, f64), f64)>,
}

impl Taken {
    /// The way that crosses least: zones count most, then names, then other ways, then being bent.
    fn best(&self, pads: &[Pad], (a, b): (usize, usize), width: f64) -> Way {
        let (from, to) = (pads[a].middle(), pads[b].middle());
        let long = (to.0 - from.0).hypot(to.1 - from.1).max(1.0);
        let aside = (-(to.1 - from.1) / long, (to.0 - from.0) / long);
        let straight = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        let mut best: Option<(f64, Way)> = None;
        for step in 0..=16 {
            let bend = f64::from((step + 1) / 2) * if step % 2 == 0 { -BEND } else { BEND };
            let by = (
                straight.0 + 2.0 * bend * aside.0,
                straight.1 + 2.0 * bend * aside.1,
            );
            let mut way = Way {
                from,
                by,
                to,
                tag: straight,
            };
            let open: Vec<(f64, f64)> = way
                .points()
                .filter(|p| !pads[a].covers(*p, 0.0) && !pads[b].covers(*p, 0.0))
                .collect();
            let others = || pads.iter().enumerate().filter(|(at, _)| *at != a && *at != b);
            let crossed = open
                .iter()
                .filter(|p| others().any(|(_, pad)| pad.covers(**p, 8.0)))
                .count();
            let near = |p: &&(f64, f64)| self.points.iter().any(|q| (p.0 - q.0).hypot(p.1 - q.1) < 15.0);
            let crowded = open.iter().filter(near).count();
            let (hidden, tag) = self.name_at(pads, &open, straight, width);
            way.tag = tag;
            let cost = 40.0 * crossed as f64
                + 3.0 * crowded as f64
                + 30.0 * hidden
                + 0.05 * bend.abs()
                + if (12.0..748.0).contains(&way.tag.0) {
                    0.0
                } else {
                    100.0
                };
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, way));
            }
        }
        best.map_or(
            Way {
                from,
                by: straight,
                to,
                tag: straight,
            },
            |(_, way)| way,
        )
    }

    /// Where on a way its name hides least, the nearest to the middle of what is seen of it.
    fn name_at(
        &self,
        pads: &[Pad],
        open: &[(f64, f64)],
        otherwise: (f64, f64),
        width: f64,
    ) -> (f64, (f64, f64)) {
        let middle = open.len() as f64 / 2.0;
        let hides = |(x, y): (f64, f64)| {
            let edges = [x - width / 2.0, x, x + width / 2.0];
            let pads = pads
                .iter()
                .filter(|pad| edges.iter().any(|edge| pad.covers((*edge, y), 11.0)))
                .count();
            let tags = self
                .tags
                .iter()
                .filter(|((at, high), wide)| {
                    (x - at).abs() < (width + wide) / 2.0 + 4.0 && (y - high).abs() < 23.0
                })
                .count();
            let lines = self
                .points
                .iter()
                .filter(|q| (q.0 - x).abs() < width / 2.0 && (q.1 - y).abs() < 11.0)
                .count();
            pads as f64 + 2.0 * tags as f64 + 0.1 * lines as f64
        };
        open.iter()
            .enumerate()
            .map(|(n, p)| (hides(*p) + 0.02 * (n as f64 - middle).abs(), *p))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((6.0, otherwise))
    }

    fn keep(&mut self, pads: &[Pad], (a, b): (usize, usize), way: &Way, width: f64) {
        self.points.extend(
            way.points()
                .filter(|p| !pads[a].covers(*p, 0.0) && !pads[b].covers(*p, 0.0)),
        );
        self.tags.push((way.tag, width));
    }
}
