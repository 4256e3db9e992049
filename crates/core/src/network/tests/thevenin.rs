use crate::network::{Circuit, Element, Network, Start};

/// 12 V through 10 Ω onto 10 Ω: 6 V behind 5 Ω.
#[test]
fn a_divider_is_half_behind_half() {
    let mut circuit = Circuit::new();
    let [low, top, middle, alone] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.add(
        0,
        Element::Emf {
            minus: low,
            plus: top,
            emf_v: 12.0,
        },
    );
    circuit.resistance(1, top, middle, 10.0);
    circuit.resistance(2, middle, low, 10.0);
    let network = Network::new(circuit).unwrap();
    let point = network.operate(&Start::Released).unwrap();
    let seen = point.thevenin(middle, low).unwrap();
    assert!(
        (seen.open_v - 6.0).abs() < 1e-12 && (seen.ohms - 5.0).abs() < 1e-12,
        "{seen:?}"
    );
    // Between the poles of a voltage without resistance there is none.
    assert_eq!(point.thevenin(top, low).unwrap().ohms, 0.0);
    assert_eq!(point.thevenin(alone, low), None);
}

/// A converter below its limit shows its inner resistance, at its limit hardly any conductance.
#[test]
fn a_source_at_its_limit_is_no_longer_stiff() {
    for (load_ohms, expected) in [(1.0, 0.02 / 1.02), (0.1, 0.1)] {
        let mut circuit = Circuit::new();
        let [minus, plus] = std::array::from_fn(|_| circuit.node());
        circuit.set_reference(minus);
        circuit.add(
            0,
            Element::LimitedSource {
                minus,
                plus,
                emf_v: 13.8,
                ohms: 0.02,
                limit_a: 32.0,
            },
        );
        circuit.resistance(1, plus, minus, load_ohms);
        let network = Network::new(circuit).unwrap();
        let seen = network
            .operate(&Start::Released)
            .unwrap()
            .thevenin(plus, minus)
            .unwrap();
        assert!((seen.ohms - expected).abs() < 1e-6 * expected, "{seen:?}");
    }
}
