//! Temperature sensors at room temperature: what they read by their own sheet.

use super::test::{Expected, Known, Listed, METER_OHM, Test};
use crate::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, Connector, End, Id, Part, PartKind, SignalKind, Terminal, TestKind, Unit},
};

/// Where a sensor's ohms hold if its sheet names no other temperature, °C.
pub const SENSOR_AT_C: f64 = 25.0;
/// How far it may be off there if its sheet does not say, % (common practice, no source).
const TOLERANCE_PCT: f64 = 10.0;
/// As cold and as warm as a workshop is, °C. Our own bounds.
const ROOM_C: (f64, f64) = (10.0, 40.0);
/// How near a thermometer beside it tells what the sensor itself has, °C. Our own bound.
const NEAR_C: f64 = 3.0;

/// A temperature sensor: the cavity its figures stand at, and where its other lead is.
#[derive(Debug, Clone, Copy)]
pub struct Sensor<'a> {
    /// The cavity whose limits tell of it; the first of its two by number where neither does.
    pub cavity: &'a Cavity,
    /// Its other lead; none: nothing says where that is.
    pub other: Option<&'a Cavity>,
    /// The inside part between the two.
    pub part: Option<&'a Part>,
    /// The unit it is in.
    pub unit: Id<Unit>,
}

/// All temperature sensors, one for its two cavities, by the names of their cavities.
pub fn sensors(book: &Book) -> Vec<Sensor<'_>> {
    let mut cavities: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.kind == Some(SignalKind::TemperatureSensor))
        .collect();
    cavities.order_by(|c| natural(&book.cavity_name(c.id)));
    let mut found: Vec<Sensor<'_>> = Vec::new();
    for cavity in &cavities {
        let taken = |s: &Sensor<'_>| s.cavity.id == cavity.id || s.other.is_some_and(|o| o.id == cavity.id);
        if found.iter().any(taken) {
            continue;
        }
        let Some(connector) = book.get::<Connector>(cavity.connector) else {
            continue;
        };
        let (part, other) = across(book, cavity).unzip();
        // Without a part between them, two of one connector can only be one sensor.
        let other = other.or_else(|| {
            let mut beside = cavities
                .iter()
                .filter(|c| c.connector == cavity.connector && c.id != cavity.id);
            let lone = beside.next().filter(|_| beside.next().is_none());
            lone.copied()
        });
        let told = other.filter(|o| cavity.limits.sensor_ohm.is_none() && o.limits.sensor_ohm.is_some());
        let (cavity, other) = match told {
            Some(told) => (told, Some(*cavity)),
            None => (*cavity, other),
        };
        found.push(Sensor {
            cavity,
            other,
            part,
            unit: connector.unit,
        });
    }
    found
}

/// The resistance inside that leads from a cavity to another of its unit.
fn across<'a>(book: &'a Book, cavity: &Cavity) -> Option<(&'a Part, &'a Cavity)> {
    let parts = book.index().parts_at.of(&Terminal::Cavity(cavity.id));
    parts.iter().find_map(|(part, _)| {
        let part: &Part = book.get(*part)?;
        let other = part.ends.iter().find_map(|end| match end {
            Terminal::Cavity(id) if *id != cavity.id => book.get(*id),
            _ => None,
        })?;
        matches!(part.kind, PartKind::Resistor { .. }).then_some((part, other))
    })
}

impl Sensor<'_> {
    /// Least and most it may have, Ω; else what is missing.
    ///
    /// # Errors
    /// The figure that its sheet should give.
    pub fn window(&self, room_c: Option<f64>) -> Result<(f64, f64), String> {
        let limits = &self.cavity.limits;
        let missing = |what: &str| format!("missing {what}, from the sensor's own sheet");
        let ohm = limits
            .sensor_ohm
            .ok_or_else(|| missing("the sensor's ohms at room temperature"))?;
        let per_k = limits
            .sensor_pct_per_k
            .ok_or_else(|| missing("what a kelvin changes of its ohms"))?;
        let off = limits.sensor_tolerance_pct.unwrap_or(TOLERANCE_PCT) / 100.0;
        let (cold, warm) = room_c.map_or(ROOM_C, |c| (c - NEAR_C, c + NEAR_C));
        let at_c = limits.sensor_at_c.unwrap_or(SENSOR_AT_C);
        // Compounded, as it is for NTC; for the few percent of a silicon or platinum sensor a straight line differs by little.
        let at = |celsius: f64| ohm * (per_k / 100.0 * (celsius - at_c)).exp();
        let (one, other) = (at(cold), at(warm));
        Ok((one.min(other) * (1.0 - off), one.max(other) * (1.0 + off)))
    }
}

/// Adds the tests: across the sensor, at its unit, plug off.
pub(super) fn tests(book: &Book, known: &Known, listed: &mut Listed) {
    for sensor in sensors(book) {
        let name = book.cavity_name(sensor.cavity.id);
        let Some(other) = sensor.other else {
            listed.untold.push(format!(
                "{name}: cannot tell: missing the sensor's other lead; an inside part between the two tells it"
            ));
            continue;
        };
        let expected = match sensor.window(known.room_c) {
            Ok((least, most)) => Expected::within(least - METER_OHM, most + METER_OHM),
            Err(missing) => Expected::CannotTell(missing),
        };
        let mut test = Test::ohms(
            TestKind::Sensor,
            sensor.cavity.id,
            End::Cavity(other.id),
            expected,
        );
        let room = known.room_c.map_or_else(
            || format!("{} to {} °C", ROOM_C.0, ROOM_C.1),
            |c| format!("{} to {} °C", c - NEAR_C, c + NEAR_C),
        );
        test.hint = format!("at {room}; both ways round, since silicon sensors have a polarity");
        listed.tests.push(test);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        measure::{Stage, listed},
        testing::Bench,
    };

    fn bench(ohm: Option<f64>, per_k: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        for number in ["5", "6"] {
            let cavity = bench.cavity("MT-A", number);
            bench.edit(cavity, |c: &mut Cavity| {
                c.kind = Some(SignalKind::TemperatureSensor)
            });
        }
        let cavity = bench.cavity("MT-A", "6");
        bench.edit(cavity, |c: &mut Cavity| {
            c.limits.sensor_ohm = ohm;
            c.limits.sensor_pct_per_k = per_k;
        });
        bench
    }

    fn expected(bench: &Bench, room_c: Option<f64>) -> Vec<String> {
        let known = Known {
            room_c,
            ..Known::default()
        };
        let see = bench.snapshot();
        let list = listed(&see, Stage::Parts, &known);
        let book = see.book();
        let told = |t: &Test| {
            let window = match &t.expected {
                Expected::CannotTell(why) => why.clone(),
                expected => format!("{:.0?}", expected.bounds()),
            };
            format!("{} {} {window}", book.cavity_name(t.at), t.against_words(book))
        };
        list.tests.iter().map(told).chain(list.untold.clone()).collect()
    }

    /// By hand, 10 kΩ ± 10 % that falls by 4.5 % a kelvin, from 25 °C: e^(0.675) and e^(−0.675) at 10 and 40 °C,
    /// e^(0.36) and e^(0.09) at 17 and 23 °C.
    #[test]
    fn an_ntc_is_wide_until_the_room_is_read() {
        let ntc = bench(Some(10_000.0), Some(-4.5));
        assert_eq!(expected(&ntc, None), ["MT-A6 MT-A5 (Some(4582), Some(21604))"]);
        assert_eq!(
            expected(&ntc, Some(20.0)),
            ["MT-A6 MT-A5 (Some(9847), Some(15767))"]
        );
    }

    #[test]
    fn what_the_sheet_does_not_tell_is_missing() {
        assert_eq!(
            expected(&bench(None, Some(0.8)), None),
            ["MT-A5 MT-A6 missing the sensor's ohms at room temperature, from the sensor's own sheet"]
        );
        assert_eq!(
            expected(&bench(Some(1000.0), None), None),
            ["MT-A6 MT-A5 missing what a kelvin changes of its ohms, from the sensor's own sheet"]
        );
    }

    #[test]
    fn a_lead_without_its_other_has_no_place() {
        let mut bench = bench(Some(1000.0), Some(0.8));
        let third = bench.cavity("MT-A", "7");
        bench.edit(third, |c: &mut Cavity| {
            c.kind = Some(SignalKind::TemperatureSensor)
        });
        let lines = expected(&bench, None);
        assert_eq!(lines.len(), 3, "{lines:?}");
        assert!(
            lines
                .iter()
                .all(|l| l.contains("cannot tell: missing the sensor's other lead"))
        );
        bench.resistor("temperature", 1000.0, &["MT-A5", "MT-A6"]);
        let lines = expected(&bench, None);
        assert_eq!(lines[0], "MT-A6 MT-A5 (Some(798), Some(1240))");
    }
}
