//! What `crimpbook volts` prints, as figures: once for both forms.

use crimpbook_core::network::Potential;
use crimpbook_record::volts::is_joined;
use crimpbook_workbook::{
    Book,
    analysis::{
        CavityVolts, CoilAt, CoilVolts, Load, Snapshot, StateResult,
        heat::WireWarmth,
        suppose::{FunctionVerdict, Supposed, WireVerdict},
    },
    book::{InOrder, natural},
    check::{SensorError, sensor_errors},
    circuit::Stand,
    model::{Cavity, Connector},
};
use serde_json::{Value, json};

/// One wire's figures.
pub struct WireFigures {
    pub label: String,
    /// From its `from` end to its `to` end, A.
    pub current_a: f64,
    /// Over copper, joints and contacts, without a fuse in line, V.
    pub drop_v: f64,
    /// None: no balance at all.
    pub conductor_c: Option<f64>,
    /// Of its insulation, for ever, °C; none: not told.
    pub class_c: Option<f64>,
    /// The air around it, °C; none: no zone tells.
    pub ambient_c: Option<f64>,
    /// The bundle it lies in and the factor it was computed with.
    pub bundle: Option<(String, f64)>,
}

/// All wires, in the order people look for them.
pub fn wires(see: &Snapshot, of: &StateResult) -> Vec<WireFigures> {
    let runs = see.wiring().wires.iter().enumerate();
    let mut all: Vec<WireFigures> = runs
        .map(|(at, run)| {
            let current_a = of.operated.wire_a(at);
            let conductor_c = of
                .temperatures
                .conductor_c
                .get(at)
                .copied()
                .filter(|c| c.is_finite());
            WireFigures {
                label: see.book().label_of(run.wire),
                current_a,
                drop_v: see.wire_drop_v(at, current_a, conductor_c.unwrap_or(20.0)),
                conductor_c,
                class_c: see.warmth().wires.get(at).and_then(WireWarmth::class_c),
                ambient_c: see.warmth().wires.get(at).and_then(|w| w.ambient_c),
                bundle: see.warmth().wires.get(at).and_then(|w| {
                    let factor = of.temperatures.factor.get(at).copied()?;
                    Some((see.book().label_of(w.bundle?.0), factor))
                }),
            }
        })
        .collect();
    all.order_by(|w| natural(&w.label));
    all
}

/// Connectors that have something to measure, with those cavities.
pub fn connectors(see: &Snapshot) -> Vec<(&Connector, Vec<&Cavity>)> {
    let mut all: Vec<&Connector> = see.book().all::<Connector>().values().collect();
    all.order_by(|c| natural(&c.label));
    let joined = |c: &Connector| -> Vec<&Cavity> {
        let cavities = see.book().cavities_of(c.id);
        cavities
            .into_iter()
            .filter(|cavity| is_joined(see, cavity))
            .collect()
    };
    all.into_iter()
        .map(|c| (c, joined(c)))
        .filter(|(_, cavities)| !cavities.is_empty())
        .collect()
}

/// Each unit's own ground above battery negative, V; highest first. Those that float are left out.
pub fn grounds(see: &Snapshot, of: &StateResult) -> Vec<(String, f64)> {
    let mut all: Vec<(String, f64)> = see
        .wiring()
        .grounds
        .keys()
        .filter_map(|unit| {
            let node = see.wiring().ground_of(*unit)?;
            Some((see.book().label_of(*unit), of.operated.volts(node).volts()?))
        })
        .collect();
    all.order_by(|(label, _)| natural(label));
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all
}

/// Any two units: the one whose ground stands higher, the other, V apart.
pub fn offsets(see: &Snapshot, of: &StateResult) -> Vec<(String, String, f64)> {
    let grounds = grounds(see, of);
    let mut all = Vec::new();
    for (n, (high, high_v)) in grounds.iter().enumerate() {
        let below = grounds.iter().skip(n + 1);
        all.extend(below.map(|(low, low_v)| (high.clone(), low.clone(), high_v - low_v)));
    }
    all.sort_by(|a, b| b.2.total_cmp(&a.2));
    all
}

/// Coils that are to pull in, in the order people look for them.
pub fn coils(see: &Snapshot, of: &StateResult) -> Vec<(String, CoilVolts)> {
    let coils = see.coils(of).into_iter();
    in_order_of_label(coils.map(|c| (see.book().label_of(c.part), c)).collect())
}

/// Sensors that are fed, with how wrong they are read, and by which cavity.
pub fn sensors(see: &Snapshot, of: &StateResult) -> Vec<(String, String, SensorError)> {
    let errors = sensor_errors(see, of).into_iter();
    let named = errors.map(|e| {
        let labels = (see.book().cavity_name(e.reader), e);
        (see.book().label_of(e.part), labels)
    });
    let all = in_order_of_label(named.collect());
    all.into_iter()
        .map(|(label, (reader, error))| (label, reader, error))
        .collect()
}

/// Outputs, references and contacts that carry something.
pub fn loads(see: &Snapshot, of: &StateResult) -> Vec<(String, Load)> {
    let loads = see.loads(of).into_iter();
    in_order_of_label(loads.map(|l| (see.book().label_of(l.part), l)).collect())
}

fn in_order_of_label<T>(mut all: Vec<(String, T)>) -> Vec<(String, T)> {
    all.order_by(|(label, _)| natural(label));
    all
}

/// What could not be derived, in sentences.
pub fn cannot_compute(see: &Snapshot, of: &StateResult) -> Vec<String> {
    let (book, wiring) = (see.book(), see.wiring());
    let mut all: Vec<String> = of
        .operated
        .trouble
        .iter()
        .map(|t| {
            format!(
                "a steady point: {}; the figures are not to be trusted",
                t.words(book)
            )
        })
        .collect();
    let mut some = |what: &str, mut labels: Vec<String>| {
        if !labels.is_empty() {
            labels.order_by(|l| natural(l));
            all.push(format!("{what}: {}", labels.join(", ")));
        }
    };
    let unsized_wires = wiring.wires.iter().filter(|run| run.conductor_ohm.is_none());
    some(
        "the resistance of these wires, size or length is missing (1 mΩ is taken)",
        unsized_wires.map(|run| book.label_of(run.wire)).collect(),
    );
    let warmth = wiring.wires.iter().zip(&see.warmth().wires);
    some(
        "the temperature of these wires, size or insulation class is missing (their ambient is taken)",
        warmth
            .clone()
            .filter(|(_, w)| w.alone.is_none())
            .map(|(run, _)| book.label_of(run.wire))
            .collect(),
    );
    some(
        "the ambient of these wires, no zone tells it (25 °C is taken)",
        warmth
            .filter(|(_, w)| w.ambient_c.is_none())
            .map(|(run, _)| book.label_of(run.wire))
            .collect(),
    );
    some(
        "these inside parts, an end is missing (left out)",
        wiring
            .crippled_parts
            .iter()
            .map(|id| book.label_of(*id))
            .collect(),
    );
    some(
        "the pull of these cavities, the rail it leads to is missing (left out)",
        wiring
            .unplaced_pulls
            .iter()
            .map(|id| book.cavity_name(*id))
            .collect(),
    );
    let untold = wiring
        .parts
        .iter()
        .filter(|run| of.stands.get(run.part) == Stand::Unknown);
    some(
        "these inside parts, the state does not say how they stand (taken as off)",
        untold.map(|run| book.label_of(run.part)).collect(),
    );
    let groundless = connectors(see)
        .into_iter()
        .map(|(c, _)| c.unit)
        .filter(|unit| wiring.ground_of(*unit).is_none());
    let mut groundless: Vec<String> = groundless.map(|unit| book.label_of(unit)).collect();
    groundless.sort();
    groundless.dedup();
    some(
        "voltages against the own ground of these units, none is wired",
        groundless,
    );
    all
}

/// The states.
pub fn states(book: &Book) -> Value {
    let one = |s: &crimpbook_workbook::model::State| json!({ "state": s.label, "words": s.words });
    json!({ "states": super::in_order(book).into_iter().map(one).collect::<Vec<_>>() })
}

/// Everything; with a fault, what lasts, and beside it what was.
pub fn whole(see: &Snapshot, of: &StateResult, supposed: Option<&Supposed>) -> Value {
    let now = supposed.map_or(of, |s| &s.lasting.result);
    let was = supposed.map(|_| of);
    let mut cavities = Vec::new();
    for (_, members) in connectors(see) {
        for cavity in members {
            let mut value = volts(see.cavity_volts(now, cavity.id));
            value["cavity"] = json!(see.book().cavity_name(cavity.id));
            if let Some(was) = was {
                value["without_fault"] = volts(see.cavity_volts(was, cavity.id));
            }
            cavities.push(value);
        }
    }
    let wire = |w: WireFigures| {
        let (bundle, factor) = w.bundle.unzip();
        json!({
            "wire": w.label, "current_a": w.current_a, "drop_v": w.drop_v, "conductor_c": w.conductor_c,
            "class_c": w.class_c, "ambient_c": w.ambient_c, "bundle": bundle, "bundle_factor": factor,
        })
    };
    let ground = |(unit, volts): (String, f64)| json!({ "unit": unit, "negative_v": volts });
    let at = |c: CoilAt| json!({ "coil_c": c.coil_c, "gets_v": c.gets_v, "pulls_in_from_v": c.needs_v });
    let coil = |(label, c): (String, CoilVolts)| json!({ "coil": label, "warm": at(c.warm), "cold": c.cold.map(at) });
    let load = |(label, l): (String, Load)| {
        json!({
            "part": label, "current_a": l.current_a, "most_a": l.most_a,
            "peak_a": l.peak.map(|(a, _)| a), "peak_s": l.peak.and_then(|(_, s)| s), "limited": l.limited,
        })
    };
    let sensor = |(label, reader, e): (String, String, SensorError)| {
        json!({
            "sensor": label, "reader": reader, "return_lift_v": e.lift_v, "error_at_rest_v": e.at_rest_v,
            "error_at_full_v": e.at_full_v, "span_v": e.span_v, "error_percent": e.percent(),
        })
    };
    let offset = |(above, below, volts): (String, String, f64)| json!({ "unit": above, "above": below, "offset_v": volts });
    json!({
        "state": see.book().label_of(of.state),
        "supply_v": of.supply_v,
        "fault": supposed.map(|s| fault(see, of, s)),
        "cavities": cavities,
        "wires": wires(see, now).into_iter().map(wire).collect::<Vec<_>>(),
        "grounds": grounds(see, now).into_iter().map(ground).collect::<Vec<_>>(),
        "coils": coils(see, now).into_iter().map(coil).collect::<Vec<_>>(),
        "loads": loads(see, now).into_iter().map(load).collect::<Vec<_>>(),
        "sensors": sensors(see, now).into_iter().map(sensor).collect::<Vec<_>>(),
        "ground_offsets": offsets(see, now).into_iter().map(offset).collect::<Vec<_>>(),
        "cannot_compute": cannot_compute(see, now),
    })
}

fn volts(volts: CavityVolts) -> Value {
    let (kind, negative) = match volts.negative {
        Potential::At(v) => ("held", json!(v)),
        Potential::Floating => ("floating", Value::Null),
        Potential::Unsteady { least_v, most_v } => ("unsteady", json!([least_v, most_v])),
    };
    json!({ "own_ground_v": volts.own_ground_v, "negative_v": negative, "potential": kind })
}

fn fault(see: &Snapshot, of: &StateResult, supposed: &Supposed) -> Value {
    let book = see.book();
    let opened = supposed
        .opened
        .iter()
        .map(|o| json!({ "fuse": book.label_of(o.fuse), "current_a": o.current_a }));
    json!({
        "what": supposed.failing.label(see),
        "how": supposed.failing.how(see),
        "at": supposed.at.map(|end| book.end_name(end)),
        "to": supposed.to,
        "short_at_first_a": supposed.first.short_a,
        "short_lasting_a": supposed.lasting.short_a,
        "opened": opened.collect::<Vec<_>>(),
        "wire_verdict": match supposed.wires(see, of) {
            WireVerdict::Safe => "safe",
            WireVerdict::Hurt { .. } => "hurt",
            WireVerdict::CannotTell(_) => "cannot_tell",
        },
        "depends_on_which_is_faster": supposed.racing(see),
        "function_verdict": match supposed.function() {
            FunctionVerdict::Unchanged => "unchanged",
            FunctionVerdict::Lost => "lost",
            FunctionVerdict::ActsByItself => "acts_by_itself",
        },
    })
}
