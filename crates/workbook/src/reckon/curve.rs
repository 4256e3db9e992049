//! What the curve of a pedal's track is drawn from: what the workbook holds of it, and what it lacks.

use crimpbook_core::reckon::{FaultWindow, Pedal, demand, shaped};

use super::{Calculator, Subject, pedal::PEDAL, shape::SHAPE};
use crate::analysis::Snapshot;

/// A track from the volts at its input to demand, as far as it is known. Nothing usual is put in place of what nobody said.
#[derive(Debug, Clone, PartialEq)]
pub struct PedalCurve {
    /// Where it is read (`MC-A10 (PEDAL 1)`).
    pub label: String,
    /// What is known: what it is, its value, from where.
    pub known: Vec<(&'static str, String, String)>,
    /// What nobody has said, in words.
    pub missing: Vec<&'static str>,
    /// Its travel and dead bands; none: rest or full is missing, and it cannot be drawn.
    pub pedal: Option<Pedal>,
    /// Its fault limits.
    pub window: FaultWindow,
    /// The exponent that shapes what the dead bands leave.
    pub exponent: Option<f64>,
    /// What feeds the sensor, V.
    pub supply_v: Option<f64>,
}

/// What of the pedal calculator makes the curve; the rest is about broken wires.
const DRAWN: &[&str] = &[
    "rest",
    "full",
    "dead-low",
    "dead-high",
    "low-fault",
    "high-fault",
    "supply",
];

/// The curve of every track that the workbook has a reader for, in the order in which people count.
pub fn pedal_curves(see: &Snapshot) -> Vec<PedalCurve> {
    let shapes = SHAPE.subjects(see);
    let tracks = PEDAL.subjects(see).into_iter();
    tracks
        .map(|track| {
            let shape = shapes.iter().find(|shape| shape.cavity == track.cavity);
            curve(&track, shape)
        })
        .collect()
}

fn curve(track: &Subject, shape: Option<&Subject>) -> PedalCurve {
    let mut made = PedalCurve {
        label: track.label.clone(),
        known: Vec::new(),
        missing: Vec::new(),
        pedal: None,
        window: FaultWindow::default(),
        exponent: None,
        supply_v: None,
    };
    let mut figure = |of: &Calculator, subject: Option<&Subject>, name: &str| {
        let input = of.inputs.iter().find(|input| input.name == name)?;
        let given = subject.and_then(|s| s.given.iter().find(|g| g.input == name));
        let read = given.and_then(|given| Some((given, input.read(&given.text).ok().flatten()?)));
        match read {
            Some((given, value)) => {
                made.known
                    .push((input.words, given.text.clone(), given.from.clone()));
                Some(value)
            }
            None => {
                made.missing.push(input.words);
                None
            }
        }
    };
    let values: Vec<Option<f64>> = DRAWN
        .iter()
        .map(|name| figure(&PEDAL, Some(track), name))
        .collect();
    made.exponent = figure(&SHAPE, shape, "exponent");
    let value = |name: &str| {
        let at = DRAWN.iter().position(|known| *known == name)?;
        values.get(at).copied().flatten()
    };
    let share = |name: &str| value(name).map_or(0.0, |percent| percent / 100.0);
    made.window = FaultWindow {
        low_v: value("low-fault"),
        high_v: value("high-fault"),
    };
    made.supply_v = value("supply");
    made.pedal = value("rest").zip(value("full")).map(|(rest_v, full_v)| Pedal {
        rest_v,
        full_v,
        dead_low: share("dead-low"),
        dead_high: share("dead-high"),
    });
    made
}

impl PedalCurve {
    /// Demand at a voltage, from 0 to 1: dead bands taken out, then shaped. None: it cannot be told, or the dead bands leave
    /// nothing between them.
    pub fn demand(&self, volts: f64) -> Option<f64> {
        let straight = demand(self.pedal.as_ref()?, volts)?;
        Some(
            self.exponent
                .map_or(straight, |exponent| shaped(straight, exponent)),
        )
    }
}
