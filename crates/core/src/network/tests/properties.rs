use crate::network::{Circuit, Element, ElementId, NodeId, Solution, solve};
use proptest::prelude::*;

/// A harness-like recipe: a tree of wires with some cross links, sources and loads.
#[derive(Debug, Clone)]
struct Recipe {
    /// (end, ohms): node `i + 1` hangs on `end % (i + 1)`.
    tree: Vec<(usize, f64)>,
    links: Vec<(usize, usize, f64)>,
    sources: Vec<(usize, f64, f64)>,
    loads: Vec<(usize, usize, f64, f64)>,
}

fn recipe() -> impl Strategy<Value = Recipe> {
    let ohms = || (-3.0..4.0f64).prop_map(|exponent| 10f64.powf(exponent));
    let end = || 0usize..1000;
    (
        prop::collection::vec((end(), ohms()), 2..40),
        prop::collection::vec((end(), end(), ohms()), 0..8),
        prop::collection::vec((end(), 1.0..16.0f64, ohms()), 1..4),
        prop::collection::vec((end(), end(), 0.001..5.0f64, 1.0..9.0f64), 0..6),
    )
        .prop_map(|(tree, links, sources, loads)| Recipe {
            tree,
            links,
            sources,
            loads,
        })
}

impl Recipe {
    fn elements(&self) -> (Circuit, Vec<NodeId>, Vec<Element>) {
        let mut circuit = Circuit::new();
        let nodes: Vec<NodeId> = (0..=self.tree.len()).map(|_| circuit.node()).collect();
        circuit.set_reference(nodes[0]);
        let pick = |end: usize| nodes[end % nodes.len()];
        let mut elements = Vec::new();
        for (at, &(end, ohms)) in self.tree.iter().enumerate() {
            elements.push(Element::Resistance {
                a: nodes[at + 1],
                b: nodes[end % (at + 1)],
                ohms,
            });
        }
        for &(a, b, ohms) in &self.links {
            elements.push(Element::Resistance {
                a: pick(a),
                b: pick(b),
                ohms,
            });
        }
        for &(plus, emf_v, ohms) in &self.sources {
            elements.push(Element::Source {
                minus: nodes[0],
                plus: pick(plus),
                emf_v,
                ohms,
            });
        }
        for &(from, to, current_a, least_v) in &self.loads {
            elements.push(Element::CurrentLoad {
                from: pick(from),
                to: pick(to),
                current_a,
                least_v,
            });
        }
        (circuit, nodes, elements)
    }

    /// Solves with the elements in the order given; results stand by the recipe's own order.
    fn solve(&self, order: &[usize]) -> (Solution, Vec<ElementId>) {
        let (mut circuit, _, elements) = self.elements();
        let mut ids = vec![ElementId(0); elements.len()];
        for &at in order {
            ids[at] = circuit.add(at, elements[at]);
        }
        (solve(&circuit).expect("a recipe has a solution"), ids)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn currents_balance_at_every_node(recipe in recipe()) {
        let (mut circuit, nodes, elements) = recipe.elements();
        for (tag, element) in elements.iter().enumerate() {
            circuit.add(tag, *element);
        }
        let solution = solve(&circuit).unwrap();
        let mut balance = vec![0.0; nodes.len()];
        let mut scale = vec![1e-6f64; nodes.len()];
        for (at, element) in (0u32..).zip(&elements) {
            let (tail, head) = element.ends();
            let current = solution.current_a(ElementId(at));
            balance[tail.index()] += current;
            balance[head.index()] -= current;
            // What a rounding of the voltages alone makes of a resistance's current.
            let slack = match *element {
                Element::Resistance { ohms, .. } | Element::Source { ohms, .. } => 20.0 / ohms,
                _ => current.abs(),
            };
            scale[tail.index()] += slack;
            scale[head.index()] += slack;
        }
        for (balance, scale) in balance.iter().zip(&scale).skip(1) {
            prop_assert!(balance.abs() <= 1e-12 * scale, "{balance} at scale {scale}");
        }
    }

    #[test]
    fn the_order_of_elements_changes_nothing(recipe in recipe(), seed in any::<u64>()) {
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

    /// One ampere between two nodes makes the same voltage between two others as the other way round.
    #[test]
    fn reciprocity(recipe in recipe(), ends in prop::array::uniform4(0usize..1000)) {
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
    fn resistance_falls_with_resistance(recipe in recipe(), ends in prop::array::uniform2(0usize..1000), which in 0usize..1000, factor in 0.01..1.0f64) {
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
