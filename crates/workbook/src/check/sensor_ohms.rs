//! A temperature sensor in the circuit that is not the one its sheet tells of.

use super::{Check, Figure, Finding, Level, Mend, Out};
use crate::book::InOrder;
use crate::{
    analysis::Snapshot,
    measure::{Sensor, sensors},
    model::{Cavity, Id, Kind, PartKind, Unit},
    question::{Ask, Field, fields},
};

pub(super) static CHECK: Check = Check {
    name: "sensor-ohms",
    what: "a temperature sensor has its sheet's ohms at room temperature, in the circuit as at the meter",
    inputs: "the sensor's ohms at room temperature, what a kelvin changes, its inside part",
    source: "tolerance where none is given: common practice, no source",
    rests_on: &[(Kind::Cavity, &["limits"]), (Kind::Part, &["kind"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let all = sensors(book);
    let mut units: Vec<Id<Unit>> = all.iter().map(|s| s.unit).collect();
    units.order_by(|id| book.label_of(*id));
    units.dedup();
    for unit in units {
        // Sensors of one unit are mostly alike: one answer for all of them that nobody told apart.
        let lack = |is: fn(&Cavity) -> bool| -> Vec<Id<Cavity>> {
            let of = all.iter().filter(|s| s.unit == unit && is(s.cavity));
            of.map(|s| s.cavity.id).collect()
        };
        let missing: [(Vec<Id<Cavity>>, &str, &'static Field); 2] = [
            (
                lack(|c| c.limits.sensor_ohm.is_none()),
                "the ohms at room temperature",
                &fields::SENSOR_OHM,
            ),
            (
                lack(|c| c.limits.sensor_pct_per_k.is_none()),
                "what a kelvin changes of the ohms",
                &fields::SENSOR_PER_K,
            ),
        ];
        for (of, what, field) in missing {
            if !of.is_empty() {
                let words = format!("{what} of the temperature sensors of {}", book.label_of(unit));
                out.cannot(CHECK.name, unit, words, [Ask::all(of, field)]);
            }
        }
    }
    for sensor in &all {
        out_of_window(see, sensor, out);
    }
}

fn out_of_window(see: &Snapshot, sensor: &Sensor<'_>, out: &mut Out) {
    let Ok((least, most)) = sensor.window(None) else {
        return;
    };
    let Some(part) = sensor.part else {
        let name = see.book().cavity_name(sensor.cavity.id);
        let words = format!("the inside part of the temperature sensor at {name}");
        out.cannot(CHECK.name, sensor.unit, words, []);
        return;
    };
    let PartKind::Resistor { ohm } = part.kind else {
        return;
    };
    if (least..=most).contains(&ohm) {
        return;
    }
    let name = see.book().cavity_name(sensor.cavity.id);
    let sentence = format!(
        "{name}: the circuit has {ohm} Ω as {}, by its sheet the sensor has {least:.0} to {most:.0} Ω in a workshop.",
        part.label
    );
    let limit = if ohm < least { least } else { most };
    out.find(
        Finding::new(CHECK.name, Level::Warning, sensor.cavity.id, sentence)
            .with([part.id])
            .figure(Figure::against("in the circuit", ohm, limit, "Ω"))
            .matters("A sensor of another type reads too cold or too warm, and what should protect the motor does not.")
            .mend(Mend::words(
                "look which of the two the sheet of the sensor in hand gives, and enter that",
            ))
            .source(CHECK.source),
    );
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    /// A sensor of so many ohms by its sheet, 0.8 % a kelvin, and the part in the circuit.
    fn bench(sheet: Option<f64>, per_k: Option<f64>, part: f64) -> Bench {
        let mut bench = Bench::new();
        for number in ["5", "6"] {
            let cavity = bench.cavity("MT-A", number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(SignalKind::TemperatureSensor)
            });
        }
        let cavity = bench.cavity("MT-A", "5");
        bench.edit(cavity, |c: &mut Cavity| {
            c.limits.sensor_ohm = sheet;
            c.limits.sensor_tolerance_pct = Some(3.0);
            c.limits.sensor_pct_per_k = per_k;
        });
        bench.resistor("temperature", part, &["MT-A5", "MT-A6"]);
        bench
    }

    fn said(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("sensor-ohms").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn a_sensor_without_its_inside_part_cannot_be_checked() {
        let mut bench = bench(Some(1000.0), Some(0.8), 1000.0);
        assert_eq!(bench.missing_for("sensor-ohms"), [""; 0]);
        let part = bench.named::<Part>("temperature");
        bench.edit(part, |p: &mut Part| p.ends.clear());
        assert_eq!(
            bench.missing_for("sensor-ohms"),
            ["the inside part of the temperature sensor at MT-A5"]
        );
    }

    #[test]
    fn a_sensor_of_another_type_is_found() {
        // 1000·0.97·e^(0.008·(10 − 25)) and 1000·1.03·e^(0.008·(40 − 25)).
        assert_eq!(
            said(&bench(Some(1000.0), Some(0.8), 580.0)),
            [
                "MT-A5: the circuit has 580 Ω as temperature, by its sheet the sensor has 860 to 1161 Ω in a workshop."
            ]
        );
        assert_eq!(said(&bench(Some(1000.0), Some(0.8), 1100.0)), [""; 0]);
    }

    #[test]
    fn without_its_sheet_it_is_asked_for_once() {
        let missing = |sheet, per_k| bench(sheet, per_k, 1000.0).missing_for("sensor-ohms");
        assert_eq!(
            missing(None, None),
            [
                "the ohms at room temperature of the temperature sensors of MT",
                "what a kelvin changes of the ohms of the temperature sensors of MT"
            ]
        );
        assert_eq!(
            missing(Some(1000.0), None),
            ["what a kelvin changes of the ohms of the temperature sensors of MT"]
        );
        assert_eq!(missing(Some(1000.0), Some(0.8)), [""; 0]);
    }
}
