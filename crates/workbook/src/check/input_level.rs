//! An input that gets more than it bears, or a level that is neither on nor off.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, number},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Kind, Limits},
};

pub(super) static CHECK: Check = Check {
    name: "input-level",
    what: "every input reads clearly on or off in every operating state, and never gets more than it bears",
    inputs: "thresholds and highest voltage of inputs as the manuals give them, operating states",
    source: "the thresholds of the manuals; levels from the solved network, against the unit's own ground",
    rests_on: &[(Kind::Cavity, &["limits", "kind"])],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for cavity in book.all::<Cavity>().values() {
        let limits = &cavity.limits;
        if limits.most_v.is_none() && band(limits).is_none() {
            continue;
        }
        let read = |of: &crate::analysis::StateResult| see.cavity_volts(of, cavity.id).own_ground_v;
        if let Some(most_v) = limits.most_v {
            let worst = see
                .states()
                .iter()
                .filter_map(|of| Some((read(of).filter(|v| *v > most_v)?, of)))
                .max_by(|a, b| a.0.total_cmp(&b.0));
            if let Some((volts, of)) = worst {
                let sentence = format!(
                    "{} gets {} V in {}; it bears {} V.",
                    named(book, cavity),
                    number(volts),
                    book.label_of(of.state),
                    number(most_v),
                );
                out.find(
                    Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
                        .figure(Figure::against("voltage", volts, most_v, "V"))
                        .matters("It is destroyed, or passes the voltage on inside its unit.")
                        .mend(Mend::words("another source, or a divider or relay between"))
                        .source(CHECK.source),
                );
            }
        }
        let Some((low, high)) = band(limits) else { continue };
        let between: Vec<(f64, String)> = see
            .states()
            .iter()
            .filter_map(|of| {
                Some((
                    read(of).filter(|v| *v > low && *v < high)?,
                    book.label_of(of.state),
                ))
            })
            .collect();
        let Some((volts, _)) = between.first() else {
            continue;
        };
        let states: Vec<String> = between.iter().map(|(_, state)| state.clone()).collect();
        let sentence = format!(
            "{} reads neither on nor off in {}: {} V, between {} and {} V.",
            named(book, cavity),
            list(&states),
            number(*volts),
            number(low),
            number(high),
        );
        out.find(
            Finding::new(CHECK.name, Level::Stop, cavity.id, sentence)
                .figure(Figure::plain("voltage", *volts, "V"))
                .matters("What the unit takes it for depends on its temperature and the day.")
                .mend(Mend::words(
                    "find what pulls it half way: a lamp, a coil, a second source, a missing ground",
                ))
                .source(CHECK.source),
        );
    }
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
            ["MC-A14 reads neither on nor off in KEY: 4.2 V, between 2 and 5.5 V."]
        );
        assert_eq!(input(100.0, 5.5), ["MC-A14 gets 12.5 V in KEY; it bears 5.5 V."]);
    }
}
