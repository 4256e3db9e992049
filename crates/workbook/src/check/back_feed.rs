//! A rail that should be dead and is kept alive through a lamp, a coil or a pull.

use super::{
    Cause, Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, number},
};
use crate::{
    analysis::{Snapshot, StateResult, could_leak},
    circuit::{Node, drops_out_v},
    model::{Cavity, Decision, Id, Key, Kind, Part, PartKind, SignalKind},
};
use crimpbook_core::conductor::copper_factor;
use std::collections::{HashMap, HashSet};

pub(super) static CHECK: Check = Check {
    name: "back-feed",
    what: "what no closed contact feeds in an operating state has no voltage: nothing comes back through a lamp, a coil or a pull",
    inputs: "inside parts with their ends, positions of switches and relays in each operating state, drop-out volts of coils",
    source: "voltages from the solved network; a coil holds from a tenth of its pull-in on where its drop-out is not told: common practice, no source",
    rests_on: &[(Kind::Part, &["kind", "ends"]), (Kind::Cavity, &["kind"])],
    reads: &[],
    find,
};

/// What a dead rail may still show, V (our own).
const DEAD_V: f64 = 1.0;
/// A leak below this is none, A (our own).
const LEAK_A: f64 = 1e-5;
/// Points that stand no further apart belong to one piece, V (our own).
const SAME_V: f64 = 0.05;

fn find(see: &Snapshot, out: &mut Out) {
    let mut said = Said::default();
    for of in see.states() {
        in_state(see, of, &mut said, out);
    }
}

/// The back-feeds of every operating state, for what follows from them.
pub(super) struct Known {
    said: Said,
}

impl Known {
    pub(super) fn of(see: &Snapshot) -> Self {
        let (mut said, mut out) = (Said::default(), Out::default());
        for of in see.states() {
            in_state(see, of, &mut said, &mut out);
        }
        Self { said }
    }

    /// The finding that names what comes back to a point in a state, be it over further dead pieces.
    pub(super) fn cause(&self, see: &Snapshot, of: &StateResult, node: Node) -> Option<Cause> {
        let (mut seen, mut open) = (vec![node], vec![node]);
        while let Some(node) = open.pop() {
            let named = leaks(see, of, node).find_map(|(_, part)| self.said.leaks.get(&part.id));
            if let Some(place) = named {
                return Some(Cause {
                    check: CHECK.name,
                    place: *place,
                });
            }
            for next in upstream(see, of, node) {
                if !seen.contains(&next) {
                    seen.push(next);
                    open.push(next);
                }
            }
        }
        None
    }
}

fn in_state(see: &Snapshot, of: &StateResult, said: &mut Said, out: &mut Out) {
    let (book, wiring) = (see.book(), see.wiring());
    for run in &wiring.parts {
        let Some(part) = book.get(run.part) else { continue };
        let (
            PartKind::Coil {
                pull_in_v,
                drop_out_v,
                ..
            },
            [plus, minus],
        ) = (&part.kind, &run.ends[..])
        else {
            continue;
        };
        let volts = of.operated.between(*plus, *minus).unwrap_or(0.0).abs();
        if volts <= DEAD_V {
            continue;
        }
        // Fed at either end: a coil on a high or a low side, whichever way round.
        let fed = see.fed(of);
        if fed.at(*plus) || fed.at(*minus) {
            continue;
        }
        let hot = copper_factor(run.ambient_c);
        let holds_v = drops_out_v(*pull_in_v, *drop_out_v).map(|v| v * hot);
        let stays = holds_v.is_some_and(|v| volts >= v);
        let what = format!(
            "{} gets {} V in {} though no closed contact feeds it{}",
            part.label,
            number(volts),
            book.label_of(of.state),
            if stays { "; it may stay in" } else { "" },
        );
        let level = if stays { Level::Stop } else { Level::Warning };
        let mut finding = Finding::new(CHECK.name, level, part.id, what);
        finding = match holds_v {
            Some(holds_v) => finding.figure(Figure::against("voltage", volts, holds_v, "V")),
            None => finding.figure(Figure::plain("voltage", volts, "V")),
        };
        said.say(see, of, *plus, finding, out);
    }
    for cavity in book.all::<Cavity>().values() {
        let supply = matches!(cavity.kind, Some(SignalKind::LogicSupply | SignalKind::SupplyIn));
        if !supply || cavity.decision != Decision::Wired {
            continue;
        }
        let Some(volts) = see
            .cavity_volts(of, cavity.id)
            .own_ground_v
            .filter(|v| *v > DEAD_V)
        else {
            continue;
        };
        let Some(node) = wiring
            .nodes
            .unit_side(cavity.id)
            .or_else(|| wiring.nodes.wire_side(cavity.id))
        else {
            continue;
        };
        if see.fed(of).at(node) {
            continue;
        }
        let what = format!(
            "{} gets {} V in {} though no closed contact feeds it",
            named(book, cavity),
            number(volts),
            book.label_of(of.state)
        );
        let finding = Finding::new(CHECK.name, Level::Warning, cavity.id, what)
            .figure(Figure::plain("voltage", volts, "V"));
        said.say(see, of, node, finding, out);
    }
}

/// What was said so far: places, and the first place that each leak was named at.
#[derive(Default)]
struct Said {
    places: HashSet<Key>,
    leaks: HashMap<Id<Part>, Key>,
}

impl Said {
    /// Says it once a place; what comes back through the same part hangs under the first.
    fn say(&mut self, see: &Snapshot, of: &StateResult, node: Node, mut finding: Finding, out: &mut Out) {
        let Some(place) = finding.place().filter(|place| self.places.insert(*place)) else {
            return;
        };
        let leak = leak(see, of, node);
        let through = leak.map_or_else(String::new, |part| format!(": through {}", part.label));
        finding.sentence = format!("{}{through}.", finding.sentence);
        if let Some(part) = leak {
            let first = *self.leaks.entry(part.id).or_insert(place);
            if first != place {
                finding.follows_from = Some(Cause {
                    check: CHECK.name,
                    place: first,
                });
            }
        }
        out.find(
            finding
                .with(leak.map(|part| part.id))
                .matters(
                    "What is switched off stays half awake: a relay holds, a unit hangs between on and off.",
                )
                .mend(Mend::words(
                    "a diode in the way back, or feed both from one switched rail",
                ))
                .source(CHECK.source),
        );
    }
}

/// The part that carries most of what comes back into the dead piece around a point.
fn leak<'a>(see: &'a Snapshot, of: &'a StateResult, node: Node) -> Option<&'a Part> {
    let most = leaks(see, of, node).max_by(|a, b| a.0.total_cmp(&b.0));
    most.map(|(_, part)| part)
}

/// Amperes and parts between the piece around a point and what is fed.
fn leaks<'a>(see: &'a Snapshot, of: &'a StateResult, node: Node) -> impl Iterator<Item = (f64, &'a Part)> {
    let fed = see.fed(of);
    carrying(see, of, node)
        .filter(|(_, _, ends)| ends.iter().any(|end| fed.at(*end)))
        .map(|(current_a, part, _)| (current_a, part))
}

/// The far ends of the parts that carry current to or from a piece, as far as they stand higher than it.
fn upstream(see: &Snapshot, of: &StateResult, node: Node) -> Vec<Node> {
    let higher = |end: &Node| of.operated.between(*end, node).is_some_and(|v| v > SAME_V);
    let ends = carrying(see, of, node).flat_map(|(_, _, ends)| ends);
    ends.copied().filter(higher).collect()
}

/// What could leak and carries current at one end of it in the piece around a point: amperes, part, ends.
fn carrying<'a>(
    see: &'a Snapshot,
    of: &'a StateResult,
    node: Node,
) -> impl Iterator<Item = (f64, &'a Part, &'a [Node])> {
    let same = move |end: &Node| of.operated.between(node, *end).is_some_and(|v| v.abs() < SAME_V);
    let parts = see.wiring().parts.iter().enumerate();
    parts.filter_map(move |(at, run)| {
        let part = see.book().get(run.part).filter(|p| could_leak(p))?;
        let current_a = of.operated.part_a(at).abs();
        (current_a > LEAK_A && run.ends.iter().any(same)).then_some((current_a, part, &run.ends[..]))
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// A relay on a switched rail; a lamp of `ohm` lies between the rail and the permanent feed.
    fn rail(lamp_ohm: Option<f64>, on: bool) -> Bench {
        let mut bench = Bench::new();
        let state = bench.state("OFF");
        bench.battery();
        let contact = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
        let key = bench.part("key", contact, &["BP", "DI-A3"]);
        bench.set(state, key, if on { PartPosition::On } else { PartPosition::Off });
        bench.wire("W10", "DI-A3", "PB-A7", 0.5, 2.4);
        let coil = bench.part("K1 coil", Bench::coil(85.0, 9.0), &["PB-A7", "BN"]);
        bench.set(state, coil, if on { PartPosition::On } else { PartPosition::Off });
        if let Some(hot_ohm) = lamp_ohm {
            let lamp = PartKind::Lamp {
                hot_ohm,
                cold_ohm: None,
                rated_v: None,
            };
            bench.part("charge lamp", lamp, &["BP", "PB-A7"]);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("back-feed")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    /// The coil at 25 °C has 86.7 Ω: 12.6 V × 86.7/206.7 = 5.28 V, against a drop-out of 2 V.
    #[test]
    fn a_lamp_that_keeps_a_relay_in_is_a_stop() {
        assert_eq!(
            found(&rail(Some(120.0), false)),
            [(
                Level::Stop,
                "K1 coil gets 5.28 V in OFF though no closed contact feeds it; it may stay in: through charge lamp."
                    .to_owned()
            )]
        );
        assert_eq!(
            found(&rail(Some(600.0), false))[0].0,
            Level::Warning,
            "1.6 V only"
        );
    }

    #[test]
    fn a_rail_without_a_way_back_or_one_that_is_on_is_silent() {
        assert_eq!(found(&rail(None, false)), []);
        assert_eq!(found(&rail(Some(120.0), true)), []);
    }

    #[test]
    fn a_unit_that_stays_half_awake_is_a_warning() {
        let mut bench = rail(None, false);
        let (supply, ground) = (bench.cavity("MC-A", "2"), bench.cavity("MC-A", "4"));
        bench.edit(supply, |c: &mut Cavity| c.kind = Some(SignalKind::LogicSupply));
        bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
        bench.wire("W6", "DI-A3", "MC-A2", 0.5, 1.0);
        bench.resistor("pull", 10.0, &["BP", "MC-A2"]);
        let found = found(&bench);
        assert!(
            found.iter().any(|f| f.0 == Level::Warning
                && f.1.starts_with("MC-A2 gets ")
                && f.1.ends_with("through pull.")),
            "{found:?}"
        );
    }
}
