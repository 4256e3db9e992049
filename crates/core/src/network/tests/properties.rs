use super::faults::with_relays;
use super::recipe::{Recipe, recipe};
use crate::network::{Circuit, Driver, Element, ElementId, NodeId, Potential, solve};
use proptest::prelude::*;

fn balanced(recipe: &Recipe) -> Result<(), TestCaseError> {
    let (mut circuit, nodes, elements) = recipe.elements();
    for (tag, element) in elements.iter().enumerate() {
        circuit.add(tag, *element);
    }
    let solution = solve(&circuit).map_err(|error| TestCaseError::fail(error.to_string()))?;
    let mut balance = vec![0.0; nodes.len()];
    let mut scale = vec![1e-6f64; nodes.len()];
    for (at, element) in (0u32..).zip(&elements) {
        let (tail, head) = element.ends();
        let current = solution.current_a(ElementId(at));
        balance[tail.index()] += current;
        balance[head.index()] -= current;
        // What a rounding of the voltages alone makes of the current.
        let slack = match *element {
            Element::Resistance { ohms, .. } | Element::Source { ohms, .. } => 20.0 / ohms,
            Element::Diode { slope_v, .. } => 1e3 * current.abs() / slope_v,
            _ => 1e3 * (current.abs() + 1.0),
        };
        scale[tail.index()] += slack;
        scale[head.index()] += slack;
    }
    for (balance, scale) in balance.iter().zip(&scale).skip(1) {
        prop_assert!(balance.abs() <= 4e-12 * scale, "{balance} at scale {scale}");
    }
    Ok(())
}

/// The same circuit with its elements in another order.
fn reordered(circuit: &Circuit, order: &[usize]) -> Circuit {
    let mut mixed = Circuit::new();
    for _ in 0..circuit.node_count() {
        mixed.node();
    }
    mixed.set_reference(circuit.reference().unwrap());
    let place = |id: ElementId| {
        let at = order.iter().position(|&at| at == id.index()).unwrap();
        ElementId(u32::try_from(at).unwrap())
    };
    for &at in order {
        let mut element = circuit.elements()[at];
        if let Element::Contact { driver, .. } = &mut element {
            *driver = match *driver {
                Driver::ClosedBy(coil) => Driver::ClosedBy(place(coil)),
                Driver::OpenedBy(coil) => Driver::OpenedBy(place(coil)),
                Driver::Given { closed } => Driver::Given { closed },
            };
        }
        mixed.add(at, element);
    }
    mixed
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn currents_balance_at_every_node(recipe in recipe(0)) {
        balanced(&recipe)?;
    }

    #[test]
    fn currents_balance_where_laws_bend(recipe in recipe(8)) {
        balanced(&recipe)?;
    }

    #[test]
    fn the_order_of_elements_changes_nothing(recipe in recipe(6), seed in any::<u64>()) {
        let (_, nodes, elements) = recipe.elements();
        let straight: Vec<usize> = (0..elements.len()).collect();
        let mut mixed = straight.clone();
        mixed.sort_by_key(|&at| (at as u64 + 1).wrapping_mul(seed | 1).rotate_left(17));
        let (left, _) = recipe.solve(&straight);
        let (right, _) = recipe.solve(&mixed);
        for node in nodes {
            let (left, right) = (left.voltage(node).volts().unwrap(), right.voltage(node).volts().unwrap());
            prop_assert!((left - right).abs() <= 1e-9, "{left} {right}");
        }
    }

    /// Nor with relays, which move together, whether or not the result says that they race.
    #[test]
    fn the_order_of_elements_changes_no_relay(recipe in recipe(4), seed in any::<u64>()) {
        let (circuit, nodes) = with_relays(&recipe);
        let mut order: Vec<usize> = (0..circuit.elements().len()).collect();
        order.sort_by_key(|&at| (at as u64 + 1).wrapping_mul(seed | 1).rotate_left(17));
        let mixed = reordered(&circuit, &order);
        let (left, right) = (solve(&circuit).unwrap(), solve(&mixed).unwrap());
        prop_assert_eq!(left.pulled_in().len(), right.pulled_in().len());
        prop_assert_eq!(left.chattering().len(), right.chattering().len());
        for node in nodes {
            match (left.voltage(node), right.voltage(node)) {
                (Potential::At(left), Potential::At(right)) => {
                    prop_assert!((left - right).abs() <= 1e-7, "{left} {right}");
                }
                (left, right) => prop_assert_eq!(std::mem::discriminant(&left), std::mem::discriminant(&right)),
            }
        }
    }

    /// One ampere between two nodes makes the same voltage between two others as the other way round.
    #[test]
    fn reciprocity(recipe in recipe(0), ends in prop::array::uniform4(0usize..1000)) {
        let (circuit, nodes, elements) = recipe.elements();
        let [a, b, c, d] = ends.map(|end| nodes[end % nodes.len()]);
        let transfer = |from: NodeId, to: NodeId, plus: NodeId, minus: NodeId| {
            let mut circuit = circuit.clone();
            for element in elements.iter().filter(|element| matches!(element, Element::Resistance { .. })) {
                circuit.add(0, *element);
            }
            circuit.add(1, Element::Current { from: to, to: from, current_a: 1.0 });
            solve(&circuit).unwrap().between(plus, minus).unwrap()
        };
        let (one, other) = (transfer(a, b, c, d), transfer(c, d, a, b));
        prop_assert!((one - other).abs() <= 1e-9 * one.abs().max(1.0), "{one} {other}");
    }

    /// Lowering a resistance raises no resistance between any two nodes.
    #[test]
    fn resistance_falls_with_resistance(recipe in recipe(0), ends in prop::array::uniform2(0usize..1000), which in 0usize..1000, factor in 0.01..1.0f64) {
        let (circuit, nodes, elements) = recipe.elements();
        let [a, b] = ends.map(|end| nodes[end % nodes.len()]);
        let wires = recipe.tree.len() + recipe.links.len();
        let between = |factor: f64| {
            let mut circuit = circuit.clone();
            for (at, element) in elements[..wires].iter().enumerate() {
                let Element::Resistance { a, b, ohms } = *element else { continue };
                let ohms = if at == which % wires { ohms * factor } else { ohms };
                circuit.resistance(at, a, b, ohms);
            }
            circuit.add(1000, Element::Current { from: b, to: a, current_a: 1.0 });
            solve(&circuit).unwrap().between(a, b).unwrap()
        };
        let (before, after) = (between(1.0), between(factor));
        prop_assert!(after <= before * (1.0 + 1e-9) + 1e-12, "{before} {after}");
    }
}
