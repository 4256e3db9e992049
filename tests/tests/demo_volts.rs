//! The voltages that the demonstration's plan expects at MC-A, written by hand, against what its wiring gives in each state.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use crimpbook_workbook::{
    Book,
    circuit::{Operated, Stands, Wiring, operate},
    model::{Cavity, Id, State, Unit, Wire},
};

/// Cavity, state, least and most volts (neither: it floats), note.
type Planned = (String, String, Option<f64>, Option<f64>, String);

struct Bench {
    book: Book,
    wiring: Wiring,
}

impl Bench {
    fn new() -> Self {
        let mut book = Book::default();
        let entries = crimpbook_record::demo::entries().expect("the demo plays");
        // As it was made: the story's changes are not in the plan's table.
        book.apply(&entries[0]).expect("it applies");
        let wiring = Wiring::of(&book);
        Self { book, wiring }
    }

    fn operate(&self, state: &str) -> Operated {
        let id = self.book.index().labelled::<State>(state).expect("a state");
        let state = self.book.get(id).expect("a state");
        let stands = Stands::of(&self.book, state);
        let cold = vec![1.0; self.wiring.wires.len()];
        let supply_v = state.supply_v.unwrap_or(12.6);
        let operated = operate(&self.book, &self.wiring, &stands, supply_v, cold, |_, _| false)
            .expect("it has a solution");
        assert_eq!(operated.trouble, [], "{}", state.label);
        operated
    }

    /// Volts of a cavity above MC's own ground; none: it floats.
    fn at_mc(&self, operated: &Operated, cavity: &str) -> Option<f64> {
        let id: Id<Cavity> = self.book.find_cavity(cavity).expect("a cavity");
        let ground = self.book.index().labelled::<Unit>("MC").expect("a unit");
        let ground = self.wiring.ground_of(ground).expect("MC has a ground");
        operated.between(self.wiring.nodes.unit_side(id)?, ground)
    }

    fn wire_a(&self, operated: &Operated, wire: &str) -> f64 {
        let id = self.book.index().labelled::<Wire>(wire).expect("a wire");
        operated.wire_a(self.wiring.wire_at(id).expect("it is in the circuit"))
    }
}

#[test]
fn each_state_gives_the_voltages_that_were_planned_at_mc_a() {
    let bench = Bench::new();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo/expected-volts.csv");
    let mut table = csv::Reader::from_path(path).expect("the table is there");
    let rows: Vec<Planned> = table.deserialize().map(|row| row.expect("a row")).collect();
    let states: BTreeSet<&str> = rows.iter().map(|row| row.1.as_str()).collect();
    let operated: BTreeMap<&str, Operated> = states.into_iter().map(|s| (s, bench.operate(s))).collect();
    let mut wrong = Vec::new();
    for (cavity, state, least, most, note) in &rows {
        let volts = bench.at_mc(&operated[state.as_str()], cavity);
        let fits = match (volts, least, most) {
            (Some(volts), Some(least), Some(most)) => (*least..=*most).contains(&volts),
            (None, None, None) => true,
            _ => false,
        };
        if !fits {
            wrong.push(format!(
                "{cavity} in {state}: {volts:?}, planned {least:?} to {most:?} {note}"
            ));
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    assert_eq!(rows.len(), 288, "every planned voltage of the table");
}

/// The plan names currents of the main leads from experience; the circuit arrives at them by itself.
#[test]
fn the_converter_carries_the_loads_and_charges_the_battery() {
    let bench = Bench::new();
    let drive = bench.operate("DRIVE");
    let (converter_a, battery_a) = (bench.wire_a(&drive, "W03"), bench.wire_a(&drive, "W01"));
    assert!((26.0..30.0).contains(&converter_a), "planned 28 A: {converter_a}");
    assert!(
        (-24.0..-20.0).contains(&battery_a),
        "planned 22 A into the battery: {battery_a}"
    );
    let brake = bench.operate("BRAKE");
    assert!(bench.wire_a(&brake, "W03") < 32.0 + 1e-6, "the converter's limit");
    assert!((bench.wire_a(&brake, "W76") - 9.0).abs() < 0.01);
}
