//! The fuse and wire picture as figures: a fuse's band, and how long the wires beneath it bear each current.

use crimpbook_core::fuse::{FarEnd, Fuse as CoreFuse, WireBelow, WireOverload, far_end, selectivity};

use super::{FuseZone, Trial, beneath, core_fuse};
use crate::{
    analysis::Snapshot,
    check::words::sources,
    model::{Fuse, Id, Wire},
};

/// Currents at which the lines are computed.
const POINTS: usize = 81;
/// Lines of wires drawn at most; more cannot be told apart on a terminal.
const MOST_LINES: usize = 4;
/// Lines whose times differ by less than this share everywhere are drawn as one.
const ALIKE: f64 = 0.02;

/// How long one wire, or some that are alike, bear each current.
#[derive(Debug, Clone, PartialEq)]
pub struct WireLine {
    /// The wires, the gravest first.
    pub wires: Vec<Id<Wire>>,
    /// Time in s beside the picture's currents; infinite where it is borne for ever.
    pub bears_s: Vec<f64>,
    /// What the first must bear beneath the fuse.
    pub verdict: WireOverload,
    /// Its class, °C.
    pub class_c: f64,
    /// A short at its far end.
    pub far_end: FarEnd,
}

/// A fuse and the wires beneath it, to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// The fuse.
    pub fuse: Id<Fuse>,
    /// Currents, A, rising in equal steps of their logarithm.
    pub currents_a: Vec<f64>,
    /// The fuse certainly carries each of them for so long, s; infinite below its first gate.
    pub shortest_s: Vec<f64>,
    /// The fuse has certainly opened after, s; infinite where no opening is promised.
    pub longest_s: Vec<f64>,
    /// From this current on an opening is promised, A.
    pub opens_from_a: f64,
    /// Fault current at the fuse, A.
    pub prospective_a: Option<f64>,
    /// Wires beneath it, the gravest first.
    pub lines: Vec<WireLine>,
    /// Wires beneath it that are not drawn; they bear more.
    pub more: usize,
    /// The fuse above, and up to which current this one opens alone; none: up to the fault current.
    pub above: Option<(Id<Fuse>, Option<f64>)>,
    /// What the lines rest on.
    pub basis: String,
}

/// The picture of a fuse.
///
/// # Errors
/// What is missing.
pub fn picture(see: &Snapshot, fuse: Id<Fuse>) -> Result<Picture, String> {
    let zone = see
        .protection()
        .zone(fuse)
        .ok_or("a source that reaches this fuse")?;
    let found = beneath(see, zone, &Trial::default()).ok_or("the zone of its holder, with its ambient")?;
    let overload = see.verdicts().overload(&found);
    let mut verdicts: Vec<(&WireOverload, &WireBelow, usize)> = overload
        .wires
        .iter()
        .filter_map(|v| Some((v, found.wires.get(v.wire)?, *found.places.get(v.wire)?)))
        .collect();
    verdicts.sort_by(|a, b| {
        b.0.grade
            .cmp(&a.0.grade)
            .then(b.0.lasting_c.total_cmp(&a.0.lasting_c))
    });
    let currents_a = currents(&found.fuse, found.prospective_a, verdicts.first().map(|v| v.1));
    let mut lines: Vec<WireLine> = Vec::new();
    let mut more = 0;
    for (verdict, below, place) in verdicts {
        let Some(run) = see.wiring().wires.get(place) else {
            continue;
        };
        // Wires past the last line that is drawn are only compared with it.
        let full = lines.len() == MOST_LINES;
        if full && !lines.iter().any(|line| near(line, verdict)) {
            more += 1;
            continue;
        }
        let bears_s: Vec<f64> = currents_a.iter().map(|a| below.bears(*a).time_s).collect();
        match lines.iter_mut().find(|line| alike(&line.bears_s, &bears_s)) {
            Some(line) => line.wires.push(run.wire),
            None if full => more += 1,
            None => lines.push(WireLine {
                wires: vec![run.wire],
                bears_s,
                class_c: below.limits.class_c,
                far_end: far_end(&found.fuse, below),
                verdict: verdict.clone(),
            }),
        }
    }
    let time = |of: &dyn Fn(f64) -> f64| currents_a.iter().map(|a| of(*a)).collect();
    Ok(Picture {
        fuse,
        shortest_s: time(&|a| found.fuse.shortest_s(a)),
        longest_s: time(&|a| found.fuse.longest_s(a)),
        opens_from_a: overload.opens_from_a,
        prospective_a: found.prospective_a,
        above: above(see, zone, &found.fuse, found.prospective_a),
        basis: sources(&overload.basis),
        currents_a,
        lines,
        more,
    })
}

/// From below what the thinnest wire bears for ever, or the fuse's rating, to past the fault current.
fn currents(fuse: &CoreFuse, prospective_a: Option<f64>, gravest: Option<&WireBelow>) -> Vec<f64> {
    let class_a = gravest.map(|w| w.heat.allowed_current_a(w.limits.class_c));
    let from = class_a.unwrap_or(f64::INFINITY).min(fuse.rating_a) * 0.7;
    let last_gate = fuse.band.corners().last().copied().unwrap_or(6.0) * fuse.rating_a;
    let to = prospective_a.unwrap_or(0.0).max(last_gate) * 1.3;
    let step = (to / from).powf(1.0 / (POINTS as f64 - 1.0));
    (0..POINTS).map(|n| from * step.powf(n as f64)).collect()
}

fn near(line: &WireLine, verdict: &WireOverload) -> bool {
    (line.verdict.lasting_c - verdict.lasting_c).abs() <= ALIKE * line.verdict.lasting_c.abs()
}

fn alike(one: &[f64], other: &[f64]) -> bool {
    one.iter()
        .zip(other)
        .all(|(a, b)| (a.is_infinite() && b.is_infinite()) || (a - b).abs() <= ALIKE * a.abs().min(b.abs()))
}

/// The fuse above, and up to which current this one opens alone.
fn above(
    see: &Snapshot,
    zone: &FuseZone,
    lower: &CoreFuse,
    prospective_a: Option<f64>,
) -> Option<(Id<Fuse>, Option<f64>)> {
    let id = zone.above?;
    let upper = core_fuse(see, see.protection().zone(id)?, see.book().get(id)?)?;
    Some((id, selectivity(&upper, lower, prospective_a?).up_to_a))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::Unit, testing::Bench};

    fn bench() -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("PB"));
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
        let fuse = bench.fuse_way("F1", 10.0, "BP", "PB-A1");
        bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
        for (n, mm2) in [0.35, 0.5, 0.5, 1.0, 1.5, 2.5, 4.0].into_iter().enumerate() {
            bench.wire(&format!("W{n}"), "PB-A1", &format!("XA-A{n}"), mm2, 2.0);
        }
        bench
    }

    #[test]
    fn the_thinnest_come_first_and_wires_that_are_alike_share_a_line() {
        let bench = bench();
        let see = bench.snapshot();
        let drawn = picture(&see, bench.named("F1")).unwrap();
        let wires: Vec<Vec<String>> = drawn
            .lines
            .iter()
            .map(|line| line.wires.iter().map(|id| see.book().label_of(*id)).collect())
            .collect();
        assert_eq!(wires, [vec!["W0"], vec!["W1", "W2"], vec!["W3"], vec!["W4"]]);
        assert_eq!(drawn.more, 2);
        for line in &drawn.lines {
            assert!(
                line.bears_s.is_sorted_by(|a, b| a >= b),
                "more current is never borne longer"
            );
        }
        assert!(drawn.shortest_s.iter().zip(&drawn.longest_s).all(|(a, b)| a <= b));
        assert!(drawn.currents_a.first().unwrap() < &10.0 && drawn.currents_a.last().unwrap() > &60.0);
    }

    #[test]
    fn without_the_warmth_around_the_fuse_there_is_no_picture() {
        let mut bench = bench();
        let (fuse, unit) = (bench.named("F1"), bench.unit("PB"));
        bench.edit(fuse, |f: &mut Fuse| f.zone = None);
        bench.edit(unit, |u: &mut Unit| u.zone = None);
        assert_eq!(
            picture(&bench.snapshot(), fuse),
            Err("the zone of its holder, with its ambient".to_owned())
        );
    }
}
