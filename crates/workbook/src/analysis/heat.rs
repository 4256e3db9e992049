//! How warm wires run in an operating state, and what that does to their resistance.

use std::collections::HashMap;

use crimpbook_core::{
    conductor::copper_factor,
    heat::{ThermalWire, WireHeat},
    quantity::Size,
    tables::{
        Source,
        bundle::bundle_factor,
        insulation::{InsulationRow, insulations},
    },
};

use crate::{
    Book,
    circuit::{Wiring, size_of, table_of},
    model::{About, Bundle, Cavity, Connector, End, Id, Junction, Unit, Wire, Zone},
};

/// A wire loaded above this share of its free-air current counts in its bundle.
const LOADED_SHARE: f64 = 0.2;
/// Below this share of the heat of its free-air current a wire's rise is so small that it is taken in proportion.
pub(super) const COOL_SHARE: f64 = 0.004;
/// Another round is worth while it moves a wire's drop by more than this, V.
const WORTH_V: f64 = 1e-4;
/// Taken for the resistance of a wire that finds no balance, °C; the checks say the rest.
const MOST_C: f64 = 400.0;
/// Ambient where no zone says one, °C; used for resistances only, never for a verdict.
const ROOM_C: f64 = 25.0;

/// What decides a wire's temperature, as far as the book tells.
#[derive(Debug, Clone)]
pub struct WireWarmth {
    /// Its heat figures alone in air; none: size or insulation class is not known.
    pub alone: Option<ThermalWire>,
    /// Current that brings it to its class alone in air, A.
    pub allowed_alone_a: f64,
    /// The hotter ambient of its ends, °C; none: no zone tells.
    pub ambient_c: Option<f64>,
    /// The bundle it lies in, with the builder's factor.
    pub bundle: Option<(Id<Bundle>, Option<f64>)>,
}

/// All wires' warmth, beside [`Wiring::wires`].
#[derive(Debug, Clone)]
pub struct Warmth {
    /// One a wire.
    pub wires: Vec<WireWarmth>,
}

/// Temperatures of one state.
#[derive(Debug, Clone, Default)]
pub struct Temperatures {
    /// Conductors, °C, beside [`Wiring::wires`].
    pub conductor_c: Vec<f64>,
    /// The bundle factor each was computed with.
    pub factor: Vec<f64>,
}

impl Temperatures {
    /// Factors on the copper's resistance at 20 °C.
    pub fn copper(&self) -> Vec<f64> {
        let warm = |c: &f64| copper_factor(if c.is_finite() { *c } else { MOST_C });
        self.conductor_c.iter().map(warm).collect()
    }
}

impl Warmth {
    /// Of a book's wires.
    pub fn of(book: &Book, wiring: &Wiring) -> Self {
        let mut known: HashMap<(String, u64, u64), (Option<ThermalWire>, f64)> = HashMap::new();
        let wires = wiring
            .wires
            .iter()
            .filter_map(|run| book.get(run.wire))
            .map(|wire| {
                let ambient_c = ambient_c(book, wire);
                let class_c = class_c(book, wire);
                let size = size_of(wire);
                let key = (
                    size.as_ref().map_or_else(String::new, Size::to_string)
                        + &format!("{:?}", wire.size_table),
                    ambient_c.unwrap_or(ROOM_C).to_bits(),
                    class_c.unwrap_or(0.0).to_bits(),
                );
                let (alone, allowed_alone_a) = known
                    .entry(key)
                    .or_insert_with(|| alone(book, wire, size, class_c, ambient_c.unwrap_or(ROOM_C)))
                    .clone();
                WireWarmth {
                    alone,
                    allowed_alone_a,
                    ambient_c,
                    bundle: wire
                        .bundle
                        .map(|id| (id, book.get(id).and_then(|b: &Bundle| b.factor))),
                }
            })
            .collect();
        Self { wires }
    }

    /// Factors on the copper's resistance of wires without current.
    pub fn idle(&self) -> Vec<f64> {
        let factor = |w: &WireWarmth| copper_factor(w.ambient_c.unwrap_or(ROOM_C));
        self.wires.iter().map(factor).collect()
    }

    /// The bundle factor of each wire at these currents: the builder's, else by the wires of the bundle that are loaded
    /// at the same time.
    pub fn factors(&self, currents_a: &[f64]) -> Vec<f64> {
        let mut loaded: HashMap<Id<Bundle>, usize> = HashMap::new();
        for (wire, current) in self.wires.iter().zip(currents_a) {
            if let Some((bundle, None)) = wire.bundle
                && current.abs() > LOADED_SHARE * wire.allowed_alone_a
            {
                *loaded.entry(bundle).or_default() += 1;
            }
        }
        let factor = |wire: &WireWarmth| match wire.bundle {
            None => 1.0,
            Some((_, Some(factor))) => factor,
            Some((bundle, None)) => {
                let count = loaded.get(&bundle).copied().unwrap_or(0);
                bundle_factor(count).map_or(1.0, |row| row.factor)
            }
        };
        self.wires.iter().map(factor).collect()
    }

    /// How many wires of this wire's bundle are loaded in a state.
    pub fn loaded_in(&self, at: usize, of: &super::StateResult) -> usize {
        let bundle = self.wires.get(at).and_then(|w| w.bundle).map(|(id, _)| id);
        let loaded = |(place, wire): &(usize, &WireWarmth)| {
            bundle.is_some()
                && wire.bundle.map(|(id, _)| id) == bundle
                && of.operated.wire_a(*place).abs() > LOADED_SHARE * wire.allowed_alone_a
        };
        self.wires.iter().enumerate().filter(loaded).count()
    }

    /// Temperatures at these currents.
    pub fn at(&self, currents_a: &[f64]) -> Temperatures {
        let factor = self.factors(currents_a);
        let conductor_c = self
            .wires
            .iter()
            .zip(currents_a)
            .zip(&factor)
            .map(|((wire, current), factor)| wire.conductor_c(*current, *factor))
            .collect();
        Temperatures { conductor_c, factor }
    }

    /// Sets the factors on copper's resistance to these currents; whether that moves any drop worth another round.
    pub fn warm(&self, wiring: &Wiring, currents_a: &[f64], copper: &mut [f64]) -> bool {
        let temperatures = self.at(currents_a);
        let mut moved = false;
        let wires = wiring.wires.iter().zip(currents_a).zip(temperatures.conductor_c);
        for ((run, current), (conductor_c, factor)) in wires.zip(copper).map(|((rc, t), f)| (rc, (t, f))) {
            let next = copper_factor(if conductor_c.is_finite() {
                conductor_c
            } else {
                MOST_C
            });
            let drop_v = (next - *factor).abs() * run.conductor_ohm.unwrap_or(0.0) * current.abs();
            moved |= drop_v > WORTH_V;
            *factor = next;
        }
        moved
    }
}

impl WireWarmth {
    /// Conductor temperature at a current, °C; the ambient where size or class is not known.
    pub fn conductor_c(&self, current_a: f64, factor: f64) -> f64 {
        let ambient_c = self.ambient_c.unwrap_or(ROOM_C);
        let Some(alone) = &self.alone else {
            return ambient_c;
        };
        let share = (current_a / (factor * self.allowed_alone_a)).powi(2);
        if share < COOL_SHARE {
            return ambient_c + share * (alone.heat.insulation.class_c - ambient_c).max(0.0);
        }
        WireHeat {
            bundle_factor: factor,
            ..alone.heat
        }
        .steady(current_a)
        .conductor_c()
    }

    /// Its class for ever, °C.
    pub fn class_c(&self) -> Option<f64> {
        self.alone.as_ref().map(|w| w.heat.insulation.class_c)
    }
}

fn alone(
    book: &Book,
    wire: &Wire,
    size: Option<Size>,
    class_c: Option<f64>,
    ambient_c: f64,
) -> (Option<ThermalWire>, f64) {
    let thermal = size.zip(class_c).and_then(|(size, class_c)| {
        let row = insulation_row(book, class_c)?;
        let mut thermal = ThermalWire::from_tables(&size, table_of(book, wire), row, ambient_c, 1.0);
        thermal.heat.insulation.class_c = class_c;
        thermal.heat.is_sound().then_some(thermal)
    });
    let allowed = thermal.as_ref().map_or(f64::INFINITY, |t| {
        t.heat.allowed_current_a(t.heat.insulation.class_c)
    });
    (thermal, allowed)
}

/// The row of the book's insulation material with this class; else of that material; else the usual vehicle wire.
pub(super) fn insulation_row(book: &Book, class_c: f64) -> Option<&'static InsulationRow> {
    let material = book
        .all::<About>()
        .values()
        .next()
        .map(|a| a.insulation.trim().to_lowercase())
        .unwrap_or_default();
    let named = |row: &&InsulationRow| !material.is_empty() && row.name.starts_with(material.as_str());
    let of_class = |row: &&InsulationRow| (row.class_c - class_c).abs() < 0.5;
    let rows = insulations();
    rows.iter()
        .find(|r| named(r) && of_class(r))
        .or_else(|| rows.iter().find(named))
        .or_else(|| rows.iter().find(of_class))
        .or_else(|| rows.first())
}

/// Insulation class of a wire, °C for ever: its own, else the book's.
pub fn class_c(book: &Book, wire: &Wire) -> Option<f64> {
    let about = || book.all::<About>().values().next()?.insulation_class_c;
    wire.insulation_class_c.or_else(about)
}

/// The hotter ambient of a wire's two ends, °C.
pub fn ambient_c(book: &Book, wire: &Wire) -> Option<f64> {
    let ambient = |end| zone_at(book, end).and_then(|zone| book.get(zone)?.ambient_c);
    match (ambient(wire.from), ambient(wire.to)) {
        (Some(from), Some(to)) => Some(from.max(to)),
        (from, to) => from.or(to),
    }
}

/// The zone at an end of a wire.
pub fn zone_at(book: &Book, end: End) -> Option<Id<Zone>> {
    let of_unit = |unit: Id<Unit>| book.get(unit).and_then(|u| u.zone);
    match end {
        End::Cavity(id) => {
            let connector = book.get(id).map(|c: &Cavity| c.connector)?;
            of_unit(book.get(connector).map(|c: &Connector| c.unit)?)
        }
        End::Junction(id) => {
            let junction: &Junction = book.get(id)?;
            junction.zone.or_else(|| of_unit(junction.unit?))
        }
        End::Free => None,
    }
}

/// What the temperatures rest on, for a finding's source.
pub fn basis(wire: &WireWarmth) -> Vec<Source> {
    wire.alone.as_ref().map(|w| w.basis.clone()).unwrap_or_default()
}
