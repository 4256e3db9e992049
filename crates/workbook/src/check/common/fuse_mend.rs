//! Ways out: a thicker wire, a lower rating, or the pair of both.

use crate::book::InOrder;
use std::collections::HashSet;

use crimpbook_core::{
    fuse::{Grade, running},
    tables::fuses::ratings,
};

use super::{
    contacts::{refusing, resized, thicker, wire_at},
    words::{list, number},
};
use crate::{
    analysis::{
        Snapshot,
        protect::{FuseZone, Trial, core_fuse},
    },
    check::{Mend, Proposals},
    circuit::{Node, core_kind},
    edit::Change,
    model::{Fuse, LoadMode, Part, PartKind},
};

/// Ratings that are looked at, the planned one among them.
const MOST_RATINGS: usize = 6;
/// A load that draws less is not asked for its inrush, A.
const SMALL_A: f64 = 1.0;

/// Which wires of a zone do not pass with other ratings and sizes, by their places; none: it cannot be told.
pub(in crate::check) type Bad = dyn Fn(&Snapshot, &FuseZone, &Trial) -> Option<Vec<usize>>;

/// Lower ratings, thicker wires and pairs of both with which every wire of a zone passes, as `bad` judges them.
pub(in crate::check) fn proposals(see: &Snapshot, zone: &FuseZone, fuse: &Fuse, bad: &Bad) -> Proposals {
    let guarded = inrush_not_stated(see, zone);
    let mut proposals = Proposals::default();
    let mut refused: Option<String> = None;
    // The planned rating first: nothing is lost by a thicker wire.
    for rating_a in candidates(see, zone, fuse, guarded.is_some()) {
        let lowered = rating_a < fuse.rating_a;
        let sizes = match thicken(see, zone, rating_a, bad) {
            Ok(sizes) => sizes,
            Err(why) => {
                refused = refused.or(why);
                continue;
            }
        };
        // Not lowered alone where what opens it at switch-on is not known.
        if lowered && sizes.is_empty() && guarded.is_some() {
            continue;
        }
        let mut words = Vec::new();
        let mut changes = Vec::new();
        if lowered {
            let (word, change) = lower(fuse, rating_a);
            words.push(word);
            changes.push(change);
        }
        for (at, area_mm2) in sizes {
            let Some(wire) = wire_at(see, at) else { continue };
            words.push(format!("{} {} mm²", wire.label, number(area_mm2)));
            changes.push(Change::replace(wire.clone(), resized(wire, area_mm2)));
        }
        proposals.mends.push(Mend {
            words: list(&words),
            changes,
        });
    }
    // One edit before a pair; of as many, the first found.
    proposals.mends.order_by(|mend| mend.changes.len());
    proposals.otherwise = Some(Mend::words(match (refused, guarded) {
        (Some(refused), _) => format!("{refused}; or a lower fuse in line where the wire gets thin"),
        (None, Some(load)) => {
            format!(
                "a lower fuse in line where the wire gets thin; or a lower rating, once the inrush of {load} is known"
            )
        }
        (None, None) => "a lower fuse in line where the wire gets thin".to_owned(),
    }));
    proposals
}

/// A lower rating, in words and as a change.
fn lower(fuse: &Fuse, rating_a: f64) -> (String, Change) {
    let after = Fuse {
        rating_a,
        // A data sheet's figures belong to the rating they were read for.
        melting_a2s: None,
        cold_ohm: None,
        ..fuse.clone()
    };
    let word = format!("{} {} A", fuse.label, number(rating_a));
    (word, Change::replace(fuse.clone(), after))
}

/// Lower ratings alone that `does` passes, the highest first, which carry what runs; none where what the fuse feeds at switch-on is
/// not stated, then with the load to ask.
pub(in crate::check) fn lowered(
    see: &Snapshot,
    zone: &FuseZone,
    fuse: &Fuse,
    does: &dyn Fn(f64) -> bool,
) -> (Vec<Mend>, Option<String>) {
    let guarded = inrush_not_stated(see, zone);
    if guarded.is_some() {
        return (Vec::new(), guarded);
    }
    let ratings = candidates(see, zone, fuse, false).into_iter();
    let passing = ratings.filter(|rating_a| *rating_a < fuse.rating_a && does(*rating_a));
    let mend = |rating_a| {
        let (words, change) = lower(fuse, rating_a);
        Mend {
            words,
            changes: vec![change],
        }
    };
    (passing.map(mend).collect(), None)
}

/// The planned rating and the lower standard ones that carry what runs and what is planned to peak.
fn candidates(see: &Snapshot, zone: &FuseZone, fuse: &Fuse, guarded: bool) -> Vec<f64> {
    let Some(core) = core_fuse(see, zone, fuse) else {
        return Vec::new();
    };
    let running_a = see
        .states()
        .iter()
        .map(|of| zone.current_a(of))
        .fold(0.0, f64::max);
    let peak_a = zone
        .wires
        .iter()
        .filter_map(|at| wire_at(see, *at)?.peak_a)
        .fold(0.0, f64::max);
    let lower = ratings(core_kind(fuse.kind))
        .rev()
        .map(|row| row.rating_a)
        .filter(|rating_a| *rating_a < fuse.rating_a - 1e-9)
        // Lowered by one step at most where the inrush is not stated.
        .take(if guarded { 1 } else { MOST_RATINGS })
        .filter(|rating_a| {
            let mut lower = core.clone();
            lower.rating_a = *rating_a;
            *rating_a >= peak_a && matches!(running(&lower, running_a).grade, Grade::Good)
        });
    std::iter::once(fuse.rating_a).chain(lower).collect()
}

/// The wires that have to be thicker under a rating, each as thin as will do.
///
/// # Errors
/// What refuses, in words, where no standard size will do.
fn thicken(
    see: &Snapshot,
    zone: &FuseZone,
    rating_a: f64,
    bad: &Bad,
) -> Result<Vec<(usize, f64)>, Option<String>> {
    let mut trial = Trial {
        rating_a: Some(rating_a),
        ..Trial::default()
    };
    let failing = bad(see, zone, &trial).ok_or(None)?;
    let mut sizes = Vec::new();
    for at in failing {
        let wire = wire_at(see, at).ok_or(None)?;
        let mut refusal = None;
        let fits = thicker(wire).find(|area_mm2| {
            trial.sizes_mm2 = [(at, *area_mm2)].into();
            let only = FuseZone {
                wires: vec![at],
                ..zone.clone()
            };
            let does = bad(see, &only, &trial).is_some_and(|failing| failing.is_empty());
            let against = refusing(see.book(), wire, *area_mm2);
            if does && !against.is_empty() && refusal.is_none() {
                let cavities: Vec<String> = against.iter().map(|c| see.book().cavity_name(*c)).collect();
                refusal = Some(format!(
                    "{}: {} mm² would do, but {} does not take it",
                    wire.label,
                    number(*area_mm2),
                    list(&cavities)
                ));
            }
            does && against.is_empty()
        });
        sizes.push((at, fits.ok_or(refusal)?));
    }
    Ok(sizes)
}

/// A load beneath the fuse whose inrush nobody states, by its label.
fn inrush_not_stated(see: &Snapshot, zone: &FuseZone) -> Option<String> {
    let beneath: HashSet<Node> = zone.nodes.iter().copied().collect();
    see.wiring().parts.iter().find_map(|run| {
        if !run.ends.first().is_some_and(|plus| beneath.contains(plus)) {
            return None;
        }
        let part: &Part = see.book().get(run.part)?;
        let unstated = match &part.kind {
            PartKind::Load {
                mode,
                inrush_a,
                inrush_s,
                ..
            } => {
                let draws_a = match mode {
                    LoadMode::Current { current_a } => *current_a,
                    LoadMode::Resistance { ohm } => 12.0 / ohm.max(1e-3),
                    LoadMode::Power { power_w } => power_w / 12.0,
                };
                draws_a >= SMALL_A && (inrush_a.is_none() || inrush_s.is_none())
            }
            PartKind::Lamp {
                hot_ohm, cold_ohm, ..
            } => cold_ohm.is_none() && 12.0 / hot_ohm >= SMALL_A,
            PartKind::Coil {
                hold_a: Some(_),
                pull_in_s,
                ..
            } => pull_in_s.is_none(),
            _ => false,
        };
        unstated.then(|| part.label.clone())
    })
}
