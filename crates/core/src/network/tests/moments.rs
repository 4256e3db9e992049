use crate::network::{Change, Circuit, Driver, Element, ElementId, FuseGate, Network, NodeId, Start};

struct Car {
    circuit: Circuit,
    minus: NodeId,
    main: ElementId,
    branch: ElementId,
    lamp: NodeId,
    post: NodeId,
    fused: NodeId,
}

/// Battery behind 11 mΩ, a main fuse of 60 A, behind it a branch of 10 A with a lamp.
fn car() -> Car {
    let mut circuit = Circuit::new();
    let [minus, post, fused, lamp] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, post, 12.6, 0.011);
    let main = circuit.resistance(1, post, fused, 0.002);
    let branch = circuit.resistance(2, fused, lamp, 0.06);
    circuit.resistance(3, lamp, minus, 6.0);
    Car {
        circuit,
        minus,
        main,
        branch,
        lamp,
        post,
        fused,
    }
}

fn gates(car: &Car) -> [FuseGate; 2] {
    [(car.main, 60.0), (car.branch, 10.0)].map(|(fuse, rating_a)| FuseGate {
        fuse,
        opens_a: 1.35 * rating_a,
    })
}

#[test]
fn the_fuse_farthest_beyond_its_gate_opens_and_the_other_stays() {
    let car = car();
    let gates = gates(&car);
    let short = Change::Bridge {
        a: car.lamp,
        b: car.minus,
        ohms: 0.001,
    };
    let network = Network::new(car.circuit).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let moments = faults.moments(&[short], &gates).unwrap();
    // 12.6 V over 11 + 2 + 60 + 1 mΩ: both are far beyond their gates, the smaller one farther.
    assert!((moments.first.current_a(car.main) - 170.3).abs() < 0.1);
    assert_eq!(moments.opened.len(), 1);
    assert_eq!(moments.opened[0].0, car.branch);
    assert!(moments.last().current_a(car.main).abs() < 1e-9);
    assert!((moments.last().voltage(car.fused).volts().unwrap() - 12.6).abs() < 1e-9);
    // A wire off opens none.
    let off = faults.moments(&[Change::Open(car.branch)], &gates).unwrap();
    assert!(off.opened.is_empty() && off.lasting.is_none());
}

/// The short pulls a holding relay off; with the fuse open the supply is back, but not the relay.
#[test]
fn what_lasts_begins_where_the_first_moment_left_the_relays() {
    let mut car = car();
    let held = car.circuit.node();
    let coil = Element::Coil {
        from: held,
        to: car.minus,
        ohms: 80.0,
        pull_in_v: 8.0,
        drop_out_v: 6.0,
    };
    let coil = car.circuit.add(4, coil);
    let driver = Driver::ClosedBy(coil);
    let holding = Element::Contact {
        a: car.post,
        b: held,
        ohms: 0.01,
        driver,
    };
    car.circuit.add(5, holding);
    let gates = gates(&car);
    let short = Change::Bridge {
        a: car.fused,
        b: car.minus,
        ohms: 0.001,
    };
    let network = Network::new(car.circuit).unwrap();
    let point = network.operate(&Start::PulledIn(vec![coil])).unwrap();
    assert_eq!(point.solution().pulled_in(), [coil]);
    let faults = point.faults();
    let moments = faults.moments(&[short], &gates).unwrap();
    assert!(moments.first.solution().pulled_in().is_empty());
    assert_eq!(moments.opened[0].0, car.main);
    assert!((moments.last().voltage(car.post).volts().unwrap() - 12.6).abs() < 1e-9);
    assert!(moments.last().solution().pulled_in().is_empty());
}

/// Two fuses in parallel share a fault current by their resistances, here 1 to 3, and as a computation with
/// one ampere more says.
#[test]
fn shares_of_a_fault_current() {
    let mut circuit = Circuit::new();
    let [minus, post, joint, far] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, post, 12.6, 0.011);
    let one = circuit.resistance(1, post, joint, 0.03);
    let other = circuit.resistance(2, joint, post, 0.01);
    let link = Element::Emf {
        minus: joint,
        plus: far,
        emf_v: 0.0,
    };
    let link = circuit.add(3, link);
    circuit.add(
        4,
        Element::Lamp {
            from: far,
            to: minus,
            cold_ohms: 0.6,
            hot_ohms: 6.0,
            rated_v: 12.0,
        },
    );
    let network = Network::new(circuit.clone()).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    let share = point.shares(far, minus).unwrap();
    assert!((share[one.index()] / -share[other.index()] - 1.0 / 3.0).abs() < 1e-12);
    assert!((share[one.index()] - share[other.index()] - share[link.index()]).abs() < 1e-12);
    let small_a = 1e-3;
    circuit.add(
        5,
        Element::Current {
            from: far,
            to: minus,
            current_a: small_a,
        },
    );
    let drawn = Network::new(circuit).unwrap().solve(&Start::Released).unwrap();
    for id in [one, other, link] {
        let more = (drawn.current_a(id) - point.solution().current_a(id)) / small_a;
        assert!(
            (more - share[id.index()]).abs() < 1e-5,
            "{more} {}",
            share[id.index()]
        );
    }
}
