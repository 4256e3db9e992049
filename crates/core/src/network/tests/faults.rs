use super::recipe::{Recipe, recipe};
use crate::network::{
    Change, Circuit, Condition, Driver, Element, ElementId, Network, NodeId, Potential, Serial, Solution,
    Start,
};
use proptest::prelude::*;

/// The changed circuit, written down anew.
pub(super) fn changed(circuit: &Circuit, changes: &[Change]) -> Circuit {
    let mut changed = circuit.clone();
    for change in changes {
        match *change {
            Change::Bridge { a, b, ohms } => {
                changed.resistance(0, a, b, ohms);
            }
            Change::Open(id) | Change::Closed(id) => {
                let (a, b) = circuit.elements()[id.index()].ends();
                let ohms = match circuit.elements()[id.index()] {
                    Element::Contact { ohms, .. } => ohms,
                    _ => 1.0,
                };
                let driver = Driver::Given {
                    closed: matches!(change, Change::Closed(_)),
                };
                changed.replace(id, Element::Contact { a, b, ohms, driver });
            }
        }
    }
    changed
}

/// Largest difference of a node's voltage; `None` where one floats and the other does not.
fn apart(left: &Solution, right: &Solution, nodes: &[NodeId]) -> Option<f64> {
    let mut most = 0.0f64;
    for &node in nodes {
        match (left.voltage(node), right.voltage(node)) {
            (Potential::At(left), Potential::At(right)) => most = most.max((left - right).abs()),
            (Potential::Floating, Potential::Floating) => {}
            _ => return None,
        }
    }
    Some(most)
}

/// A recipe's circuit with three relays and two sensors hung into it.
pub(super) fn with_relays(recipe: &Recipe) -> (Circuit, Vec<NodeId>) {
    let (mut circuit, nodes, elements) = recipe.elements();
    for (tag, element) in elements.iter().enumerate() {
        circuit.add(tag, *element);
    }
    let pick = |at: usize| nodes[at * 7 % nodes.len()];
    for at in 0..3 {
        let (from, to) = (pick(at), pick(at + 3));
        let coil = circuit.add(
            100,
            Element::Coil {
                from,
                to,
                ohms: 80.0,
                pull_in_v: 5.0,
                drop_out_v: 1.0,
            },
        );
        let driver = if at == 2 {
            Driver::OpenedBy(coil)
        } else {
            Driver::ClosedBy(coil)
        };
        circuit.add(
            101,
            Element::Contact {
                a: pick(at + 5),
                b: pick(at + 8),
                ohms: 0.02,
                driver,
            },
        );
    }
    for at in 0..2 {
        let (low, high, out) = (pick(at + 11), pick(at + 13), pick(at + 17));
        circuit.add(
            102,
            Element::Ratiometric {
                low,
                high,
                out,
                share: 0.4,
                ohms: 1000.0,
            },
        );
    }
    (circuit, nodes)
}

/// What is missing in the balance of currents at any node that no bridge touches, as a multiple of what
/// rounding of 1 nV makes of its conductances.
fn unbalanced(circuit: &Circuit, solution: &Solution, changes: &[Change], nodes: &[NodeId]) -> f64 {
    let mut left_a = vec![0.0f64; nodes.len()];
    let mut rounding_a = vec![1e-9f64; nodes.len()];
    for (id, element) in circuit.numbered() {
        let (tail, head) = element.ends();
        let current_a = solution.current_a(id);
        left_a[tail.index()] += current_a;
        left_a[head.index()] -= current_a;
        let siemens = match *element {
            Element::Resistance { ohms, .. }
            | Element::Source { ohms, .. }
            | Element::Contact { ohms, .. }
            | Element::LimitedSource { ohms, .. } => 1.0 / ohms,
            Element::Diode { slope_v, .. } => current_a.abs() / slope_v,
            _ => 10.0,
        };
        rounding_a[tail.index()] += 1e-9 * siemens;
        rounding_a[head.index()] += 1e-9 * siemens;
    }
    let bridged = |node: &NodeId| {
        let touches =
            |change: &Change| matches!(change, Change::Bridge { a, b, .. } if a == node || b == node);
        changes.iter().any(touches)
    };
    let inner = nodes.iter().skip(1).filter(|node| !bridged(node));
    inner
        .map(|node| left_a[node.index()].abs() / rounding_a[node.index()])
        .fold(0.0, f64::max)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Every element open, and bridges between nodes, by update and from nothing.
    #[test]
    fn an_update_is_a_solution_from_nothing(recipe in recipe(5), bridges in prop::collection::vec((0usize..1000, 0usize..1000), 4)) {
        let (circuit, nodes) = with_relays(&recipe);
        let network = Network::new(circuit.clone()).unwrap();
        let point = network.operate(&Start::Released).unwrap();
        let faults = point.faults();
        let start = Start::PulledIn(point.solution().pulled_in().to_vec());
        let mut list: Vec<Vec<Change>> = circuit
            .numbered()
            .filter(|(_, element)| !matches!(element, Element::Coil { .. }))
            .map(|(id, _)| vec![Change::Open(id)])
            .collect();
        list.extend(bridges.iter().map(|&(a, b)| {
            vec![Change::Bridge { a: nodes[a % nodes.len()], b: nodes[b % nodes.len()], ohms: 0.001 }]
        }));
        let both = [list[0][0], list[list.len() - 1][0]];
        list.push(both.to_vec());
        // Several at once, as where a unit is dead: what one parts another may join again.
        let singles = list.clone();
        for (at, one) in singles.iter().enumerate() {
            let more = |by: usize| singles[(at * 5 + by) % singles.len()].iter().filter(|c| !one.contains(c));
            list.push(one.iter().chain(more(3)).copied().collect());
            list.push(one.iter().chain(more(3).filter(|c| more(11).all(|d| d != *c))).chain(more(11)).copied().collect());
        }
        // All that joins a few nodes to the others, as where a plug is off.
        for few in nodes.chunks(3).skip(1) {
            let across = |element: &Element| {
                let (tail, head) = element.ends();
                few.contains(&tail) != few.contains(&head) && !matches!(element, Element::Coil { .. })
            };
            let across = circuit.numbered().filter(|(_, element)| across(element));
            list.push(across.map(|(id, _)| Change::Open(id)).collect());
        }
        for changes in list {
            let faulted = faults.solve(&changes).unwrap();
            let anew = Network::new(changed(&circuit, &changes)).unwrap().solve(&start).unwrap();
            if !anew.chattering().is_empty() {
                continue;
            }
            let solution = faulted.solution();
            prop_assert_eq!(solution.pulled_in(), anew.pulled_in());
            let apart = apart(&solution, &anew, &nodes);
            prop_assert!(apart.is_some_and(|volts| volts <= 1e-6), "{:?} apart {:?}, anew {}", changes, apart, faulted.is_anew());
            let again = faults.solve_again(&changes, faulted.ended().as_ref()).unwrap().solution();
            prop_assert_eq!(again.pulled_in(), anew.pulled_in());
            let apart = self::apart(&again, &anew, &nodes);
            prop_assert!(apart.is_some_and(|volts| volts <= 1e-6), "{:?} again apart {:?}", changes, apart);
            let left = unbalanced(&circuit, &solution, &changes, &nodes);
            prop_assert!(left <= 10.0, "{} times what 1 nV makes, after {:?}", left, changes);
            for (id, _) in circuit.numbered() {
                let (left, right) = (faulted.current_a(id), solution.current_a(id));
                prop_assert!((left - right).abs() <= 1e-9 * left.abs().max(1.0));
            }
        }
    }
}

struct Car {
    network: Network,
    feed: ElementId,
    lamp_wire: ElementId,
    lamp: NodeId,
    chassis: NodeId,
}

/// Battery, fuse, a lamp behind a wire, its ground over the chassis.
fn car() -> Car {
    let mut circuit = Circuit::new();
    let [negative, post, fused, lamp, chassis] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 12.6, 0.011);
    let feed = circuit.resistance(1, post, fused, 0.005);
    let lamp_wire = circuit.resistance(2, fused, lamp, 0.05);
    circuit.resistance(3, lamp, chassis, 6.0);
    circuit.resistance(4, chassis, negative, 0.002);
    Car {
        network: Network::new(circuit).unwrap(),
        feed,
        lamp_wire,
        lamp,
        chassis,
    }
}

#[test]
fn a_wire_off_and_a_wire_chafed_through() {
    let car = car();
    let point = car.network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let off = faults.solve(&[Change::Open(car.lamp_wire)]).unwrap();
    // The lamp still holds its feed to ground.
    assert!(off.voltage(car.lamp).volts().unwrap().abs() < 1e-12);
    assert_eq!(off.current_a(car.lamp_wire), 0.0);
    let short = [Change::Bridge {
        a: car.lamp,
        b: car.chassis,
        ohms: 0.001,
    }];
    let chafed = faults.solve(&short).unwrap();
    let loop_ohms = 0.011 + 0.005 + 0.05 + 0.002 + 1.0 / (1.0 / 0.001 + 1.0 / 6.0);
    assert!((chafed.current_a(car.feed) - 12.6 / loop_ohms).abs() < 1e-6);
    assert!(!chafed.is_anew());
    // The fuse opens: both changes together.
    let blown = faults.solve(&[short[0], Change::Open(car.feed)]).unwrap();
    assert!(blown.voltage(car.lamp).volts().unwrap().abs() < 1e-9);
}

#[test]
fn the_only_link_of_a_part_leaves_it_floating() {
    let mut circuit = Circuit::new();
    let [negative, post, a, b] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 12.6, 0.011);
    let link = circuit.resistance(1, post, a, 0.1);
    circuit.resistance(2, a, b, 0.1);
    let network = Network::new(circuit).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let off = faults.solve(&[Change::Open(link)]).unwrap();
    assert!(!off.is_anew());
    assert_eq!([a, b].map(|node| off.voltage(node)), [Potential::Floating; 2]);
    assert_eq!(off.solution().between(a, b), Some(0.0));
    // And a bridge holds it again.
    let held = faults
        .solve(&[
            Change::Open(link),
            Change::Bridge {
                a: b,
                b: negative,
                ohms: 0.001,
            },
        ])
        .unwrap();
    assert!(!held.is_anew());
    assert!(held.voltage(a).volts().unwrap().abs() < 1e-12);
}

/// A sensor that falls silent together with the link to what hangs on it alone: both are found by update.
#[test]
fn a_sensor_falls_silent_and_its_wire_comes_off() {
    let mut circuit = Circuit::new();
    let [negative, post, out, pulled, stub] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 5.0, 1.0);
    let sensor = circuit.add(
        1,
        Element::Ratiometric {
            low: negative,
            high: post,
            out,
            share: 0.5,
            ohms: 100.0,
        },
    );
    circuit.resistance(2, out, pulled, 1.0);
    circuit.resistance(3, pulled, negative, 900.0);
    let link = circuit.resistance(4, pulled, stub, 1.0);
    let network = Network::new(circuit).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    assert!(point.solution().voltage(pulled).volts().unwrap() > 2.0);
    let faults = point.faults();
    let silent = faults.solve(&[Change::Open(sensor), Change::Open(link)]).unwrap();
    assert!(!silent.is_anew());
    assert!(silent.voltage(pulled).volts().unwrap().abs() < 1e-9);
    assert_eq!(silent.voltage(stub), Potential::Floating);
    assert_eq!(silent.solution().condition(sensor), Condition::Open);
}

/// A relay drops out when its coil's wire comes off; a fault at switch-on can end elsewhere than in service.
#[test]
fn relays_follow_a_fault() {
    let mut circuit = Circuit::new();
    let [negative, post, coil_feed, out] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 12.6, 0.011);
    let start_wire = circuit.resistance(1, post, coil_feed, 0.1);
    let coil = Element::Coil {
        from: coil_feed,
        to: negative,
        ohms: 80.0,
        pull_in_v: 8.0,
        drop_out_v: 2.0,
    };
    let coil = circuit.add(2, coil);
    let driver = Driver::ClosedBy(coil);
    circuit.add(
        3,
        Element::Contact {
            a: post,
            b: out,
            ohms: 0.01,
            driver,
        },
    );
    // A holding path from the relay's own output.
    let hold = circuit.resistance(4, out, coil_feed, 40.0);
    circuit.resistance(5, out, negative, 100.0);
    let network = Network::new(circuit).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    assert_eq!(point.solution().pulled_in(), [coil]);
    let faults = point.faults();
    let held = faults.solve(&[Change::Open(start_wire)]).unwrap();
    assert_eq!(held.solution().pulled_in(), [coil]);
    let cold = faults.solve_from_switch_on(&[Change::Open(start_wire)]).unwrap();
    assert!(cold.solution().pulled_in().is_empty());
    let lost = faults
        .solve(&[Change::Open(start_wire), Change::Open(hold)])
        .unwrap();
    assert!(lost.solution().pulled_in().is_empty());
    // A broken coil holds nothing though its voltage stands.
    let broken = faults.solve(&[Change::Open(coil)]).unwrap().solution();
    assert_eq!(broken.condition(coil), Condition::Open);
    assert!(broken.pulled_in().is_empty());
}

#[test]
fn a_sweep_keeps_its_order() {
    let car = car();
    let point = car.network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let list: Vec<[Change; 1]> = [car.feed, car.lamp_wire]
        .repeat(100)
        .into_iter()
        .map(|id| [Change::Open(id)])
        .collect();
    let seen = faults.sweep(&list, &Serial, |at, faulted| {
        (at, faulted.unwrap().current_a(car.feed))
    });
    assert_eq!(seen.len(), 200);
    assert!(
        seen.iter()
            .enumerate()
            .all(|(at, &(kept, current_a))| kept == at && f64::abs(current_a) < 1e-9)
    );
}

#[test]
fn a_fault_that_cannot_be_is_refused() {
    let car = car();
    let point = car.network.operate(&Start::Released).unwrap();
    let faults = point.faults();
    let error = faults.solve(&[Change::Open(ElementId(99))]).unwrap_err();
    assert_eq!(
        error.to_string(),
        "element 99 is not part of this network, so it cannot fail"
    );
    let bridge = Change::Bridge {
        a: car.lamp,
        b: car.chassis,
        ohms: 0.0,
    };
    assert!(faults.solve(&[bridge]).is_err());
}
