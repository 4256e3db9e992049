//! Operating points of small workbooks against sums done by hand.

use super::*;
use crate::{model::*, testing::Bench};
use crimpbook_core::network::Condition;

fn run(bench: &Bench, state: Id<State>) -> (crate::Book, Wiring, Operated) {
    let book = bench.book();
    let wiring = Wiring::of(&book);
    let state = book.get(state).unwrap();
    let stands = Stands::of(&book, state);
    let supply = state.supply_v.unwrap_or(12.6);
    let cold = vec![1.0; wiring.wires.len()];
    let operated = operate(
        &Given {
            book: &book,
            wiring: &wiring,
            stands: &stands,
            supply_v: supply,
        },
        &mut Ready::default(),
        cold,
        |_, _| false,
    )
    .unwrap();
    assert_eq!(operated.trouble, []);
    (book, wiring, operated)
}

fn at(book: &crate::Book, wiring: &Wiring, operated: &Operated, cavity: &str) -> Option<f64> {
    let id = book.find_cavity(cavity).unwrap();
    operated.volts(wiring.nodes.unit_side(id)?).volts()
}

fn current(book: &crate::Book, wiring: &Wiring, operated: &Operated, wire: &str) -> f64 {
    let id = book.index().labelled::<Wire>(wire).unwrap();
    operated.wire_a(wiring.wire_at(id).unwrap())
}

/// Battery 12.6 V behind 11 mΩ, fuse 15 A 4.5 mΩ, 4.8 m of 1 mm² at 18.5 mΩ/m with two contacts of 6 mΩ, pump 9 A.
#[test]
fn a_pump_gets_what_the_sum_of_the_resistances_leaves() {
    let mut bench = Bench::new();
    let state = bench.state("DRIVE");
    bench.battery();
    bench.fuse_way("F4", 15.0, "BP", "PB-A16");
    bench.wire("W76", "PB-A16", "VP-A1", 1.0, 4.8);
    bench.load("pump", 9.0, &["VP-A1", "BN"]);
    let (book, wiring, operated) = run(&bench, state);
    let expected = 12.6 - 9.0 * (0.011 + 0.0045 + 0.006 + 4.8 * 0.0185 + 0.006);
    let found = at(&book, &wiring, &operated, "VP-A1").unwrap();
    assert!((found - expected).abs() < 1e-6, "{found} {expected}");
    assert!((current(&book, &wiring, &operated, "W76") - 9.0).abs() < 1e-9);
}

#[test]
fn a_cavity_that_nothing_feeds_floats() {
    let mut bench = Bench::new();
    let state = bench.state("OFF");
    bench.battery();
    bench.wire("W1", "MC-A18", "DI-A1", 0.5, 1.0);
    let (book, wiring, operated) = run(&bench, state);
    assert!(
        wiring
            .nodes
            .wire_side(book.find_cavity("MC-A18").unwrap())
            .is_some()
    );
    assert_eq!(at(&book, &wiring, &operated, "MC-A18"), None);
}

/// A relay of 85 Ω pulls in from its own coil and feeds a lamp of 120 Ω; without key both are dead.
#[test]
fn a_relay_follows_its_coil() {
    let mut bench = Bench::new();
    let (on, off) = (bench.state("KEY"), bench.state("OFF"));
    bench.battery();
    let key = bench.switch("key", &["off", "run"]);
    let driver = Driver::Switch {
        switch: key,
        operated_in: vec!["run".to_owned()],
    };
    bench.part(
        "key contact",
        Bench::contact(ContactForm::NormallyOpen, driver),
        &["BP", "PB-A7"],
    );
    let coil = bench.part("K1 coil", Bench::coil(85.0, 9.0), &["PB-A7", "BN"]);
    let follow = Driver::Coil { part: coil };
    bench.part(
        "K1 contact",
        Bench::contact(ContactForm::NormallyOpen, follow),
        &["BP", "PB-A1"],
    );
    let lamp = PartKind::Lamp {
        hot_ohm: 120.0,
        cold_ohm: None,
        rated_v: None,
    };
    bench.part("lamp", lamp, &["PB-A1", "BN"]);
    bench.edit(on, |s: &mut State| {
        s.switches.push(SwitchPosition {
            switch: key,
            position: "run".to_owned(),
        });
    });
    let (book, wiring, operated) = run(&bench, on);
    let place = wiring.parts.iter().position(|p| p.part == coil).unwrap();
    assert_eq!(operated.condition(place), Some(Condition::PulledIn));
    assert!(at(&book, &wiring, &operated, "PB-A1").unwrap() > 12.5);
    let (book, wiring, operated) = run(&bench, off);
    assert!(at(&book, &wiring, &operated, "PB-A1").unwrap().abs() < 1e-9);
}

/// A relay whose own contact, closed at rest, feeds its coil: it buzzes, and that is said.
#[test]
fn a_relay_that_opens_its_own_feed_chatters() {
    let mut bench = Bench::new();
    let state = bench.state("KEY");
    bench.battery();
    let coil = bench.part("K9 coil", Bench::coil(85.0, 9.0), &["PB-A7", "BN"]);
    let follow = Driver::Coil { part: coil };
    bench.part(
        "K9 contact",
        Bench::contact(ContactForm::NormallyClosed, follow),
        &["BP", "PB-A7"],
    );
    let book = bench.book();
    let wiring = Wiring::of(&book);
    let stands = Stands::of(&book, book.get(state).unwrap());
    let operated = operate(
        &Given {
            book: &book,
            wiring: &wiring,
            stands: &stands,
            supply_v: 12.6,
        },
        &mut Ready::default(),
        Vec::new(),
        |_, _| false,
    )
    .unwrap();
    assert_eq!(operated.trouble, [Trouble::Chatters(coil)]);
}

/// A converter of 13.8 V behind 20 mΩ, at most 32 A, beside a battery of 12.6 V behind 11 mΩ and a load of 40 A:
/// unlimited it would give (13.8 − 12.6 + 40·0.011)/0.031 = 52.9 A, so it gives 32 A and the battery the other 8 A.
#[test]
fn a_current_limit_holds_and_the_battery_gives_the_rest() {
    let mut bench = Bench::new();
    let state = bench.state("DRIVE");
    bench.battery();
    let converter = PartKind::Source {
        volts_v: Some(13.8),
        ohm: 0.02,
        limit_a: Some(32.0),
        switched: false,
        when: String::new(),
    };
    let converter = bench.part("converter", converter, &["BP", "BN"]);
    bench.load("heater", 40.0, &["BP", "BN"]);
    let (_, wiring, operated) = run(&bench, state);
    let place = wiring.parts.iter().position(|p| p.part == converter).unwrap();
    assert!((operated.part_a(place) - 32.0).abs() < 1e-9);
    let post = wiring.nodes.terminal(&bench.terminal("BP")).unwrap();
    let volts = operated.volts(post).volts().unwrap();
    assert!((volts - (12.6 - 8.0 * 0.011)).abs() < 1e-9, "{volts}");
}

/// A load of 100 W behind 0.5 Ω at 12.6 V: V = (12.6 + √(12.6² − 4·0.5·100))/2 has no real answer above 159 W only.
#[test]
fn a_power_load_settles_at_the_upper_voltage() {
    let mut bench = Bench::new();
    let state = bench.state("DRIVE");
    bench.battery();
    bench.resistor("feed", 0.5, &["BP", "WP-A1"]);
    let pump = PartKind::Load {
        mode: LoadMode::Power { power_w: 60.0 },
        least_v: Some(6.0),
        inrush_a: None,
        inrush_s: None,
        asleep_a: None,
    };
    bench.part("pump", pump, &["WP-A1", "BN"]);
    let (book, wiring, operated) = run(&bench, state);
    let found = at(&book, &wiring, &operated, "WP-A1").unwrap();
    let expected = (12.6 + f64::sqrt(12.6 * 12.6 - 4.0 * 0.511 * 60.0)) / 2.0;
    assert!((found - expected).abs() < 1e-3, "{found} {expected}");
}

/// 0.7 V at 1 A and 45 mV a step of e: at 0.12 A it drops 0.7 + 0.045·ln 0.12 = 0.605 V.
#[test]
fn a_diode_lets_through_one_way_only() {
    let mut bench = Bench::new();
    let state = bench.state("ON");
    bench.battery();
    let diode = PartKind::Diode { forward_v: 0.7 };
    bench.part("forward", diode.clone(), &["BP", "XA-A1"]);
    bench.resistor("load one", 100.0, &["XA-A1", "BN"]);
    bench.part("backward", diode, &["XA-A2", "BP"]);
    bench.resistor("load two", 100.0, &["XA-A2", "BN"]);
    let (book, wiring, operated) = run(&bench, state);
    let forward = at(&book, &wiring, &operated, "XA-A1").unwrap();
    assert!((forward - (12.6 - 0.605)).abs() < 0.005, "{forward}");
    let backward = at(&book, &wiring, &operated, "XA-A2").unwrap();
    assert!(backward.abs() < 1e-4, "{backward}");
}

/// Two halves of a coupling: pin 1 meets pin 1 through one contact pair of 6 mΩ.
#[test]
fn an_inline_coupling_joins_its_halves_pin_by_pin() {
    let mut bench = Bench::new();
    let state = bench.state("ON");
    bench.battery();
    let (one, other) = (bench.connector("JA-A"), bench.connector("JB-A"));
    for (this, that) in [(one, other), (other, one)] {
        bench.edit(this, |c: &mut Connector| c.couples_to = Some(that));
    }
    bench.wire("W1", "BP", "JA-A1", 1.0, 1.0);
    bench.wire("W2", "JB-A1", "VP-A1", 1.0, 1.0);
    bench.load("pump", 1.0, &["VP-A1", "BN"]);
    let (book, wiring, operated) = run(&bench, state);
    let found = at(&book, &wiring, &operated, "VP-A1").unwrap();
    let expected = 12.6 - (0.011 + 0.0005 + 0.0185 + 0.006 + 0.0185 + 0.006);
    assert!((found - expected).abs() < 1e-9, "{found} {expected}");
}

/// A bridge between two cavities of one plug: the second input reads what the first is fed.
#[test]
fn a_bridge_joins_two_cavities() {
    let mut bench = Bench::new();
    let state = bench.state("ON");
    bench.battery();
    bench.wire("W1", "BP", "MC-A2", 0.5, 1.0);
    let (input, fed) = (bench.cavity("MC-A", "18"), bench.cavity("MC-A", "2"));
    bench.edit(input, |c: &mut Cavity| c.decision = Decision::Bridged { to: fed });
    bench.resistor("input", 10_000.0, &["MC-A18", "BN"]);
    let (book, wiring, operated) = run(&bench, state);
    assert!(at(&book, &wiring, &operated, "MC-A18").unwrap() > 12.5);
}

/// A pull told only by the limits counts as well.
#[test]
fn a_pull_in_the_limits_holds_an_open_input() {
    let mut bench = Bench::new();
    let state = bench.state("ON");
    bench.battery();
    bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
    let ground = bench.cavity("MC-A", "4");
    bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
    let input = bench.cavity("MC-A", "14");
    bench.edit(input, |c: &mut Cavity| {
        c.limits.pull = Some(Pull {
            to: PullTo::Ground,
            ohm: Some(10_000.0),
        });
    });
    let (book, wiring, operated) = run(&bench, state);
    assert_eq!(at(&book, &wiring, &operated, "MC-A14"), Some(0.0));
}
