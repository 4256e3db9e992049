use crate::network::{Circuit, Element, NetworkError, solve};

#[test]
fn no_reference() {
    let mut circuit = Circuit::new();
    let (a, b) = (circuit.node(), circuit.node());
    circuit.resistance(1, a, b, 1.0);
    assert_eq!(solve(&circuit).unwrap_err(), NetworkError::NoReference);
}

#[test]
fn values_that_mean_nothing() {
    for (ohms, expected) in [
        (0.0, "element 0 (tag 7): resistance is 0, it must be above zero"),
        (-2.0, "element 0 (tag 7): resistance is -2, it must be above zero"),
        (f64::NAN, "element 0 (tag 7): resistance is not a finite number"),
        (
            f64::INFINITY,
            "element 0 (tag 7): resistance is not a finite number",
        ),
    ] {
        let mut circuit = Circuit::new();
        let (a, b) = (circuit.node(), circuit.node());
        circuit.set_reference(a);
        circuit.resistance(7, a, b, ohms);
        assert_eq!(solve(&circuit).unwrap_err().to_string(), expected);
    }
}

#[test]
fn a_node_of_another_circuit() {
    let mut other = Circuit::new();
    let stranger = [other.node(), other.node()][1];
    let mut circuit = Circuit::new();
    let a = circuit.node();
    circuit.set_reference(a);
    circuit.resistance(3, a, stranger, 1.0);
    let error = solve(&circuit).unwrap_err();
    assert_eq!(
        error.to_string(),
        "element 0 (tag 3) is joined to a node that is not part of this network"
    );
}

#[test]
fn ideal_voltages_in_a_ring() {
    let mut circuit = Circuit::new();
    let (a, b) = (circuit.node(), circuit.node());
    circuit.set_reference(a);
    circuit.add(
        1,
        Element::Emf {
            minus: a,
            plus: b,
            emf_v: 12.0,
        },
    );
    circuit.add(
        2,
        Element::Emf {
            minus: a,
            plus: b,
            emf_v: 12.0,
        },
    );
    assert!(matches!(
        solve(&circuit).unwrap_err(),
        NetworkError::EmfLoop { tag: 2, .. }
    ));
}
