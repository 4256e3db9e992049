//! A sensor whose supply or return belongs to another place than the unit that reads it.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        track::{Track, return_mend, tracks},
        words::number,
    },
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, End, Id, Kind, Part, SignalKind, Unit},
    signals::OriginKind,
};

pub(super) static CHECK: Check = Check {
    name: "sensor-not-of-one-unit",
    what: "supply and return of a sensor or potentiometer are those of the unit that reads it",
    inputs: "kinds of cavities, sensors and potentiometers with their ends, the inputs that read them, wires, operating states",
    source: "common practice, no source; the error from the solved network, a stop above 5 % of the span",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

/// Error in % of the span above which it is a stop.
const STOP_PERCENT: f64 = 5.0;

/// What of a sensor is not its reader's.
#[derive(Debug)]
pub(super) struct Elsewhere {
    /// The unit that gives the supply, where it is another one.
    supply: Option<Id<Unit>>,
    /// Where the return goes, where that is not the reader.
    to: Option<String>,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for track in tracks(see) {
        let Some(elsewhere) = elsewhere(see, &track) else {
            continue;
        };
        let unit = see.unit_of(track.reader);
        let unit = unit.map_or_else(String::new, |unit| book.label_of::<Unit>(unit));
        let what = match (elsewhere.supply, &elsewhere.to) {
            (Some(supply), None) => format!(
                "5 V comes from {}, but {unit} reads it at {}; that is true only with a common ground",
                book.label_of(supply),
                book.cavity_name(track.reader)
            ),
            (Some(supply), Some(to)) => format!(
                "5 V comes from {}, return goes to {to}, but {unit} reads it at {}",
                book.label_of(supply),
                book.cavity_name(track.reader)
            ),
            (None, to) => format!(
                "return goes to {}, not to {unit}, which feeds and reads it at {}",
                to.as_deref().unwrap_or_default(),
                book.cavity_name(track.reader)
            ),
        };
        let worst = worst_error(see, &track, elsewhere.supply.is_some());
        let percent = worst
            .as_ref()
            .zip(track.span_v(see))
            .map(|((error_v, _), span_v)| error_v / span_v * 100.0);
        let wrong = worst.as_ref().map_or_else(String::new, |(error_v, state)| {
            format!(": {} mV wrong in {state}", number(error_v * 1000.0))
        });
        let level = if percent.is_some_and(|p| p > STOP_PERCENT) {
            Level::Stop
        } else {
            Level::Warning
        };
        let sentence = format!("{}: {what}{wrong}.", book.label_of(track.part));
        let mut finding = Finding::new(CHECK.name, level, track.part, sentence)
            .with([track.reader])
            .matters(
                "Every volt between the two places is read as travel; it comes and goes with other loads.",
            )
            .mend(if elsewhere.to.is_some() {
                return_mend(see, &track)
            } else {
                Mend::words(format!("feed it from a sensor supply of {unit}"))
            })
            .source(CHECK.source);
        if let Some((error_v, _)) = worst {
            finding = finding.figure(Figure::plain("reads wrong by", error_v * 1000.0, "mV"));
        }
        if let Some(percent) = percent {
            finding = finding.figure(Figure::against(
                "reads wrong by",
                percent,
                STOP_PERCENT,
                "% of span",
            ));
        }
        out.find(finding);
    }
}

/// What of a track is not its reader's; none: all of it is.
pub(super) fn elsewhere(see: &Snapshot, track: &Track) -> Option<Elsewhere> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let reader = see.unit_of(track.reader)?;
    let feeds = nets.at(&track.high_end).map(|net| nets.origins(net));
    let feeder = feeds.into_iter().flatten().find_map(|origin| {
        let gives = matches!(origin.kind, OriginKind::Reference | OriginKind::Power);
        gives.then(|| book.get(origin.part).map(|p: &Part| p.unit))?
    });
    let supply = feeder.filter(|unit| *unit != reader);
    let low = nets.at(&track.low_end).and_then(|id| nets.get(id))?;
    let homes = [Some(reader), supply];
    let at_home = |id: Id<Cavity>| homes.contains(&see.unit_of(id));
    let is_kind = |id: Id<Cavity>, kind| book.get(id).is_some_and(|c: &Cavity| c.kind == Some(kind));
    // A ground counts where the return's own wire ends at it: what shares a stud is not a return of that unit.
    let end = track.far_end(see);
    let own = low
        .cavities()
        .any(|id| at_home(id) && is_kind(id, SignalKind::SensorReturn))
        || matches!(end, Some(End::Cavity(id)) if at_home(id) && is_kind(id, SignalKind::Ground));
    let to = end.filter(|_| !own).map(|end| book.end_name(end));
    (supply.is_some() || to.is_some()).then_some(Elsewhere { supply, to })
}

/// The largest error of the reading, V, and the state.
fn worst_error(see: &Snapshot, track: &Track, foreign_supply: bool) -> Option<(f64, String)> {
    let error = |lift_v: f64| {
        if foreign_supply {
            // Supply and return stand on the other unit's ground alike.
            lift_v.abs()
        } else {
            track
                .error_v(lift_v, 0.0)
                .abs()
                .max(track.error_v(lift_v, 1.0).abs())
        }
    };
    let of_state = |of| Some((error(track.lift_v(of)?), see.book().label_of(of.state)));
    see.states()
        .iter()
        .filter_map(of_state)
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// A potentiometer of 5 kΩ, fed and returned by `feeder`, read by MC; a heater of `heater_a` shares MC's ground wire.
    fn pot(feeder: &str, heater_a: f64) -> Bench {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        for unit in ["MC", "CH"] {
            for (number, kind) in [
                ("4", SignalKind::Ground),
                ("6", SignalKind::SensorSupply),
                ("8", SignalKind::SensorReturn),
                ("12", SignalKind::AnalogueIn),
            ] {
                let cavity = bench.cavity(&format!("{unit}-A"), number);
                bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
            }
            let name = |n: &str| format!("{unit}-A{n}");
            bench.wire(&format!("{unit} ground"), &name("4"), "BN", 1.0, 2.0);
            bench.resistor(&format!("{unit} return"), 0.01, &[&name("8"), &name("4")]);
            let reference = PartKind::Reference {
                volts_v: 5.0,
                ohm: 1.0,
                limit_a: None,
            };
            bench.part(&format!("{unit} 5 V"), reference, &[&name("6"), &name("4")]);
        }
        bench.part(
            "pot",
            PartKind::Potentiometer { ohm: 5000.0 },
            &["DI-A3", "DI-A1", "DI-A2"],
        );
        bench.wire("W1", &format!("{feeder}-A6"), "DI-A1", 0.5, 1.0);
        bench.wire("W2", "DI-A2", "MC-A12", 0.5, 1.0);
        bench.wire("W3", "DI-A3", &format!("{feeder}-A8"), 0.5, 1.0);
        bench.resistor("MC pull", 100_000.0, &["MC-A12", "MC-A4"]);
        if heater_a > 0.0 {
            bench.load("heater", heater_a, &["BP", "MC-A4"]);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("sensor-not-of-one-unit")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn a_pot_of_the_unit_that_reads_it_is_right() {
        assert_eq!(found(&pot("MC", 5.0)), []);
    }

    /// 2 m of 1 mm² at 18.5 mΩ/m with two joints lift MC's ground by some 44 mV an ampere: CH's return is that much lower.
    #[test]
    fn a_pot_on_another_units_5_v_is_told_by_how_many_millivolts_it_reads_wrong() {
        let quiet = found(&pot("CH", 0.0));
        assert_eq!(quiet.len(), 1);
        assert_eq!(quiet[0].0, Level::Warning);
        assert!(
            quiet[0].1.starts_with(
                "pot: 5 V comes from CH, but MC reads it at MC-A12; that is true only with a common ground:"
            ),
            "{quiet:?}"
        );
        assert!(quiet[0].1.contains(" mV wrong in KEY"), "{quiet:?}");
        let busy = pot("CH", 5.0);
        let report = run_without_mends(&busy.snapshot());
        let finding = report.of("sensor-not-of-one-unit").next().unwrap();
        let by_hand = 5000.0 * (2.0 * 0.0185 + 2.0 * 0.004);
        let mv = finding.figure_value().unwrap();
        assert!((mv - by_hand).abs() < 0.25 * by_hand, "{mv} {by_hand}");
    }

    #[test]
    fn a_return_that_goes_to_a_stud_is_found_and_its_lift_hangs_under_it() {
        let mut bench = pot("MC", 5.0);
        let (stud, wire) = (bench.end("BN"), bench.named::<Wire>("W3"));
        bench.edit(wire, |w: &mut Wire| w.to = stud);
        let report = run_without_mends(&bench.snapshot());
        let lift = report.of("sensor-return-lift").next().unwrap();
        assert_eq!(lift.follows_from.map(|c| c.check), Some("sensor-not-of-one-unit"));
        let one = report.of("sensor-not-of-one-unit").next().unwrap();
        assert!(
            one.sentence
                .starts_with("pot: return goes to BN, not to MC, which feeds and reads it at MC-A12"),
            "{}",
            one.sentence
        );
    }
}
