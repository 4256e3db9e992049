//! Fault finding put to the test on an invented vehicle that is not quite as planned: its contacts, lengths and battery
//! are drawn, a single fault is put into it and solved anew (never by update of the plan's network), units do what their
//! expressions say, and a meter with an error of its own reads it.

use std::{collections::HashMap, sync::OnceLock};

use crimpbook_core::{
    network::Condition,
    rule::{Expr, Statement, parse},
};
use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Reads, Supposed, Touch, WireVerdict, reads},
        suspects::{Inquiry, Signatures, Symptom, Watch, next_places, suspects},
    },
    model::*,
    rules::{Meaning, meaning},
};

#[path = "draw.rs"]
mod draw;
#[path = "tally.rs"]
mod tally;

pub use draw::Draw;
pub use tally::{Tally, Went};

/// The demo's records.
const DEMO: &str = include_str!("../../../demo/marrowby-pipit.json");

fn records() -> Vec<Record> {
    static READ: OnceLock<Vec<Record>> = OnceLock::new();
    READ.get_or_init(read).clone()
}

fn read() -> Vec<Record> {
    let mut value: serde_json::Value = serde_json::from_str(DEMO).expect("the demo is JSON");
    let lists: RecordLists = serde_json::from_value(value["records"].take()).expect("its records read");
    lists.into_records()
}

fn book_of(records: impl IntoIterator<Item = Record>) -> Book {
    let mut tables = Tables::default();
    records.into_iter().for_each(|record| tables.put(record));
    Book::from_tables(tables, None)
}

/// The plan.
pub fn plan() -> Snapshot {
    Snapshot::of(&book_of(records()))
}

/// What the battery is read at, V; it may be 0.05 V off.
const READ_V: f64 = 12.5;

/// The vehicle as it was built, in one state.
struct Real {
    records: Vec<Record>,
    state: Id<State>,
}

impl Real {
    fn of(plan: &Snapshot, state: Id<State>, draw: &mut Draw) -> Self {
        // Relays do what their coils' voltage makes them do, whatever the state says of them.
        let follows = |id: Id<Part>| {
            plan.book().get(id).is_some_and(|part: &Part| {
                matches!(
                    part.kind,
                    PartKind::Coil { .. }
                        | PartKind::Contact {
                            driver: Driver::Coil { .. },
                            ..
                        }
                )
            })
        };
        let supply_v = READ_V + draw.between(-0.05, 0.05);
        let mut all = Vec::new();
        for record in records() {
            all.push(match record {
                Record::State(mut row) if row.id == state => {
                    row.supply_v = Some(supply_v);
                    row.parts.retain(|p| !follows(p.part));
                    Record::State(row)
                }
                Record::State(_) => continue,
                Record::Wire(mut row) => {
                    row.length_m = row.length_m.map(|m| m * draw.between(0.95, 1.05));
                    Record::Wire(row)
                }
                Record::ContactFamily(mut row) => {
                    row.resistance_ohm = Some(draw.between(0.002, 0.015));
                    Record::ContactFamily(row)
                }
                other => other,
            });
        }
        Self { records: all, state }
    }

    fn snapshot(&self) -> Snapshot {
        Snapshot::of(&book_of(self.records.iter().cloned()))
    }

    /// Burns through the wire that carries too much for good, if any: it is gone, and what touches goes on touching. Told in
    /// records, so that nothing of it comes from the fault finding.
    fn burn(&mut self, see: &Snapshot, of: &StateResult, supposed: &Supposed) -> bool {
        let WireVerdict::Hurt {
            wire: burnt,
            fuse_s: None,
            ..
        } = supposed.wires(see, of)
        else {
            return false;
        };
        let opened: Vec<Id<Fuse>> = supposed.opened.iter().map(|o| o.fuse).collect();
        let in_wires = see.book().all::<Wire>().values();
        let in_wires = in_wires.filter_map(|w| w.inline_fuse.as_ref());
        let in_wires: Vec<Id<Fuse>> = in_wires.map(|f| f.fuse).collect();
        let (Some(at), Failing::Wire(_, touch)) = (supposed.at, supposed.failing) else {
            return false;
        };
        let Some(like): Option<&Wire> = see.book().get(burnt) else {
            return false;
        };
        let to = match touch {
            Touch::Supply => "PB-STUD",
            _ => supposed.to.as_str(),
        };
        let Some(to) = see.book().index().labelled::<Junction>(to) else {
            return false;
        };
        if opened.iter().any(|fuse| !in_wires.contains(fuse)) {
            return false;
        }
        self.records.retain(|record| match record {
            Record::Wire(row) => {
                row.id != burnt && row.inline_fuse.as_ref().is_none_or(|f| !opened.contains(&f.fuse))
            }
            _ => true,
        });
        // About a milliohm.
        self.records.push(Record::Wire(Wire {
            id: Id::from_bits(u128::MAX),
            label: "touch".to_owned(),
            from: at,
            to: End::Junction(to),
            area_mm2: Some(2.5),
            size_written: String::new(),
            size_table: None,
            length_m: Some(0.14),
            bundle: None,
            inline_fuse: None,
            fuse: None,
            ..like.clone()
        }));
        true
    }

    /// Sets what a unit drives.
    fn drive(&mut self, part: Id<Part>, on: bool) {
        let position = if on { PartPosition::On } else { PartPosition::Off };
        for record in &mut self.records {
            if let Record::State(row) = record {
                row.parts.retain(|p| p.part != part);
                row.parts.push(PartSetting {
                    part,
                    position,
                    assumed: false,
                });
            }
        }
    }
}

/// What an expression says of a circuit; none: an input is between its thresholds.
fn says(see: &Snapshot, of: &StateResult, expr: &Expr) -> Option<bool> {
    let book = see.book();
    let named = |name: &str, position: Option<&str>| -> Option<bool> {
        match meaning(book, name)? {
            Meaning::Switch(id) => {
                let state = book.get(of.state)?;
                let at = state
                    .switches
                    .iter()
                    .find(|s| s.switch == id)
                    .map(|s| s.position.clone());
                let at = at.or_else(|| book.get(id)?.positions.first().cloned());
                Some(at.as_deref() == position)
            }
            Meaning::Cavity(id) => {
                let volts = see.cavity_volts(of, id).own_ground_v;
                match reads(&book.get(id)?.limits, volts)? {
                    Reads::On => Some(true),
                    Reads::Off => Some(false),
                    Reads::Undefined => None,
                }
            }
            Meaning::Expression(id) => says(see, of, &expression(&book.get(id)?.text)?),
            Meaning::Part(_) => None,
        }
    };
    match expr {
        Expr::Name(name) => named(name, None),
        Expr::Is { name, position } => named(name, Some(position)),
        Expr::Not(inner) => says(see, of, inner).map(|on| !on),
        Expr::And(all) => {
            let all: Vec<Option<bool>> = all.iter().map(|e| says(see, of, e)).collect();
            if all.contains(&Some(false)) {
                Some(false)
            } else {
                all.into_iter().try_fold(true, |_, on| on)
            }
        }
        Expr::Or(any) => {
            let any: Vec<Option<bool>> = any.iter().map(|e| says(see, of, e)).collect();
            if any.contains(&Some(true)) {
                Some(true)
            } else {
                any.into_iter().try_fold(false, |_, on| on)
            }
        }
    }
}

fn expression(text: &str) -> Option<Expr> {
    match parse(text).ok()? {
        Statement::Plain(expr) | Statement::Define { expr, .. } => Some(expr),
        Statement::Never(_) => None,
    }
}

/// Outputs and sources with the expressions that drive them.
fn driven(see: &Snapshot) -> Vec<(Id<Part>, Expr)> {
    let parts = see.book().all::<Part>().values();
    let driven = parts.filter_map(|part| match &part.kind {
        PartKind::Output { when, .. } | PartKind::Source { when, .. } if !when.is_empty() => {
            Some((part.id, expression(when)?))
        }
        _ => None,
    });
    driven.collect()
}

/// The circuit with the fault, once units have done what they do about it; and whether they did anything.
fn settled(real: &mut Real, failing: Option<Failing>) -> Option<(Snapshot, StateResult)> {
    let mut healthy: HashMap<Id<Part>, bool> = HashMap::new();
    let see = real.snapshot();
    for (part, expr) in driven(&see) {
        let of = see.state(real.state)?;
        let state = see.book().get(real.state)?;
        let position = state.parts.iter().find(|p| p.part == part).map(|p| p.position);
        let on = position == Some(PartPosition::On);
        if says(&see, of, &expr) == Some(on) {
            healthy.insert(part, on);
        }
    }
    let mut failing = failing;
    for _ in 0..7 {
        let see = real.snapshot();
        let of = see.state(real.state)?;
        let result = match failing {
            Some(one) => {
                let supposed = see.suppose(of, one).ok()?;
                if real.burn(&see, of, &supposed) {
                    // From here on the records themselves have the fault.
                    failing = None;
                    continue;
                }
                supposed.lasting.result
            }
            None => of.clone(),
        };
        let mut changed = false;
        for (part, expr) in driven(&see) {
            let Some(on) = healthy.get(&part).copied() else {
                continue;
            };
            if let Some(now) = says(&see, &result, &expr).filter(|now| *now != on) {
                healthy.insert(part, now);
                real.drive(part, now);
                changed = true;
            }
        }
        if !changed {
            return Some((see, result));
        }
    }
    None
}

/// Whether what is watched is on in a circuit, beside its current without the fault.
fn is_on(see: &Snapshot, of: &StateResult, watch: Watch, usual_a: f64) -> Option<bool> {
    let at = match watch {
        Watch::Does(id) => return says(see, of, &expression(&see.book().get(id)?.text)?),
        Watch::Fuse(_) => return None,
        Watch::Part(at) => at,
    };
    let works = of.operated.part_a(at).abs() > (0.2 * usual_a.abs()).max(0.005);
    Some(match of.operated.condition(at) {
        Some(Condition::PulledIn) => true,
        Some(Condition::DroppedOut | Condition::Open | Condition::Starved | Condition::Collapsed) | None => {
            false
        }
        _ => works,
    })
}

/// A fault of the trial: where it shows, and what it shows there.
pub struct Case {
    pub name: String,
    pub failing: Failing,
    pub state: Id<State>,
    pub symptoms: Vec<Symptom>,
    real: (Snapshot, StateResult),
    noise: Draw,
}

/// The states in which a person looks for a fault, the usual ones first.
const STATES: &[&str] = &[
    "DRIVE",
    "BRAKE",
    "CHARGE",
    "REVERSE",
    "PRECHARGE",
    "KEY",
    "STOP",
    "OFF",
];

/// Faults by seed that somebody would notice in some state.
pub fn cases(plan: &Snapshot, all: &mut All, count: usize, seed: u64) -> Vec<Case> {
    let mut draw = Draw::new(seed);
    let mut faults = Failing::all(plan);
    let mut cases = Vec::new();
    while cases.len() < count && !faults.is_empty() {
        let failing = faults.swap_remove(draw.below(faults.len()));
        if let Some(case) = noticed(plan, all, failing, &mut draw) {
            cases.push(case);
        }
    }
    cases
}

/// A fault in a vehicle by lot, in the first state in which somebody notices it.
pub fn noticed(plan: &Snapshot, all: &mut All, failing: Failing, draw: &mut Draw) -> Option<Case> {
    for label in STATES {
        let Some(state) = plan.book().index().labelled::<State>(label) else {
            continue;
        };
        let mut real = Real::of(plan, state, draw);
        let (healthy_see, healthy) = settled(&mut real, None)?;
        let mut real = Real { ..real };
        let Some((see, result)) = settled(&mut real, Some(failing)) else {
            continue;
        };
        let of = all.of(plan, state, Some(READ_V));
        let (mut turned, mut changed) = (Vec::new(), false);
        for (at, watched) in of.watched.iter().enumerate() {
            let usual_a = match watched.watch {
                Watch::Part(part) => healthy.operated.part_a(part),
                _ => 0.0,
            };
            let usual = is_on(&healthy_see, &healthy, watched.watch, 0.0);
            let now = is_on(&see, &result, watched.watch, usual_a);
            if let (Some(usual), Some(now)) = (usual, now) {
                // Whoever stands beside it also knows what goes on as ever.
                turned.push(Symptom { watched: at, on: now });
                changed |= usual != now;
            }
        }
        if !changed {
            continue;
        }
        return Some(Case {
            name: format!("{} in {label}", failing.typed(plan)),
            failing,
            state,
            symptoms: turned,
            real: (see, result),
            noise: Draw::new(draw.next()),
        });
    }
    None
}

/// What faults show, kept by state and supply.
#[derive(Default)]
pub struct All(HashMap<(Id<State>, Option<u64>), std::sync::Arc<Signatures>>);

impl All {
    pub fn of(
        &mut self,
        plan: &Snapshot,
        state: Id<State>,
        supply_v: Option<f64>,
    ) -> std::sync::Arc<Signatures> {
        let key = (state, supply_v.map(f64::to_bits));
        let made = || {
            let of = plan.state(state).expect("it is solved");
            plan.signatures(of, supply_v).expect("it is computed")
        };
        std::sync::Arc::clone(self.0.entry(key).or_insert_with(made))
    }
}

impl Case {
    /// What the meter shows at a place.
    fn read(&mut self, of: &Signatures, place: usize) -> f64 {
        let (see, result) = &self.real;
        let nodes = &see.wiring().nodes;
        let side = |id| nodes.wire_side(id).or_else(|| nodes.unit_side(id));
        let place = &of.places[place];
        let ground = match place.against {
            End::Cavity(id) => side(id),
            End::Junction(id) => nodes.junction(id),
            End::Free => see.wiring().reference,
        };
        let volts = side(place.at)
            .zip(ground)
            .and_then(|(at, ground)| result.operated.between(at, ground));
        // What floats is pulled to about nothing by the meter.
        let volts = volts.unwrap_or_else(|| self.noise.between(-0.1, 0.2));
        let off = self.noise.between(-0.004, 0.004) * volts + self.noise.between(-0.02, 0.02);
        ((volts + off) * 100.0).round() / 100.0
    }
}

/// Looks for the fault with so many readings, where the program sends, or at places by lot.
pub fn look_for(
    plan: &Snapshot,
    all: &mut All,
    case: &mut Case,
    most: usize,
    battery: bool,
    lot: bool,
) -> Went {
    let of = all.of(plan, case.state, battery.then_some(READ_V));
    let mut inquiry = Inquiry {
        symptoms: case.symptoms.clone(),
        ..Inquiry::default()
    };
    let (mut ranks, mut lines) = (Vec::new(), Vec::new());
    let mut alike;
    let mut draw = case.noise.clone();
    loop {
        let found = suspects(&of, &inquiry);
        let is = |at: usize| of.faults[at].failing == case.failing;
        let rank = found.suspects.iter().position(|s| is(s.fault));
        let on = found
            .lines
            .iter()
            .position(|l| l.suspects.iter().any(|s| is(found.suspects[*s].fault)));
        alike = on.map_or(0, |on| found.lines[on].suspects.len());
        lines.push(on);
        let open = found.cannot.iter().chain(&found.ruining).any(|at| is(*at));
        ranks.push(rank.or_else(|| open.then_some(usize::MAX)));
        if inquiry.readings.len() >= most {
            break;
        }
        let place = if lot {
            loop {
                let place = draw.below(of.places.len());
                if !of.places[place].untold && inquiry.readings.iter().all(|(read, _)| *read != place) {
                    break Some(place);
                }
            }
        } else {
            next_places(&of, &inquiry, &found, 1)
                .first()
                .map(|next| next.place)
        };
        let Some(place) = place else { break };
        let volts = case.read(&of, place);
        inquiry.readings.push((place, volts));
    }
    Went { ranks, lines, alike }
}
