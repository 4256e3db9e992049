//! An input that gets more than it bears, or a level that is neither on nor off, over the whole range of the supply.

use std::{
    cell::{OnceCell, RefCell},
    collections::BTreeMap,
};

use super::{
    Cause, Check, Figure, Finding, Level, Mend, Out,
    back_feed::Known,
    common::words::{cavity as named, list, number},
    kind_mismatch,
};
use crate::{
    analysis::{Snapshot, StateResult},
    book::{InOrder, natural},
    circuit::Ready,
    model::{About, Cavity, Decision, Id, Kind, Limits, Part, PartKind, SignalKind, State, Unit},
    question::{Ask, Field, fields},
};

pub(super) static CHECK: Check = Check {
    name: "input-level",
    what: "every input reads clearly on or off in every operating state, and never gets more than it bears, from the lowest to the highest supply",
    inputs: "kinds of cavities, thresholds and highest voltage of inputs as the manuals give them, operating states, the supply's range",
    source: "the thresholds of the manuals; levels from the solved network, against the unit's own ground; a margin of 1 V above and 0.3 V below: common practice, no source",
    rests_on: &[(Kind::Cavity, &["limits", "kind"]), (Kind::About, &["supply"])],
    reads: &[],
    find,
};

const THRESHOLDS: &str = "the on and off thresholds of";
const HIGHEST: &str = "the highest voltage borne by";

/// What a high level should stand above its threshold, and a low one below, V.
const HIGH_MARGIN_V: f64 = 1.0;
const LOW_MARGIN_V: f64 = 0.3;
/// An input that never gets more than this need not say how much it bears, V (our own: every input bears 5 V).
const SMALL_V: f64 = 6.0;

/// So much may a unit's ground stand below battery negative, V (our own).
const GROUNDS_V: f64 = 0.3;

/// The operating states at their own supply, and at its ends where that may matter.
struct Range<'a> {
    see: &'a Snapshot,
    supply: Option<(f64, f64)>,
    /// No level of a circuit without sources of its own stands above the highest of its sources, V.
    highest_v: f64,
    ends: Vec<[OnceCell<Option<StateResult>>; 2]>,
    ready: RefCell<Ready>,
}

/// A level of an input, and where it was found.
#[derive(Clone)]
struct Reading {
    volts: f64,
    place: String,
    /// Place of the state.
    at: usize,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let range = Range::of(see);
    let known = OnceCell::new();
    let mut asked: BTreeMap<(Id<Unit>, &'static str), Vec<&Cavity>> = BTreeMap::new();
    for cavity in book.all::<Cavity>().values() {
        let mut ask = |what| {
            if let Some(unit) = see.unit_of(cavity.id) {
                asked.entry((unit, what)).or_default().push(cavity);
            }
        };
        let wired = matches!(cavity.decision, Decision::Wired | Decision::Bridged { .. });
        let limits = &cavity.limits;
        if wired && is_digital(cavity) && band(limits).is_none() {
            ask(THRESHOLDS);
        }
        if limits.most_v.is_none() && band(limits).is_none() && !(wired && is_input(cavity)) {
            continue;
        }
        let readings = range.readings(cavity);
        let most = readings.iter().max_by(|a, b| a.volts.total_cmp(&b.volts));
        match (limits.most_v, most) {
            (Some(most_v), Some(worst)) if worst.volts > most_v => {
                out.find(too_much(see, cavity, worst, most_v))
            }
            (None, Some(worst)) if wired && is_input(cavity) && worst.volts > SMALL_V => {
                ask(HIGHEST);
            }
            _ => {}
        }
        between(see, cavity, &readings, &known, out);
    }
    for ((unit, what), mut cavities) in asked {
        cavities.order_by(|c| natural(&book.cavity_name(c.id)));
        let names: Vec<String> = cavities.iter().map(|c| book.cavity_name(c.id)).collect();
        let asks = cavities
            .iter()
            .flat_map(|c| telling(c, what).into_iter().map(|field| Ask::of(c.id, field)));
        out.cannot(CHECK.name, unit, format!("{what} {}", list(&names)), asks);
    }
}

/// The fields that tell what is asked of an input.
fn telling(cavity: &Cavity, what: &str) -> Vec<&'static Field> {
    if what == HIGHEST {
        vec![&fields::CAVITY_MOST_V]
    } else if cavity.kind == Some(SignalKind::DigitalInLow) {
        vec![&fields::CAVITY_ON_BELOW, &fields::CAVITY_OFF_ABOVE]
    } else {
        vec![&fields::CAVITY_ON_ABOVE, &fields::CAVITY_OFF_BELOW]
    }
}

fn is_digital(cavity: &Cavity) -> bool {
    matches!(
        cavity.kind,
        Some(SignalKind::DigitalInHigh | SignalKind::DigitalInLow | SignalKind::DigitalInBare)
    )
}

fn is_input(cavity: &Cavity) -> bool {
    is_digital(cavity)
        || matches!(
            cavity.kind,
            Some(
                SignalKind::AnalogueIn
                    | SignalKind::ResistanceIn
                    | SignalKind::PwmIn
                    | SignalKind::EncoderIn
                    | SignalKind::InterlockIn
            )
        )
}

impl<'a> Range<'a> {
    fn of(see: &'a Snapshot) -> Self {
        let about = see.book().all::<About>().values().next();
        let sources = see.book().all::<Part>().values().filter_map(|p| match p.kind {
            PartKind::Source { volts_v, .. } => volts_v,
            _ => None,
        });
        Self {
            see,
            supply: about.map(|a| (a.supply.least_v, a.supply.most_v)),
            highest_v: sources.fold(about.map_or(0.0, |a| a.supply.most_v), f64::max) + GROUNDS_V,
            ends: see.states().iter().map(|_| Default::default()).collect(),
            ready: RefCell::new(see.ready()),
        }
    }

    /// Every level that counts for this input.
    fn readings(&self, cavity: &Cavity) -> Vec<Reading> {
        let see = self.see;
        let mut all = Vec::new();
        for (at, of) in see.states().iter().enumerate() {
            let label = see.book().label_of(of.state);
            let Some(volts) = see.cavity_volts(of, cavity.id).own_ground_v else {
                continue;
            };
            all.push(Reading {
                volts,
                place: label.clone(),
                at,
            });
            let told = see
                .book()
                .get(of.state)
                .is_some_and(|s: &State| s.supply_v.is_some());
            let Some((least_v, most_v)) = self.supply.filter(|_| !told && of.supply_v > 0.0) else {
                continue;
            };
            for (end, supply_v) in [least_v, most_v].into_iter().enumerate() {
                // What a supply can do to a level is at most to scale it: only where that would matter is it solved.
                let scaled_v = (volts * supply_v / of.supply_v).min(self.highest_v.max(volts));
                if !matters(&cavity.limits, is_input(cavity), volts, scaled_v) {
                    continue;
                }
                let solve = || see.at_supply(of, supply_v, &mut self.ready.borrow_mut()).ok();
                let solved = self.ends.get(at).and_then(|ends| ends.get(end));
                let solved = solved.and_then(|cell| cell.get_or_init(solve).as_ref());
                if let Some(volts) = solved.and_then(|of| see.cavity_volts(of, cavity.id).own_ground_v) {
                    let place = format!("{label} at {} V", number(supply_v));
                    all.push(Reading { volts, place, at });
                }
            }
        }
        all
    }
}

/// Whether a level that moves from one voltage to another may pass a limit on its way.
fn matters(limits: &Limits, input: bool, one_v: f64, other_v: f64) -> bool {
    let (least_v, most_v) = (one_v.min(other_v), one_v.max(other_v));
    let too_much = match limits.most_v {
        Some(limit_v) => most_v > limit_v,
        None => input && least_v <= SMALL_V && most_v > SMALL_V,
    };
    let near =
        band(limits).is_some_and(|(low, high)| most_v > low - LOW_MARGIN_V && least_v < high + HIGH_MARGIN_V);
    too_much || near
}

fn too_much(see: &Snapshot, cavity: &Cavity, worst: &Reading, most_v: f64) -> Finding {
    let sentence = format!(
        "{} gets {} V in {}; it bears {} V.",
        named(see.book(), cavity),
        number(worst.volts),
        worst.place,
        number(most_v),
    );
    let finding = Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
        .figure(Figure::against("voltage", worst.volts, most_v, "V"))
        .matters("It is destroyed, or passes the voltage on inside its unit.")
        .mend(Mend::words("another source, or a divider or relay between"))
        .source(CHECK.source);
    if kind_mismatch::is_wrong(see, cavity.id) {
        finding.follows(kind_mismatch::CHECK.name, cavity.id)
    } else {
        finding
    }
}

fn between(see: &Snapshot, cavity: &Cavity, readings: &[Reading], known: &OnceCell<Known>, out: &mut Out) {
    let Some((low, high)) = band(&cavity.limits) else {
        return;
    };
    let inside = |low: f64, high: f64| {
        let within = move |r: &&Reading| r.volts >= low && r.volts <= high;
        readings.iter().filter(within).collect::<Vec<_>>()
    };
    let undefined = inside(low, high);
    let near = inside(low - LOW_MARGIN_V, high + HIGH_MARGIN_V);
    let (level, found, what) = if undefined.is_empty() {
        (Level::Warning, near, "hardly reads on or off")
    } else {
        (Level::Stop, undefined, "reads neither on nor off")
    };
    let Some(first) = found.first() else { return };
    let mut places: Vec<String> = found.iter().map(|r| r.place.clone()).collect();
    places.dedup();
    let sentence = format!(
        "{} {what} in {}: {} V, {} {} and {} V.",
        named(see.book(), cavity),
        list(&places),
        number(first.volts),
        if level == Level::Stop { "between" } else { "near" },
        number(low),
        number(high),
    );
    let mut finding = Finding::new(CHECK.name, level, cavity.id, sentence);
    finding.follows_from = back_fed(see, cavity, first, known);
    out.find(
        finding
            .figure(Figure::plain("voltage", first.volts, "V"))
            .matters("What the unit takes it for depends on its temperature and the day.")
            .mend(Mend::words(
                "find what pulls it half way: a lamp, a coil, a second source, a missing ground",
            ))
            .source(CHECK.source),
    );
}

/// The back-feed that a level half way comes from: no source feeds the input there, and a leak was found.
fn back_fed(see: &Snapshot, cavity: &Cavity, reading: &Reading, known: &OnceCell<Known>) -> Option<Cause> {
    let (of, node) = (
        see.states().get(reading.at)?,
        see.wiring().nodes.unit_side(cavity.id)?,
    );
    if see.fed(of).at(node) {
        return None;
    }
    known.get_or_init(|| Known::of(see)).cause(see, of, node)
}

/// Between which voltages the input is undefined, V.
fn band(limits: &Limits) -> Option<(f64, f64)> {
    let high = limits.off_below_v.zip(limits.on_above_v);
    let low = limits.on_below_v.zip(limits.off_above_v);
    high.or(low).filter(|(low, high)| low < high)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// An input fed through `ohm` with a pull-down of 10 kΩ.
    fn input(ohm: f64, most_v: f64) -> Vec<String> {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        let (cavity, ground) = (bench.cavity("MC-A", "14"), bench.cavity("MC-A", "4"));
        bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
        bench.edit(cavity, |c: &mut Cavity| {
            c.kind = Some(SignalKind::DigitalInHigh);
            c.limits.off_below_v = Some(2.0);
            c.limits.on_above_v = Some(5.5);
            c.limits.most_v = Some(most_v);
        });
        bench.resistor("feed", ohm, &["BP", "MC-A14"]);
        bench.resistor("pull", 10_000.0, &["MC-A14", "MC-A4"]);
        let report = run_without_mends(&bench.snapshot());
        report.of("input-level").map(|f| f.sentence.clone()).collect()
    }

    /// A charger's status output of 14 V on a 12 V input, whatever the supply does.
    #[test]
    fn fourteen_volts_are_fine_where_the_input_bears_the_highest_supply_and_asked_for_where_nobody_says() {
        let status = |most_v: Option<f64>| {
            let mut bench = Bench::new();
            bench.state("CHARGE");
            bench.battery();
            for (number, kind) in [("3", SignalKind::DigitalInHigh), ("4", SignalKind::Ground)] {
                let cavity = bench.cavity("BM-A", number);
                bench.edit(cavity, |c: &mut Cavity| {
                    c.kind = Some(kind);
                    (c.limits.off_below_v, c.limits.on_above_v) = (Some(2.0), Some(6.0));
                    c.limits.most_v = most_v;
                });
            }
            let output = bench.cavity("CH-A", "1");
            bench.edit(output, |c: &mut Cavity| c.kind = Some(SignalKind::HighSideOut));
            let source = PartKind::Source {
                volts_v: Some(14.0),
                ohm: 1.0,
                limit_a: None,
                switched: false,
                when: String::new(),
            };
            bench.part("12 V present", source, &["CH-A1", "BN"]);
            bench.wire("W55", "CH-A1", "BM-A3", 0.5, 1.1);
            bench.wire("W26", "BM-A4", "BN", 1.0, 0.8);
            bench.resistor("pull", 22_000.0, &["BM-A3", "BM-A4"]);
            let report = run_without_mends(&bench.snapshot());
            assert_eq!(report.of("kind-mismatch").count(), 0);
            let asked = |c: &super::super::CannotCheck| c.missing == "the highest voltage borne by BM-A3";
            (
                report.of("input-level").count(),
                report.cannot_check.iter().any(asked),
            )
        };
        assert_eq!(status(Some(16.0)), (0, false));
        assert_eq!(status(Some(12.0)), (1, false));
        assert_eq!(status(None), (0, true));
    }

    #[test]
    fn the_ends_of_the_supply_count() {
        // 12.6 V are borne, 14.4 V are not.
        assert_eq!(
            input(100.0, 13.0),
            ["MC-A14 gets 14.3 V in KEY at 14.4 V; it bears 13 V."]
        );
        // 6.6 V at 12.6 V read on, 5.5 V at 10.5 V hardly do.
        let low = input(9_000.0, 30.0);
        assert_eq!(low.len(), 1);
        assert!(
            low[0].starts_with("MC-A14 hardly reads on or off in KEY at 10.5 V: 5.53 V"),
            "{low:?}"
        );
    }

    #[test]
    fn thresholds_that_are_not_told_are_asked_for() {
        let mut bench = Bench::new();
        bench.wire("W1", "DI-A1", "MC-A14", 0.5, 1.0);
        let cavity = bench.cavity("MC-A", "14");
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::DigitalInHigh));
        let report = run_without_mends(&bench.snapshot());
        let missing = "the on and off thresholds of MC-A14";
        assert!(
            report.cannot_check.iter().any(|c| c.missing == missing),
            "{:?}",
            report.cannot_check
        );
    }

    #[test]
    fn clear_levels_are_silent() {
        assert_eq!(input(100.0, 30.0), [""; 0]);
        assert_eq!(input(1e6, 30.0), [""; 0]);
    }

    /// 12.6 V × 10 / 30 = 4.2 V.
    #[test]
    fn half_way_and_too_high_are_found() {
        assert_eq!(
            input(20_000.0, 30.0),
            [
                "MC-A14 reads neither on nor off in KEY, KEY at 10.5 V and KEY at 14.4 V: 4.2 V, between 2 and 5.5 V."
            ]
        );
        assert_eq!(
            input(100.0, 5.5),
            ["MC-A14 gets 14.3 V in KEY at 14.4 V; it bears 5.5 V."]
        );
    }
}
