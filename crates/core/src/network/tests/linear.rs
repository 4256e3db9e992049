use crate::network::{Circuit, Condition, Element, Potential, Solution, solve};

fn near(left: f64, right: f64) {
    assert!(
        (left - right).abs() <= 1e-10 * right.abs().max(1.0),
        "{left} against {right}"
    );
}

fn at(solution: &Solution, node: crate::network::NodeId) -> f64 {
    solution.voltage(node).volts().expect("the node is held")
}

/// 10 V across a bridge of 1, 2 / 3, 4 Ω with 5 Ω between the middles. By hand, node by node:
/// (a−10)/1 + a/2 + (a−b)/5 = 0 and (b−10)/3 + b/4 + (b−a)/5 = 0, solved by Cramer's rule.
#[test]
fn an_unbalanced_bridge() {
    let mut circuit = Circuit::new();
    let [low, top, left, right] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    let emf = circuit.add(
        0,
        Element::Emf {
            minus: low,
            plus: top,
            emf_v: 10.0,
        },
    );
    circuit.resistance(1, top, left, 1.0);
    circuit.resistance(2, left, low, 2.0);
    circuit.resistance(3, top, right, 3.0);
    circuit.resistance(4, right, low, 4.0);
    let middle = circuit.resistance(5, left, right, 5.0);
    let solution = solve(&circuit).unwrap();
    // 1.7 a − 0.2 b = 10; −0.2 a + 47/60 b = 10/3.
    let determinant = 1.7 * (47.0 / 60.0) - 0.04;
    let a = (10.0 * (47.0 / 60.0) + 0.2 * 10.0 / 3.0) / determinant;
    let b = (1.7 * 10.0 / 3.0 + 0.2 * 10.0) / determinant;
    near(at(&solution, left), a);
    near(at(&solution, right), b);
    near(solution.current_a(middle), (a - b) / 5.0);
    near(solution.current_a(emf), a / 2.0 + b / 4.0);
}

/// A ladder of 1 Ω steps and 1 Ω rungs divides by ratios of Fibonacci numbers: with ten rungs the last
/// node stands at 1/F(21) of the feed.
#[test]
fn a_ladder() {
    let mut circuit = Circuit::new();
    let (low, top) = (circuit.node(), circuit.node());
    circuit.set_reference(low);
    circuit.add(
        0,
        Element::Emf {
            minus: low,
            plus: top,
            emf_v: 10946.0,
        },
    );
    let mut last = top;
    for _ in 0..10 {
        let next = circuit.node();
        circuit.resistance(1, last, next, 1.0);
        circuit.resistance(2, next, low, 1.0);
        last = next;
    }
    near(at(&solve(&circuit).unwrap(), last), 1.0);
}

/// A pump of 9 A and a sensor share 20 mΩ back to the battery: the sensor's return is lifted.
#[test]
fn a_shared_ground_lifts_a_return() {
    let mut circuit = Circuit::new();
    let [negative, post, pump, splice, sensor] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(negative);
    circuit.source(0, negative, post, 12.6, 0.011);
    circuit.resistance(1, post, pump, 0.1);
    circuit.current_load(2, pump, splice, 9.0, 8.0);
    circuit.resistance(3, splice, negative, 0.020);
    circuit.current_load(4, post, sensor, 0.01, 4.0);
    circuit.resistance(5, sensor, splice, 0.5);
    let solution = solve(&circuit).unwrap();
    near(at(&solution, splice), 9.01 * 0.020);
    near(at(&solution, sensor), 9.01 * 0.020 + 0.005);
    near(at(&solution, pump), 12.6 - 9.01 * 0.011 - 0.9);
}

#[test]
fn a_part_without_the_reference_floats() {
    let mut circuit = Circuit::new();
    let [low, a, b, c, alone] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.resistance(0, low, a, 1.0);
    circuit.source(1, b, c, 12.0, 1.0);
    let bulb = circuit.resistance(2, b, c, 5.0);
    let stray = circuit.add(
        3,
        Element::Current {
            from: a,
            to: b,
            current_a: 1.0,
        },
    );
    let solution = solve(&circuit).unwrap();
    assert_eq!(solution.voltage(low), Potential::At(0.0));
    assert_eq!(solution.voltage(a), Potential::At(0.0));
    assert_eq!(
        [b, c, alone].map(|node| solution.voltage(node)),
        [Potential::Floating; 3]
    );
    // Within the floating part everything is known.
    near(solution.between(c, b).unwrap(), 10.0);
    near(solution.current_a(bulb), -2.0);
    assert_eq!(solution.between(a, b), None);
    assert_eq!(
        (solution.current_a(stray), solution.condition(stray)),
        (0.0, Condition::Open)
    );
}

#[test]
fn a_starved_load_is_a_resistor() {
    let mut circuit = Circuit::new();
    let [low, post, load] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.source(0, low, post, 12.0, 0.01);
    circuit.resistance(1, post, load, 10.0);
    let pump = circuit.current_load(2, load, low, 2.0, 8.0);
    let solution = solve(&circuit).unwrap();
    // 4 Ω below 8 V: 12 V × 4 / 14.01.
    near(at(&solution, load), 12.0 * 4.0 / 14.01);
    assert_eq!(solution.condition(pump), Condition::Starved);
}

/// 0.15 + 0.70 · x of its own supply-to-return, behind 1 kΩ, into 10 kΩ to the controller's ground;
/// supply sags to 4.9 V and the return is lifted by 0.1 V.
#[test]
fn a_ratiometric_output_follows_its_own_supply() {
    let mut circuit = Circuit::new();
    let [low, supply, lifted, out] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.add(
        0,
        Element::Emf {
            minus: low,
            plus: supply,
            emf_v: 4.9,
        },
    );
    circuit.add(
        1,
        Element::Emf {
            minus: low,
            plus: lifted,
            emf_v: 0.1,
        },
    );
    let share = 0.15 + 0.70 * 0.5;
    circuit.add(
        2,
        Element::Ratiometric {
            low: lifted,
            high: supply,
            out,
            share,
            ohms: 1000.0,
        },
    );
    circuit.resistance(3, out, low, 10_000.0);
    let solution = solve(&circuit).unwrap();
    near(at(&solution, out), (0.1 + share * 4.8) * 10.0 / 11.0);
}

#[test]
fn an_unfed_ratiometric_output_leaves_its_wire_to_others() {
    let mut circuit = Circuit::new();
    let [low, supply, out, five] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.add(
        0,
        Element::Emf {
            minus: low,
            plus: five,
            emf_v: 5.0,
        },
    );
    let sensor = circuit.add(
        1,
        Element::Ratiometric {
            low,
            high: supply,
            out,
            share: 0.5,
            ohms: 1000.0,
        },
    );
    circuit.resistance(2, five, out, 22_000.0);
    let solution = solve(&circuit).unwrap();
    near(at(&solution, out), 5.0);
    assert_eq!(solution.condition(sensor), Condition::Open);
}

/// Micro-ohms beside gigaohms keep their digits: no diagonal is ever subtracted.
#[test]
fn widely_spread_resistances() {
    let mut circuit = Circuit::new();
    let [low, post, joint, far] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(low);
    circuit.source(0, low, post, 12.0, 1e9);
    circuit.resistance(1, post, joint, 1e-6);
    circuit.resistance(2, joint, far, 1e-6);
    circuit.resistance(3, far, low, 1e9);
    let solution = solve(&circuit).unwrap();
    near(at(&solution, far), 6.0);
    near(at(&solution, joint), 6.0);
}
