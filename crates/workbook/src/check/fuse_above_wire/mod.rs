//! A fuse that is too big for a wire beneath it.

#[cfg(test)]
mod tests;

use crimpbook_core::fuse::{Grade, Overload, WireOverload};

use super::{
    Check, Figure, Finding, Level, Out,
    common::{
        contacts::wire_at,
        facts::{Fact, ask, ask_holder},
        fuse_mend,
        words::{celsius, list, number, sources},
    },
};
use crate::{
    analysis::{
        Snapshot,
        protect::{self, Beneath, FuseZone, Trial, beneath},
    },
    circuit::size_of,
    model::{Fuse, Kind},
};

pub(super) static CHECK: Check = Check {
    name: "fuse-above-wire",
    what: "each wire beneath a fuse, down to the next one, bears for ever what the fuse lets through for ever, and above that as long as the fuse may take",
    inputs: "ratings and kinds of fuses, sizes, insulation class, zones with their ambient, bundles, what loads draw",
    source: "135 % gate and times of ISO 8820 (from memory; the data sheet of the fuse in hand wins); class + 50 K for less than 6 h in a life (memory)",
    rests_on: &[
        (Kind::Fuse, &["rating_a", "kind"]),
        (
            Kind::Wire,
            &[
                "area_mm2",
                "size_written",
                "insulation_class_c",
                "bundle",
                "from",
                "to",
            ],
        ),
    ],
    reads: &[],
    find,
};

/// So many wires are told, hottest first, even where some are good.
const TOLD: usize = 3;

fn find(see: &Snapshot, out: &mut Out) {
    let facts = [Fact::Size, Fact::Class, Fact::Ambient];
    for zone in &see.protection().zones {
        ask(see, CHECK.name, zone.wires.iter().copied(), &facts, out);
        let Some(fuse) = see.book().get(zone.fuse) else {
            continue;
        };
        let Some(beneath) = beneath(see, zone, &Trial::default()) else {
            ask_holder(see, CHECK.name, fuse, out);
            continue;
        };
        let verdict = see.verdicts().overload(&beneath);
        let level = match verdict.grade {
            Grade::Good | Grade::CannotCheck => continue,
            Grade::Note => Level::Note,
            Grade::Warning => Level::Warning,
            Grade::Stop => Level::Stop,
        };
        let Some(finding) = finding(see, fuse, &beneath, &verdict, level) else {
            continue;
        };
        if level == Level::Note {
            out.find(finding);
        } else {
            out.find_with(finding, fuse_mend::proposals(see, zone, fuse, &bad));
        }
    }
}

/// Place of a verdict's wire in the wiring.
fn place(beneath: &Beneath, verdict: &WireOverload) -> Option<usize> {
    beneath.places.get(verdict.wire).copied()
}

fn finding(
    see: &Snapshot,
    fuse: &Fuse,
    beneath: &Beneath,
    verdict: &Overload,
    level: Level,
) -> Option<Finding> {
    // The gravest, of those the hottest, speaks; the others stand behind it by heat.
    let first = verdict.wires.iter().find(|w| w.grade == verdict.grade)?;
    let told: Vec<&WireOverload> = verdict
        .wires
        .iter()
        .enumerate()
        .filter(|(at, w)| *at < TOLD || w.grade >= Grade::Warning)
        .map(|(_, w)| w)
        .collect();
    let name = |w: &WireOverload| {
        let wire = place(beneath, w).and_then(|at| wire_at(see, at));
        wire.map_or_else(
            || "?".to_owned(),
            |wire| {
                let size = size_of(wire).map_or_else(String::new, |s| format!(" {s}"));
                format!("{}{size}", wire.label)
            },
        )
    };
    let class_c = beneath
        .wires
        .get(first.wire)
        .map_or(f64::NAN, |w| w.limits.class_c);
    let reason = protect::reason(first, class_c);
    let edge = if first.on_the_edge { " (on the edge)" } else { "" };
    let behind: Vec<String> = told
        .iter()
        .filter(|w| w.wire != first.wire)
        .map(|w| format!("{} {}", name(w), celsius(w.lasting_c)))
        .collect();
    let also = if behind.is_empty() {
        String::new()
    } else {
        format!(" Beneath it too: {}.", list(&behind))
    };
    let sentence = format!(
        "{} {} A is too big for {} beneath it: {reason}{edge}.{also}",
        fuse.label,
        number(fuse.rating_a),
        name(first),
    );
    let wires = std::iter::once(first).chain(told.iter().copied().filter(|w| w.wire != first.wire));
    let ids = wires
        .clone()
        .filter_map(|w| wire_at(see, place(beneath, w)?))
        .map(|w| w.id);
    let mut finding = Finding::new(CHECK.name, level, fuse.id, sentence)
        .with(ids)
        .matters("The wire is the fuse then: it burns in the loom, where nobody sees it and nothing ends it.")
        .source(sources(&verdict.basis));
    for w in wires {
        let figure = format!("{} with {} A", name(w), number(w.lasting_a));
        let class_c = beneath.wires.get(w.wire).map_or(f64::NAN, |w| w.limits.class_c);
        let limit_c = if w.lasting_c > w.limit_c {
            w.limit_c
        } else {
            class_c
        };
        finding = finding.figure(Figure::against(figure, w.lasting_c, limit_c, "°C"));
    }
    if let Some(other) = place(beneath, first).and_then(|at| other_factor_c(see, at, first)) {
        finding = finding.figure(other);
    }
    Some(finding)
}

/// What the bundle factor that was not used would say, for the wire that speaks.
fn other_factor_c(see: &Snapshot, at: usize, verdict: &WireOverload) -> Option<Figure> {
    let warmth = see.warmth().wires.get(at)?;
    let (_, Some(_)) = warmth.bundle? else { return None };
    let loaded = see
        .states()
        .iter()
        .map(|of| see.warmth().loaded_in(at, of))
        .max()?;
    let factor = crimpbook_core::tables::bundle::bundle_factor(loaded)?.factor;
    let name = format!("with factor {} by {loaded} loaded wires", number(factor));
    Some(Figure::plain(
        name,
        warmth.conductor_c(verdict.lasting_a, factor),
        "°C",
    ))
}

/// Wires that do not bear what the fuse lets through, with other ratings and sizes.
fn bad(see: &Snapshot, zone: &FuseZone, trial: &Trial) -> Option<Vec<usize>> {
    let beneath = beneath(see, zone, trial)?;
    let verdict = see.verdicts().overload(&beneath);
    let failing = verdict.wires.iter().filter(|w| w.grade > Grade::Note);
    Some(failing.filter_map(|w| place(&beneath, w)).collect())
}
