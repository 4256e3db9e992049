//! A circuit solved again with other values, in the order of elimination of the first.

use crate::network::{Circuit, Driver, Element, Network, Start};

/// A source of 12 V behind 1 Ω, a load of `ohms`, beside it a contact of 1 Ω.
fn circuit(ohms: f64, closed: bool) -> Circuit {
    let mut circuit = Circuit::new();
    let (low, high) = (circuit.node(), circuit.node());
    circuit.set_reference(low);
    circuit.source(0, low, high, 12.0, 1.0);
    circuit.resistance(1, high, low, ohms);
    let driver = Driver::Given { closed };
    circuit.add(
        2,
        Element::Contact {
            a: high,
            b: low,
            ohms: 1.0,
            driver,
        },
    );
    circuit
}

#[test]
fn other_values_and_positions_keep_the_order_and_give_the_same_answer() {
    let first = Network::new(circuit(2.0, false)).unwrap();
    for (ohms, closed) in [(5.0, false), (2.0, true), (2.0, false)] {
        assert!(first.is_joined_like(&circuit(ohms, closed)));
        let again = first
            .again(circuit(ohms, closed))
            .unwrap()
            .solve(&Start::Released);
        let anew = Network::new(circuit(ohms, closed))
            .unwrap()
            .solve(&Start::Released);
        assert_eq!(again.unwrap(), anew.unwrap());
    }
}

#[test]
fn what_is_joined_otherwise_is_made_ready_anew_and_bad_values_are_refused() {
    let first = Network::new(circuit(2.0, false)).unwrap();
    let mut more = circuit(2.0, false);
    let node = more.node();
    more.resistance(3, node, node, 1.0);
    assert!(!first.is_joined_like(&more));
    assert!(first.again(more).is_ok());
    assert!(first.again(circuit(-1.0, false)).is_err());
}

#[test]
fn what_bends_where_nothing_bent_is_solved_rightly() {
    let first = Network::new(circuit(2.0, false)).unwrap();
    let mut bent = circuit(2.0, false);
    let (id, element) = bent.numbered().nth(1).map(|(id, e)| (id, *e)).unwrap();
    let (from, to) = element.ends();
    let load = Element::PowerLoad {
        from,
        to,
        power_w: 20.0,
        least_v: 6.0,
    };
    bent.replace(id, load);
    assert!(first.is_joined_like(&bent));
    let again = first.again(bent.clone()).unwrap().solve(&Start::Released);
    let anew = Network::new(bent).unwrap().solve(&Start::Released);
    assert_eq!(again.unwrap(), anew.unwrap());
}
