//! What is lost of the supply on the way to a load and back from it.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        facts::{Fact, ask},
        words::number,
    },
    drop_over_limit,
};
use crate::{
    analysis::{
        Snapshot, StateResult,
        protect::{By, Step, losses},
    },
    model::{Kind, OutputSide, Part, PartKind, Terminal, Wire},
};
use std::collections::BTreeSet;

pub(super) static CHECK: Check = Check {
    name: "load-drop",
    what: "feed and return of each load and lamp drop together no more than its limit, at its running current",
    inputs: "loads and lamps, sizes and lengths of the wires that feed them, operating states",
    source: "1 V from source to load and back where the load has no limit of its own: common practice, no source; coils are judged by their pull-in volts, and what returns through another load by back-feed",
    rests_on: &[(Kind::Part, &["kind", "ends", "drop_limit_v"])],
    reads: &[(Kind::Part, &["drop_limit_v"])],
    find,
};

/// What feed and return may drop together where the load says nothing else, V.
const USUAL_V: f64 = 1.0;
/// Less than this is no load to speak of, A.
const LEAST_A: f64 = 0.01;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let losses = losses(see);
    let mut fed: BTreeSet<usize> = BTreeSet::new();
    for (at, run) in see.wiring().parts.iter().enumerate() {
        let Some(part) = book.get(run.part) else { continue };
        if !matches!(part.kind, PartKind::Load { .. } | PartKind::Lamp { .. }) {
            continue;
        }
        let limit_v = part.drop_limit_v.unwrap_or(USUAL_V);
        let running = see.states().iter().filter(|of| !of.stands.starts());
        let lost = running.filter_map(|of| {
            let current_a = of.operated.part_a(at).abs();
            let (there_v, back_v, source) = (current_a > LEAST_A).then(|| losses.of(at, of))??;
            Some((there_v, back_v, source, current_a, of))
        });
        let worst = lost.max_by(|a, b| (a.0 + a.1).total_cmp(&(b.0 + b.1)));
        if worst.is_some() {
            fed.extend(feeds(see, at));
        }
        if let Some((there_v, back_v, source, current_a, of)) =
            worst.filter(|w| w.0 + w.1 > limit_v && returns(see, part, &run.ends))
        {
            let source = see.wiring().parts.get(source).map(|run| book.label_of(run.part));
            let sentence = format!(
                "{} loses {} V of {} V allowed between {} and itself and back, at {} A in {}: {} V on the feed, {} V on the return.",
                part.label,
                number(there_v + back_v),
                number(limit_v),
                source.unwrap_or_default(),
                number(current_a),
                book.label_of(of.state),
                number(there_v),
                number(back_v),
            );
            let mut finding = Finding::new(CHECK.name, Level::Warning, part.id, sentence);
            let most = dearest(see, at, of);
            if let Some(wire) = most.filter(|wire| drop_over_limit::is_over(see, wire)) {
                finding = finding.follows(drop_over_limit::CHECK.name, wire.id);
            }
            out.find(
                finding
                    .with(most.map(|wire| wire.id))
                    .figure(Figure::against("feed and return together", there_v + back_v, limit_v, "V"))
                    .figure(Figure::plain("feed", there_v, "V"))
                    .figure(Figure::plain("return", back_v, "V"))
                    .figure(Figure::plain("running current", current_a, "A"))
                    .matters("What is lost on the way is missing at the load: dim, slow, and the first to drop out when the battery is low.")
                    .mend(most.map(|wire| Mend::words(format!("a thicker or shorter {}, which drops most of it", wire.label))))
                    .source(CHECK.source),
            );
        }
    }
    ask(see, CHECK.name, fed.into_iter(), &[Fact::Size, Fact::Length], out);
}

/// Whether a load has a way back to battery negative that is no other load: wires, metal and contacts, or an output that
/// switches it to ground.
fn returns(see: &Snapshot, part: &Part, ends: &[u32]) -> bool {
    let nets = &see.signals().nets;
    let switched = |end: &Terminal| {
        let parts = nets.at(end).and_then(|net| nets.get(net)).map(|net| &net.parts);
        parts.into_iter().flatten().any(|(id, _)| {
            let kind = see.book().get(*id).map(|p: &Part| &p.kind);
            matches!(kind, Some(PartKind::Output { side, .. }) if *side != OutputSide::HighSide)
        })
    };
    let leads = |end: &u32| {
        let negative = see.wiring().reference;
        negative.is_some_and(|negative| see.edges().path(*end, negative).is_some())
    };
    ends.iter().any(leads) || part.ends.iter().any(switched)
}

/// The wires from the source to a load, as the supply tree has them.
fn feeds(see: &Snapshot, at: usize) -> Vec<usize> {
    let protection = see.protection();
    let ends = see.wiring().parts.get(at).map(|run| run.ends.as_slice());
    let behind = |node: &u32| protection.behind.get(*node as usize).copied().flatten();
    let mut step = ends.unwrap_or_default().iter().find_map(behind);
    let mut wires = Vec::new();
    while let Some(now) = step.filter(|_| wires.len() < 1000) {
        step = match now {
            Step::Source(_) => None,
            Step::Fuse(fuse) => protection.zone(fuse).map(|zone| zone.behind),
            Step::Wire(wire) => {
                wires.push(wire);
                protection
                    .wires
                    .get(wire)
                    .copied()
                    .flatten()
                    .map(|feed| feed.behind)
            }
        };
    }
    wires
}

/// The wire on the way there or back that drops most.
fn dearest<'a>(see: &'a Snapshot, at: usize, of: &StateResult) -> Option<&'a Wire> {
    let mut wires = feeds(see, at);
    let back = see.wiring().parts.get(at).into_iter().flat_map(|run| &run.ends);
    let negative = see.wiring().reference;
    for end in back {
        let path = negative.and_then(|negative| see.edges().path(*end, negative));
        wires.extend(path.into_iter().flatten().filter_map(|by| match by {
            By::Wire { at, .. } => Some(at),
            _ => None,
        }));
    }
    let drop_v = |at: &usize| {
        let ohm = see.wiring().wires.get(*at).map_or(0.0, |run| run.wire_ohm(1.0));
        of.operated.wire_a(*at).abs() * ohm
    };
    let most = wires.into_iter().max_by(|a, b| drop_v(a).total_cmp(&drop_v(b)))?;
    super::common::contacts::wire_at(see, most)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// 9 A through 4.8 m of feed and 1 m of return.
    fn pump(feed_mm2: f64, limit_v: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.battery();
        bench.fuse_way("F4", 15.0, "BP", "PB-A16");
        bench.wire("W76", "PB-A16", "VP-A1", feed_mm2, 4.8);
        bench.wire("W77", "VP-A2", "BN", 2.5, 1.0);
        let load = bench.load("pump", 9.0, &["VP-A1", "VP-A2"]);
        bench.edit(load, |p: &mut Part| p.drop_limit_v = limit_v);
        bench
    }

    fn found(bench: &Bench) -> Vec<crate::check::Finding> {
        let report = run_without_mends(&bench.snapshot());
        report.of("load-drop").cloned().collect()
    }

    /// Cold, 4.8 m × 18.5 mΩ/m + 1 m × 7.6 mΩ/m are 0.096 Ω: 0.87 V, with contacts, fuse and warmth some 1.2 V.
    #[test]
    fn feed_and_return_are_judged_together() {
        let found = found(&pump(1.0, None));
        let figures = &found[0].figures;
        assert_eq!(figures[0].limit, Some(1.0));
        assert!((1.0..1.5).contains(&figures[0].value), "{figures:?}");
        assert!((figures[1].value + figures[2].value - figures[0].value).abs() < 1e-9);
        // W77: 7.6 mΩ and a contact of 10 mΩ or less, at 9 A.
        assert!((0.06..0.2).contains(&figures[2].value), "{figures:?}");
        assert!(
            found[0].sentence.starts_with("pump loses 1."),
            "{}",
            found[0].sentence
        );
    }

    #[test]
    fn a_thicker_feed_is_right_and_a_limit_of_its_own_wins() {
        assert_eq!(found(&pump(4.0, None)), []);
        assert_eq!(found(&pump(4.0, Some(0.3))).len(), 1);
        assert_eq!(found(&pump(1.0, Some(2.0))), []);
    }

    #[test]
    fn without_the_length_of_its_feed_it_cannot_be_checked() {
        let mut bench = pump(1.0, None);
        let wire = bench.named::<Wire>("W76");
        bench.edit(wire, |w: &mut Wire| w.length_m = None);
        assert_eq!(bench.missing_for("load-drop"), ["the length of W76"]);
    }
}
