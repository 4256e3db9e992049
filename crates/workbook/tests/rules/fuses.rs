//! Which fuse opens, where something that is easily left out decides: a small load, one beside what draws the same power, one that has
//! another fuse open first, a source that loads its own fuse alone. Each book is held against whole circuits solved one by one.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, suppose::OPENS_AT},
    model::{End, Fuse, Junction, Rule, Tables},
    rules::{Broken, Fault, Verdict},
};
use serde_json::{Value, json};

use crate::apart::{self, Apart, Combination};

/// The fuse by which the resistance of a short is chosen, A.
const RATING_A: f64 = 0.2;

fn part(label: &str, kind: Value, ends: [Value; 2]) -> Value {
    json!({"id": id('t', label), "unit": "xpb", "label": label, "kind": kind, "ends": ends})
}

/// An id of our own making by a label.
fn id(kind: char, label: &str) -> String {
    let label = label.to_lowercase().replace(['i', 'l', 'o', 'u'], "9");
    format!("x{kind}{}", label.replace(' ', ""))
}

fn at(junction: &str) -> Value {
    json!({ "junction": junction })
}

fn inside(node: &str) -> Value {
    json!({"inner": {"unit": "xpb", "node": node}})
}

fn fuse(label: &str, rating_a: f64) -> Value {
    json!({"id": id('f', label), "label": label, "rating_a": rating_a, "kind": "blade", "cold_ohm": 0.001})
}

fn way(label: &str, ends: [Value; 2]) -> Value {
    let kind = json!({"fuse_way": {"fuse": id('f', label)}});
    part(&format!("{label} way"), kind, ends)
}

fn resistor(label: &str, ohm: f64, ends: [Value; 2]) -> Value {
    part(label, json!({"resistor": {"ohm": ohm}}), ends)
}

/// A load from a point to ground that s1 switches on.
fn switched_load(from: &str, ohm: f64) -> Vec<Value> {
    let driver = json!({"switch": {"switch": "xss1", "operated_in": ["on"]}});
    let contact = json!({"contact": {"ohm": 0.01, "form": "normally_open", "driver": driver}});
    vec![
        part("c1", contact, [at(from), inside("m1")]),
        resistor("load", ohm, [inside("m1"), at("g1")]),
    ]
}

/// A battery, points A to C, CV-A1 that reads at A and CV-A2 at C, and WT that is to touch chassis, behind `short_ohm` at B.
struct Small {
    fuses: Vec<Value>,
    parts: Vec<Value>,
    rule: &'static str,
    on_above_v: f64,
    short_ohm: f64,
}

impl Small {
    fn tables(&self) -> Tables {
        let limits = json!({"on_above_v": self.on_above_v, "off_below_v": self.on_above_v - 0.5});
        let cavity = |id: &str, connector: &str, number: &str| json!({"id": id, "connector": connector, "number": number, "decision": "wired"});
        let input = |id: &str, number: &str| json!({"id": id, "connector": "xcva", "number": number, "kind": "digital_in_high", "limits": limits, "decision": "wired"});
        let cavity_end = |cavity: &str| json!({ "cavity": cavity });
        let wire = |label: &str, from: Value, to: Value| json!({"id": id('w', label), "label": label, "from": from, "to": to, "area_mm2": 50.0, "length_m": 0.01});
        let stud = |id: &str, kind: &str| json!({"id": id, "label": id.to_uppercase(), "kind": kind});
        let mut parts = vec![
            part("battery", json!({"source": {"ohm": 0.011}}), [at("bp"), at("bn")]),
            resistor("short", self.short_ohm, [at("pb"), cavity_end("xcpb1")]),
        ];
        for cavity in ["xccv1", "xccv2"] {
            parts.push(resistor(
                &format!("pull {cavity}"),
                1e6,
                [cavity_end(cavity), cavity_end("xccv9")],
            ));
        }
        parts.extend(self.parts.iter().cloned());
        apart::tables(json!({"records": {
            "about": [{"id": "page", "vehicle": "small", "reference": "bn", "supply": {"least_v": 10.5, "nominal_v": 12.6, "most_v": 15.5}}],
            "units": [{"id": "xpb", "label": "PB", "name": "PB"}, {"id": "xcv", "label": "CV", "name": "CV"}],
            "connectors": [{"id": "xpba", "unit": "xpb", "label": "PB-A"}, {"id": "xcva", "unit": "xcv", "label": "CV-A"}],
            "cavities": [
                cavity("xcpb1", "xpba", "1"), cavity("xccv8", "xcva", "8"), json!({"id": "xccv9", "connector": "xcva", "number": "9", "kind": "ground", "decision": "wired"}),
                input("xccv1", "1"), input("xccv2", "2"),
            ],
            "junctions": [stud("bp", "stud"), stud("bn", "stud"), stud("pa", "stud"), stud("pb", "stud"), stud("pc", "stud"), stud("g1", "ground_stud")],
            "chassis_paths": [{"id": "xpath", "from": at("g1"), "to": at("bn"), "resistance_ohm": 0.002}],
            "fuses": self.fuses,
            "switches": [{"id": "xss1", "label": "s1", "kind": "switch", "positions": ["off", "on"]}],
            "parts": parts,
            "wires": [
                wire("WT", cavity_end("xcpb1"), cavity_end("xccv8")),
                wire("WG", cavity_end("xccv9"), at("g1")),
                wire("W1", at("pa"), cavity_end("xccv1")),
                wire("W2", at("pc"), cavity_end("xccv2")),
            ],
            "rules": [{"id": "xrr1", "label": "R1", "words": self.rule, "text": self.rule, "rests_on": "wiring"}],
        }}))
    }

    /// Chooses the short so that it loads F1 with this share of what opens it, while the switch is off.
    fn loading_f1(mut self, share: f64) -> Self {
        let tables = self.tables();
        let (see, fault) = short(&tables);
        let with = &live(&tables, &see).with(Some(&fault))[0];
        let f1 = see.book().index().labelled::<Fuse>("F1").unwrap();
        let is = apart::solve(with, &[], &[]).fuse_a[&f1];
        let wanted_a = share * OPENS_AT * RATING_A;
        // All is straight: the source's volts over all ohms.
        self.short_ohm += 12.6 / wanted_a - 12.6 / is;
        self
    }

    /// The short breaks the rule where each circuit is solved by itself, and the proof says so.
    fn is_told_as_broken(&self) {
        let tables = self.tables();
        let (see, fault) = short(&tables);
        let rule = see.book().index().labelled::<Rule>("R1").unwrap();
        let mut apart = live(&tables, &see);
        let combination = |at: &str| Combination::from([("s1".to_owned(), at.to_owned())]);
        assert!(!apart.breaks(rule, &combination("on"), None), "{}", self.rule);
        assert!(
            !apart.breaks(rule, &combination("off"), Some(&fault)),
            "{}",
            self.rule
        );
        assert!(
            apart.breaks(rule, &combination("on"), Some(&fault)),
            "{}",
            self.rule
        );
        let proof = see.proof();
        let answer = proof.of_rule(rule).unwrap();
        let Verdict::Proven { without_fault, .. } = &answer.verdict else {
            panic!("{:?}", answer.verdict);
        };
        assert_eq!(*without_fault, None);
        let told = |fault: &Fault| {
            let is = |b: &&Broken| proof.faults[b.fault].words == fault.words;
            answer
                .broken_by(fault.class)
                .iter()
                .find(is)
                .map(|b| b.combinations)
        };
        assert_eq!(told(&fault), Some(1), "{}", self.rule);
        // And so it is with every other fault.
        for fault in &proof.faults {
            let breaks = ["on", "off"].map(|at| apart.breaks(rule, &combination(at), Some(fault)));
            let count = breaks.iter().filter(|breaks| **breaks).count() as u64;
            assert_eq!(told(fault).unwrap_or(0), count, "{}: {}", self.rule, fault.words);
        }
    }
}

/// The book, and WT touching chassis.
fn short(tables: &Tables) -> (Snapshot, Fault) {
    let see = Snapshot::new(Arc::new(Book::from_tables(tables.clone(), None)));
    let faults = &see.proof().faults;
    let fault = faults.iter().find(|f| f.words == "WT touching chassis");
    let fault = fault.unwrap().clone();
    (see, fault)
}

fn live<'t>(tables: &'t Tables, see: &Snapshot) -> Apart<'t> {
    let bp = see.book().index().labelled::<Junction>("BP").unwrap();
    Apart::of(tables, End::Junction(bp))
}

fn joined(label: &str, one: &str, other: &str) -> Value {
    resistor(label, 0.001, [at(one), at(other)])
}

/// F1 feeds all of it: A, B and C are one.
fn behind_f1(load_ohm: f64) -> Small {
    let mut parts = vec![
        way("F1", [at("bp"), at("pa")]),
        joined("ab", "pa", "pb"),
        joined("ac", "pa", "pc"),
    ];
    parts.extend(switched_load("pa", load_ohm));
    Small {
        fuses: vec![fuse("F1", RATING_A)],
        parts,
        rule: "never s1 is on and not CV-A1",
        on_above_v: 8.0,
        short_ohm: 50.0,
    }
}

/// 0.4 % of what opens the fuse, on top of 99.8 %.
#[test]
fn a_load_far_below_what_opens_a_fuse_opens_it() {
    behind_f1(12.6 / (0.004 * OPENS_AT * RATING_A))
        .loading_f1(0.998)
        .is_told_as_broken();
}

/// Beside something that draws the same power no position is a small change of another.
#[test]
fn a_load_that_no_small_change_switches_opens_a_fuse() {
    let mut small = behind_f1(12.6 / (0.1 * OPENS_AT * RATING_A)).loading_f1(0.95);
    let power = json!({"load": {"mode": {"power": {"power_w": 1.0}}, "least_v": 6.0}});
    small.parts.push(part("heater", power, [at("bp"), at("g1")]));
    small.is_told_as_broken();
}

/// F0 feeds F1 and a load; either opens of the short for sure, F0 first only with the load.
#[test]
fn a_load_has_another_of_two_overloaded_fuses_open_first() {
    let mut parts = vec![
        way("F0", [at("bp"), at("pa")]),
        way("F1", [at("pa"), at("pb")]),
        joined("ac", "pa", "pc"),
    ];
    parts.extend(switched_load("pa", 12.6 / (0.1 * OPENS_AT * RATING_A)));
    let small = Small {
        fuses: vec![fuse("F0", 1.02 * RATING_A), fuse("F1", RATING_A)],
        parts,
        rule: "never s1 is on and not CV-A1",
        on_above_v: 8.0,
        short_ohm: 30.0,
    };
    small.loading_f1(1.5).is_told_as_broken();
}

/// The battery holds A over half an ohm, a source that s1 switches on stands beside it at C behind FS. FS opens, then A sinks.
#[test]
fn a_source_opens_the_fuse_in_its_own_lead() {
    let source =
        json!({"source": {"volts_v": 13.8, "ohm": 0.02, "switched": true, "when": "@switch:xss1 is on"}});
    let small = Small {
        fuses: vec![fuse("FS", 5.0)],
        parts: vec![
            resistor("half", 0.5, [at("bp"), at("pa")]),
            way("FS", [at("pc"), at("pa")]),
            joined("ab", "pa", "pb"),
            part("second source", source, [at("pc"), at("g1")]),
        ],
        rule: "never CV-A2 and not CV-A1",
        on_above_v: 10.5,
        short_ohm: 1.5,
    };
    small.is_told_as_broken();
}
