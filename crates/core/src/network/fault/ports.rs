//! How the network answers a current at each place where it may change.

use crate::network::law::Bent;
use crate::network::layout::Pair;
use crate::network::operate::Search;
use crate::network::{Circuit, Element};

/// A bend at the operating point.
#[derive(Debug, Clone, Copy)]
pub(super) struct BendPort {
    pub(super) element: usize,
    pub(super) pair: Pair,
    pub(super) law: Bent,
    /// Voltage there.
    pub(super) u: f64,
    /// Current there.
    pub(super) current_a: f64,
    /// Slope there that the factor has.
    pub(super) slope_s: f64,
}

/// A coil at the operating point.
#[derive(Debug, Clone, Copy)]
pub(super) struct CoilPort {
    pub(super) pair: Pair,
    pub(super) u: f64,
    /// It stays as it is while the size of its voltage is in this span.
    pub(super) least_v: f64,
    pub(super) most_v: f64,
}

/// All of them, and how each bend acts on each.
#[derive(Debug)]
pub(super) struct Ports {
    pub(super) bends: Vec<BendPort>,
    pub(super) coils: Vec<CoilPort>,
    /// Volts at a port for one ampere less at a bend: rows are bends, then coils.
    answer: Vec<f64>,
    /// Whether `answer` and all the network is the same both ways, as without ratiometric outputs.
    pub(super) symmetric: bool,
}

impl Ports {
    pub(super) fn new(circuit: &Circuit, search: &Search<'_>, pulled: &[bool]) -> Self {
        let mut bends = Vec::new();
        for (at, bend) in search.parts.bends.iter().enumerate() {
            let u = bend.pair.across(&search.x);
            bends.push(BendPort {
                element: bend.element,
                pair: bend.pair,
                law: bend.law,
                u,
                current_a: bend.law.flow(u, search.work[at]).current_a,
                slope_s: search.slope_s[at],
            });
        }
        let mut coils = Vec::new();
        for (at, element) in circuit.elements().iter().enumerate() {
            let Element::Coil {
                pull_in_v,
                drop_out_v,
                ..
            } = *element
            else {
                continue;
            };
            let pair = search.layout.pairs[at];
            let u = pair.across(&search.x);
            let (least_v, most_v) = if pulled[at] {
                (drop_out_v, f64::INFINITY)
            } else {
                (0.0, pull_in_v)
            };
            coils.push(CoilPort {
                pair,
                u,
                least_v,
                most_v,
            });
        }
        let mut answer = vec![0.0; (bends.len() + coils.len()) * bends.len()];
        let mut x = vec![0.0; search.x.len()];
        for (column, bend) in bends.iter().enumerate() {
            x.fill(0.0);
            bend.pair.carry(1.0, &mut x);
            search.factor.solve(&search.layout.pattern, &mut x);
            let pairs = bends
                .iter()
                .map(|bend| bend.pair)
                .chain(coils.iter().map(|coil| coil.pair));
            for (row, pair) in pairs.enumerate() {
                answer[row * bends.len() + column] = pair.rise(&x);
            }
        }
        Self {
            bends,
            coils,
            answer,
            symmetric: search.parts.ratios.is_empty(),
        }
    }

    /// Volts at bend `row` for one ampere less at bend `column`.
    pub(super) fn at_bend(&self, row: usize, column: usize) -> f64 {
        self.answer[row * self.bends.len() + column]
    }

    /// Volts at coil `row` for one ampere less at bend `column`.
    pub(super) fn at_coil(&self, row: usize, column: usize) -> f64 {
        self.answer[(self.bends.len() + row) * self.bends.len() + column]
    }
}
