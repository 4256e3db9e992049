//! Faults of small workbooks against sums done by hand.

use super::*;
use crate::{model::*, testing::Bench};

/// A relay's coil of 85 Ω behind F1, its low end on a wire to a low-side output that is off; its contact feeds a lamp.
fn relay() -> (Bench, Id<Wire>) {
    let mut bench = Bench::new();
    let state = bench.state("KEY");
    bench.battery();
    bench.fuse_way("F1", 3.0, "BP", "PB-A1");
    let zone = bench.zone("cabin", 40.0);
    for unit in ["PB", "MC"] {
        let unit = bench.unit(unit);
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
    }
    let feed = bench.wire("W10", "PB-A1", "RB-A1", 1.0, 1.0);
    let coil = bench.part("K1 coil", Bench::coil(85.0, 9.0), &["RB-A1", "RB-A2"]);
    bench.wire("W11", "RB-A2", "MC-A22", 0.5, 2.0);
    let out = bench.part("OUT1", Bench::low_side(0.05), &["MC-A22", "G2"]);
    let contact = bench.part(
        "K1 contact",
        Bench::contact(ContactForm::NormallyOpen, Driver::Coil { part: coil }),
        &["BP", "RB-A3"],
    );
    let lamp = PartKind::Lamp {
        hot_ohm: 12.0,
        cold_ohm: None,
        rated_v: None,
    };
    let lamp = bench.part("lamp", lamp, &["RB-A3", "BN"]);
    bench.chassis("G2", "BN", 0.001);
    for part in [coil, out, contact, lamp] {
        bench.set(state, part, PartPosition::Off);
    }
    (bench, feed)
}

fn suppose(bench: &Bench, wire: &str, touch: Touch) -> (Supposed, WireVerdict) {
    let see = bench.snapshot();
    let id = see.book().index().labelled::<Wire>(wire).unwrap();
    let at = see.wiring().wire_at(id).unwrap();
    let of = &see.states()[0];
    let supposed = see.suppose(of, Failing::Wire(at, touch)).unwrap();
    let wires = supposed.wires(&see, of);
    (supposed, wires)
}

#[test]
fn a_short_behind_a_coil_spares_the_wire_and_pulls_the_relay_in() {
    let (bench, _) = relay();
    let (supposed, wires) = suppose(&bench, "W11", Touch::Chassis);
    assert_eq!(supposed.to, "G2");
    assert!(
        (supposed.lasting.short_a.abs() - 12.6 / 85.0).abs() < 0.01,
        "{}",
        supposed.lasting.short_a
    );
    assert_eq!(supposed.opened, []);
    let turns: Vec<Turn> = supposed.lasting.changes.parts.iter().map(|p| p.turn).collect();
    assert!(
        turns.contains(&Turn::PullsIn) && turns.contains(&Turn::Starts),
        "{turns:?}"
    );
    assert_eq!(
        (wires, supposed.function()),
        (WireVerdict::Safe, FunctionVerdict::ActsByItself)
    );
}

#[test]
fn a_short_of_the_feed_opens_its_fuse_and_leaves_it_dead() {
    let (bench, feed) = relay();
    let (supposed, wires) = suppose(&bench, "W10", Touch::Chassis);
    let book = bench.book();
    let opened: Vec<String> = supposed.opened.iter().map(|o| book.label_of(o.fuse)).collect();
    assert_eq!(opened, ["F1"]);
    assert!(
        supposed.opened[0].current_a > 100.0,
        "the battery and 20 mΩ of wire limit it"
    );
    assert!(supposed.lasting.short_a.abs() < 1e-9);
    assert_eq!(
        (wires, supposed.function()),
        (WireVerdict::Safe, FunctionVerdict::Unchanged)
    );
    assert_eq!(book.label_of(feed), "W10");
}

/// Two coils, each fed past the other's normally closed contact, on one wire that is dead until it touches supply.
#[test]
fn relays_that_lock_each_other_out_race_and_that_is_said() {
    let mut bench = Bench::new();
    let state = bench.state("KEY");
    bench.battery();
    for node in ["RB n1", "RB n2"] {
        bench.terminal(node);
    }
    bench.wire("W1", "RB-A1", "XA-A1", 1.0, 1.0);
    let one = bench.part("K1 coil", Bench::coil(85.0, 9.0), &["RB n1", "BN"]);
    let other = bench.part("K2 coil", Bench::coil(85.0, 9.0), &["RB n2", "BN"]);
    for (label, coil, far) in [("K2 contact", other, "RB n1"), ("K1 contact", one, "RB n2")] {
        let kind = Bench::contact(ContactForm::NormallyClosed, Driver::Coil { part: coil });
        let contact = bench.part(label, kind, &["RB-A1", far]);
        bench.set(state, contact, PartPosition::Off);
    }
    for coil in [one, other] {
        bench.set(state, coil, PartPosition::Off);
    }
    let see = bench.snapshot();
    let (supposed, _) = suppose(&bench, "W1", Touch::Supply);
    assert_eq!(supposed.racing(&see), ["K1 coil", "K2 coil"]);
    let words = supposed.function_words(&see);
    assert!(
        words.ends_with("depends on which relay is faster: K1 coil and K2 coil"),
        "{words}"
    );
    let (supposed, _) = suppose(&bench, "W1", Touch::Off);
    assert!(supposed.racing(&see).is_empty());
}

#[test]
fn a_thin_wire_without_a_fuse_is_hurt() {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    let wire = bench.wire("W1", "BP", "XA-A1", 0.5, 1.0);
    bench.load("pump", 1.0, &["XA-A1", "BN"]);
    // Without the air around it, nothing is said of what it bears.
    let lacks = |bench: &Bench| suppose(bench, "W1", Touch::Chassis).1;
    assert_eq!(lacks(&bench), WireVerdict::CannotTell("ambient of W1".to_owned()));
    let (zone, unit) = (bench.zone("cabin", 40.0), bench.unit("XA"));
    bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
    bench.edit(wire, |w: &mut Wire| w.length_m = None);
    assert_eq!(
        lacks(&bench),
        WireVerdict::CannotTell("size or length of W1".to_owned())
    );
    bench.edit(wire, |w: &mut Wire| w.length_m = Some(1.0));
    let (supposed, wires) = suppose(&bench, "W1", Touch::Chassis);
    assert_eq!(supposed.opened, []);
    assert!(
        matches!(wires, WireVerdict::Hurt { current_a, bears_s, fuse_s: None, .. } if current_a > 100.0 && bears_s < 5.0),
        "{wires:?}"
    );
}

#[test]
fn a_wire_that_comes_off_stops_its_load_and_floats_its_cavity() {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    bench.wire("W1", "BP", "XA-A1", 1.0, 1.0);
    bench.load("pump", 1.0, &["XA-A1", "BN"]);
    let (supposed, _) = suppose(&bench, "W1", Touch::Off);
    let parts: Vec<Turn> = supposed.lasting.changes.parts.iter().map(|p| p.turn).collect();
    assert_eq!(
        (parts, supposed.function()),
        (vec![Turn::Stops], FunctionVerdict::Lost)
    );
}

#[test]
fn thresholds_are_read_whichever_side_is_on() {
    let high = Limits {
        on_above_v: Some(5.5),
        off_below_v: Some(2.0),
        ..Limits::default()
    };
    let low = Limits {
        on_below_v: Some(1.5),
        off_above_v: Some(4.0),
        ..Limits::default()
    };
    let of = |limits: &Limits, volts: &[Option<f64>]| -> Vec<Option<Reads>> {
        volts.iter().map(|v| reads(limits, *v)).collect()
    };
    let volts = [Some(12.0), Some(3.0), Some(0.2), None];
    let [on, off, undefined] = [Reads::On, Reads::Off, Reads::Undefined].map(Some);
    assert_eq!(of(&high, &volts), [on, undefined, off, undefined]);
    assert_eq!(of(&low, &volts), [off, undefined, on, undefined]);
    assert_eq!(reads(&Limits::default(), Some(12.0)), None);
}

/// Over two equal states at rest and one with the output on: what happens alike is told once, the gravest first, and what
/// nobody would notice is said to be so.
#[test]
fn states_in_which_the_same_happens_are_told_once_the_gravest_first() {
    let (mut bench, _) = relay();
    let (rest, drive) = (bench.state("REST"), bench.state("DRIVE"));
    for label in ["K1 coil", "OUT1", "K1 contact", "lamp"] {
        let part = bench.named(label);
        bench.set(rest, part, PartPosition::Off);
        bench.set(drive, part, PartPosition::On);
    }
    let see = bench.snapshot();
    let wire = see.wiring().wire_at(bench.named("W11")).unwrap();
    let told = |touch| -> Vec<(usize, Gist)> {
        let outcomes = see.suppose_everywhere(Failing::Wire(wire, touch));
        outcomes
            .into_iter()
            .map(|o| (o.states.len(), o.gist.unwrap()))
            .collect()
    };
    let chassis = told(Touch::Chassis);
    let (first, grave) = &chassis[0];
    assert_eq!(
        (*first, &grave.starts[..]),
        (2, &["K1 coil pulls in".to_owned(), "lamp".to_owned()][..])
    );
    assert_eq!(
        (chassis[1].0, chassis[1].1.unnoticed()),
        (1, true),
        "it is on anyway"
    );
    let off = told(Touch::Off);
    assert_eq!(off[0].1.stops, ["K1 coil releases", "lamp"]);
    assert_eq!((off[0].0, off[1].0, off[1].1.unnoticed()), (1, 2, true));
}
