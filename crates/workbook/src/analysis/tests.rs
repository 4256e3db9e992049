//! Results of small workbooks against sums done by hand.

use crate::{model::*, testing::Bench};

/// A pump of 9 A at the end of 4.8 m of 1 mm² in 60 °C: the wire warms, and its resistance with it.
fn pump() -> (Bench, Id<Wire>) {
    let mut bench = Bench::new();
    bench.state("DRIVE");
    bench.battery();
    bench.fuse_way("F4", 15.0, "BP", "PB-A16");
    let wire = bench.wire("W76", "PB-A16", "VP-A1", 1.0, 4.8);
    bench.load("pump", 9.0, &["VP-A1", "BN"]);
    let zone = bench.zone("wet", 60.0);
    let unit = bench.unit("VP");
    bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
    (bench, wire)
}

#[test]
fn resistance_and_temperature_settle_together() {
    let (bench, wire) = pump();
    let see = bench.snapshot();
    let state = &see.states()[0];
    let place = see.wiring().wire_at(wire).unwrap();
    let conductor_c = state.temperatures.conductor_c[place];
    // I²R of 81 A² × 18.5 mΩ/m × 1.2 is 1.8 W/m; a 2 mm cylinder gives off some 0.11 W/m a kelvin: about 16 K.
    assert!((70.0..85.0).contains(&conductor_c), "{conductor_c}");
    let volts = |cavity: &str| {
        let id = see.book().find_cavity(cavity).unwrap();
        see.cavity_volts(state, id).negative.volts().unwrap()
    };
    let drop = volts("PB-A16") - volts("VP-A1");
    let by_hand = 9.0 * (4.8 * 0.0185 * (234.5 + conductor_c) / 254.5 + 2.0 * 0.006);
    assert!((drop - by_hand).abs() < 2e-4, "{drop} {by_hand}");
    assert!((see.wire_drop_v(place, 9.0, conductor_c) - drop).abs() < 2e-4);
}

#[test]
fn the_fuse_above_a_wire_is_traced() {
    let (bench, wire) = pump();
    let see = bench.snapshot();
    let protection = see.protection();
    let place = see.wiring().wire_at(wire).unwrap();
    let feed = protection.wires[place].unwrap();
    let fuse = see.book().index().labelled::<Fuse>("F4").unwrap();
    assert_eq!(feed.fuse, Some(fuse));
    assert!(feed.draws && feed.enters_from && feed.limited_a.is_none());
    assert_eq!(protection.zone(fuse).unwrap().wires, [place]);
    let fault = protection.far_end_fault_a(place).unwrap();
    // Without the contact at the far end, which the fault does not pass.
    let by_hand = 12.6 / (0.011 + 0.0045 + 0.006 + 4.8 * 0.0185 * (234.5 + 77.0) / 254.5);
    assert!((fault / by_hand - 1.0).abs() < 0.02, "{fault} {by_hand}");
}

#[test]
fn behind_a_load_nothing_is_fed() {
    let (mut bench, _) = pump();
    let back = bench.wire("W77", "VP-A2", "G4", 2.5, 1.0);
    bench.chassis("G4", "BN", 0.004);
    let see = bench.snapshot();
    let place = see.wiring().wire_at(back).unwrap();
    assert_eq!(see.protection().wires[place], None);
    assert!((see.protection().return_ohm - 0.004).abs() < 1e-9);
}

#[test]
fn a_fuse_in_line_protects_what_lies_beyond_it() {
    let mut bench = Bench::new();
    bench.state("DRIVE");
    bench.battery();
    let fuse = bench.fuse("F0", 60.0);
    let main = bench.wire("W01", "BP", "PB-A1", 10.0, 1.1);
    bench.edit(main, |w: &mut Wire| {
        w.inline_fuse = Some(InlineFuse {
            fuse,
            from_end_m: 0.15,
        });
    });
    let beyond = bench.wire("W02", "PB-A1", "XA-A1", 2.5, 1.0);
    let see = bench.snapshot();
    let feed = |wire| see.protection().wires[see.wiring().wire_at(wire).unwrap()].unwrap();
    assert_eq!((feed(main).fuse, feed(main).before), (Some(fuse), None));
    assert!((feed(main).bare_m - 0.15).abs() < 1e-9);
    assert_eq!(feed(beyond).fuse, Some(fuse));
}

#[test]
fn loaded_wires_of_a_bundle_warm_each_other() {
    let mut bench = Bench::new();
    bench.state("DRIVE");
    bench.battery();
    let bundle = bench.bundle("front", None);
    for n in 1..=4 {
        let wire = bench.wire(&format!("W{n}"), "BP", &format!("XA-A{n}"), 0.5, 1.0);
        bench.edit(wire, |w: &mut Wire| w.bundle = Some(bundle));
        bench.load(&format!("load {n}"), 4.0, &[&format!("XA-A{n}"), "BN"]);
    }
    let thin = bench.wire("W9", "BP", "XA-A9", 0.5, 1.0);
    bench.edit(thin, |w: &mut Wire| w.bundle = Some(bundle));
    let see = bench.snapshot();
    assert_eq!(
        see.states()[0].temperatures.factor,
        [0.8; 5],
        "four are loaded, the fifth lies among them"
    );
    bench.edit(bundle, |b: &mut Bundle| b.factor = Some(0.7));
    assert_eq!(bench.snapshot().states()[0].temperatures.factor, [0.7; 5]);
}
