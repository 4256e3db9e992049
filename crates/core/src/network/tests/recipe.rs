//! Circuits for property tests, made from numbers.

use crate::network::{Circuit, Element, ElementId, NodeId, Solution, solve};
use proptest::prelude::*;

/// A harness-like recipe: a tree of wires with some cross links, sources and loads.
#[derive(Debug, Clone)]
pub(super) struct Recipe {
    /// (end, ohms): node `i + 1` hangs on `end % (i + 1)`.
    pub(super) tree: Vec<(usize, f64)>,
    pub(super) links: Vec<(usize, usize, f64)>,
    pub(super) sources: Vec<(usize, f64, f64)>,
    pub(super) loads: Vec<(usize, usize, f64, f64)>,
    /// (kind, end, end, size) of elements that bend.
    pub(super) bends: Vec<(u8, usize, usize, f64)>,
}

fn ohms() -> impl Strategy<Value = f64> {
    (-3.0..4.0f64).prop_map(|exponent| 10f64.powf(exponent))
}

/// Wires, sources and constant-current loads, and up to `bends` elements of all bending kinds.
pub(super) fn recipe(bends: usize) -> impl Strategy<Value = Recipe> {
    let end = || 0usize..1000;
    (
        prop::collection::vec((end(), ohms()), 2..40),
        prop::collection::vec((end(), end(), ohms()), 0..8),
        prop::collection::vec((end(), 1.0..16.0f64, ohms()), 1..4),
        prop::collection::vec((end(), end(), 0.001..5.0f64, 1.0..9.0f64), 0..6),
        prop::collection::vec((0u8..4, end(), end(), 0.0..1.0f64), 0..=bends),
    )
        .prop_map(|(tree, links, sources, loads, bends)| Recipe {
            tree,
            links,
            sources,
            loads,
            bends,
        })
}

fn bend((kind, from, to, size): (u8, NodeId, NodeId, f64)) -> Element {
    match kind {
        0 => Element::Diode {
            anode: from,
            cathode: to,
            saturation_a: 1e-12,
            slope_v: 0.026 + 0.026 * size,
        },
        1 => Element::Lamp {
            from,
            to,
            cold_ohms: 0.5,
            hot_ohms: 1.0 + 20.0 * size,
            rated_v: 12.0,
        },
        2 => Element::PowerLoad {
            from,
            to,
            power_w: 0.5 + 60.0 * size,
            least_v: 6.0,
        },
        _ => Element::LimitedSource {
            minus: from,
            plus: to,
            emf_v: 5.0,
            ohms: 0.5,
            limit_a: 0.05 + size,
        },
    }
}

impl Recipe {
    /// A circuit with nodes only, the nodes, and the elements to add.
    pub(super) fn elements(&self) -> (Circuit, Vec<NodeId>, Vec<Element>) {
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
        elements.extend(
            self.bends
                .iter()
                .map(|&(kind, from, to, size)| bend((kind, pick(from), pick(to), size))),
        );
        (circuit, nodes, elements)
    }

    /// Solves with the elements in the order given; the ids stand in the recipe's own order.
    pub(super) fn solve(&self, order: &[usize]) -> (Solution, Vec<ElementId>) {
        let (mut circuit, _, elements) = self.elements();
        let mut ids = vec![ElementId(0); elements.len()];
        for &at in order {
            ids[at] = circuit.add(at, elements[at]);
        }
        (solve(&circuit).expect("a recipe has a solution"), ids)
    }
}
