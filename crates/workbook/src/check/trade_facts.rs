//! Facts of the trade that every check together has to leave in peace (common practice, no source).

use super::run_without_mends;
use crate::{model::*, testing::Bench};

/// A fused supply wire of so many mm² and metres that feeds a controller's logic supply.
fn supply(area_mm2: f64, written: &str, length_m: f64, current_a: f64) -> Bench {
    let mut bench = Bench::new();
    let state = bench.state("KEY");
    bench.battery();
    let (family, zone, about) = (
        bench.contact_family("M", 0.5, 2.0),
        bench.zone("cabin", 40.0),
        bench.named::<About>("test bench"),
    );
    let reference = match bench.end("BN") {
        End::Junction(id) => id,
        other => panic!("{other:?}"),
    };
    bench.edit(about, |a: &mut About| a.reference = Some(reference));
    bench.fuse_way("F1", 10.0, "BP", "PB-A1");
    for (label, from, to) in [("W4", "PB-A1", "MC-A1"), ("W24", "MC-A4", "BN")] {
        let wire = bench.wire(label, from, to, area_mm2, length_m);
        bench.edit(wire, |w: &mut Wire| written.clone_into(&mut w.size_written));
    }
    let load = bench.load("logic", current_a, &["MC-A1", "MC-A4"]);
    bench.edit(load, |p: &mut Part| {
        if let PartKind::Load {
            inrush_a, inrush_s, ..
        } = &mut p.kind
        {
            (*inrush_a, *inrush_s) = (Some(current_a * 2.0), Some(0.002));
        }
    });
    bench.set(state, load, PartPosition::On);
    for (connector, number, kind) in [
        ("PB-A", "1", SignalKind::SupplyOut),
        ("MC-A", "1", SignalKind::LogicSupply),
        ("MC-A", "4", SignalKind::Ground),
    ] {
        let cavity = bench.cavity(connector, number);
        bench.edit(cavity, |c: &mut Cavity| {
            c.kind = Some(kind);
            c.contact = Some(family);
        });
        let (connector, unit) = (
            bench.connector(connector),
            bench.unit(connector.split('-').next().unwrap()),
        );
        bench.edit(connector, |c: &mut Connector| {
            c.sealed = Some(false);
            c.face = "rows 2, from upper left, seen from mating side".to_owned();
        });
        bench.edit(unit, |u: &mut Unit| u.zone = Some(zone));
    }
    let fuse = bench.named::<Fuse>("F1");
    bench.edit(fuse, |f: &mut Fuse| f.zone = Some(zone));
    bench
}

#[test]
fn a_16_awg_wire_of_a_few_metres_feeds_a_logic_supply_of_a_few_amperes_without_any_finding() {
    for (length_m, current_a) in [(2.0, 1.5), (4.0, 3.0)] {
        let bench = supply(1.309, "16 AWG", length_m, current_a);
        let report = run_without_mends(&bench.snapshot());
        assert_eq!(report.findings, [], "{length_m} m {current_a} A");
    }
}

/// The neighbour: a wire far too thin for the fuse above it is found, so that the silence above means something.
#[test]
fn a_26_awg_wire_there_is_found() {
    let bench = supply(0.128, "26 AWG", 2.0, 1.5);
    let report = run_without_mends(&bench.snapshot());
    assert!(
        report.of("fuse-above-wire").next().is_some(),
        "{:#?}",
        report.findings
    );
}
