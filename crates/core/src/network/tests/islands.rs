//! What is left to itself: by loads that draw the same at any voltage, by everything that joined it.

use crate::network::{Change, Circuit, Condition, Element, ElementId, Network, NodeId, Potential, Start};

/// Battery negative, a post at 12.6 V, and a unit of two loads between its supply and its ground.
struct Unit {
    network: Network,
    feed: ElementId,
    back: ElementId,
    load: ElementId,
    supply: NodeId,
    ground: NodeId,
}

fn unit(rest_ohms: Option<f64>) -> Unit {
    let mut circuit = Circuit::new();
    let [negative, post, supply, ground] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 12.6, 0.011);
    let feed = circuit.resistance(1, post, supply, 0.05);
    let back = circuit.resistance(2, ground, negative, 0.05);
    let draws = |current_a, least_v| Element::CurrentLoad {
        from: supply,
        to: ground,
        current_a,
        least_v,
    };
    let load = circuit.add(3, draws(0.5, 6.0));
    circuit.add(4, draws(0.1, 9.0));
    if let Some(ohms) = rest_ohms {
        circuit.resistance(5, supply, ground, ohms);
    }
    Unit {
        network: Network::new(circuit).unwrap(),
        feed,
        back,
        load,
        supply,
        ground,
    }
}

/// Beyond the wire nothing but loads whose current does not depend on the voltage: they starve at none.
#[test]
fn a_supply_wire_off_starves_loads_that_draw_the_same_at_any_voltage() {
    let unit = unit(None);
    let point = unit.network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let off = faults.solve(&[Change::Open(unit.feed)]).unwrap();
    assert!(!off.is_anew());
    let solution = off.solution();
    for node in [unit.supply, unit.ground] {
        assert!(solution.voltage(node).volts().unwrap().abs() < 1e-9);
    }
    assert_eq!(solution.condition(unit.load), Condition::Starved);
    assert!(solution.current_a(unit.load).abs() < 1e-9);
}

/// A unit whose plug is off hangs on nothing, yet its own parts hang together.
#[test]
fn a_plug_off_leaves_its_unit_floating_in_one_piece() {
    for rest_ohms in [None, Some(1000.0)] {
        let unit = unit(rest_ohms);
        let point = unit.network.operate(&Start::Released).unwrap();
        let faults = point.faults();
        let off = faults
            .solve(&[Change::Open(unit.feed), Change::Open(unit.back)])
            .unwrap();
        assert!(!off.is_anew(), "{rest_ohms:?}");
        let solution = off.solution();
        for node in [unit.supply, unit.ground] {
            assert_eq!(solution.voltage(node), Potential::Floating);
        }
        let across_v = solution.between(unit.supply, unit.ground).unwrap();
        assert!(across_v.abs() < 1e-9, "{across_v}");
    }
}
