//! The operating point: current balance at every node, by Newton's method.

use super::law::{Flow, bends, conducts, flow};
use super::layout::Layout;
use super::pieces::Sets;
use super::sparse::{Factor, GROUND, Matrix};
use super::{Circuit, Condition, Element, ElementId, NetworkError, NodeId, Solution};

/// Rounds before giving up.
const MOST_ROUNDS: usize = 100;
/// A round that changes no voltage by more than this was the last, volts.
const SETTLED_V: f64 = 1e-9;
/// Least slope given to the search, as a share of a load's own slope when starved. It steers the
/// search where a current does not depend on voltage and is no part of the balance itself.
const LEAST_SLOPE: f64 = 1e-6;

/// Solves a circuit.
///
/// # Errors
/// A sentence in [`NetworkError`] where a value is unusable, no reference is named, ideal voltages form a
/// ring, or no operating point is found.
pub fn solve(circuit: &Circuit) -> Result<Solution, NetworkError> {
    let layout = Layout::new(circuit)?;
    Operation::new(circuit, &layout).run()
}

/// One search.
struct Operation<'c> {
    circuit: &'c Circuit,
    layout: &'c Layout,
    /// Elements that are not joined to anything that could carry their current.
    open: Vec<bool>,
    /// Of each unknown; the reference's own is `ground`.
    piece: Vec<u32>,
    ground: u32,
    /// One unknown of each piece that the reference does not hold.
    anchors: Vec<u32>,
    /// Volts of each unknown.
    x: Vec<f64>,
}

impl<'c> Operation<'c> {
    fn new(circuit: &'c Circuit, layout: &'c Layout) -> Self {
        let count = layout.joints.count;
        let ground = u32::try_from(count).unwrap_or(GROUND);
        let mut this = Self {
            circuit,
            layout,
            open: vec![false; circuit.elements().len()],
            piece: Vec::new(),
            ground,
            anchors: Vec::new(),
            x: vec![0.0; count],
        };
        this.find_pieces();
        this
    }

    /// Which unknowns hang together. An output whose supply hangs on another piece than its return is not
    /// fed and drops out, which may part more; so it goes round until nothing changes.
    fn find_pieces(&mut self) {
        loop {
            let mut sets = Sets::new(self.x.len() + 1);
            let own = |unknown: u32| if unknown == GROUND { self.ground } else { unknown };
            for (at, element) in self.circuit.elements().iter().enumerate() {
                let pair = self.layout.pairs[at];
                if conducts(element) && !self.open[at] {
                    sets.join(own(pair.tail), own(pair.head));
                }
            }
            let ground = sets.find(self.ground);
            self.piece = (0..=self.ground).map(|unknown| sets.find(unknown)).collect();
            let mut changed = false;
            for (at, element) in self.circuit.elements().iter().enumerate() {
                let apart = match *element {
                    Element::Current { .. } => {
                        let pair = self.layout.pairs[at];
                        self.piece[own(pair.tail) as usize] != self.piece[own(pair.head) as usize]
                    }
                    Element::Ratiometric { low, high, .. } => {
                        let [low, high] =
                            [low, high].map(|node| own(self.layout.joints.unknown[node.index()]));
                        self.piece[low as usize] != self.piece[high as usize]
                    }
                    _ => false,
                };
                if apart && !self.open[at] {
                    self.open[at] = true;
                    changed |= conducts(element);
                }
            }
            if !changed {
                self.anchors = (0..self.ground)
                    .filter(|&unknown| self.piece[unknown as usize] == unknown && unknown != ground)
                    .collect();
                return;
            }
        }
    }

    fn volts(&self, node: NodeId) -> f64 {
        self.layout.joints.volts(node, &self.x)
    }

    fn across(&self, element: &Element) -> f64 {
        let (tail, head) = element.ends();
        self.volts(tail) - self.volts(head)
    }

    /// Current and slope of an element at the present voltages.
    fn flow_of(&self, at: usize, element: &Element) -> Flow {
        if self.open[at] {
            return Flow {
                current_a: 0.0,
                slope_s: 0.0,
            };
        }
        if let Element::Ratiometric {
            low,
            high,
            out,
            share,
            ohms,
        } = *element
        {
            let (low_v, high_v, out_v) = (self.volts(low), self.volts(high), self.volts(out));
            let current_a = (share * (high_v - low_v) - (out_v - low_v)) / ohms;
            return Flow {
                current_a,
                slope_s: 0.0,
            };
        }
        flow(element, self.across(element))
    }

    /// Current balance and its derivative.
    fn assemble(&self, balance_a: &mut [f64], matrix: &mut Matrix) {
        balance_a.fill(0.0);
        matrix.clear();
        for (at, element) in self.circuit.elements().iter().enumerate() {
            let pair = self.layout.pairs[at];
            let Flow { current_a, slope_s } = self.flow_of(at, element);
            if pair.tail != GROUND {
                balance_a[pair.tail as usize] += current_a;
            }
            if pair.head != GROUND {
                balance_a[pair.head as usize] -= current_a;
            }
            match *element {
                Element::Ratiometric { .. } if !self.open[at] => {
                    self.layout.stamp_ratiometric(element, matrix);
                }
                Element::CurrentLoad {
                    current_a, least_v, ..
                } => {
                    let least = LEAST_SLOPE * current_a / least_v;
                    matrix.conductance(pair.tail, pair.head, pair.slot, slope_s.max(least));
                }
                _ => matrix.conductance(pair.tail, pair.head, pair.slot, slope_s),
            }
        }
        for &unknown in &self.anchors {
            matrix.anchor(unknown);
        }
    }

    fn run(mut self) -> Result<Solution, NetworkError> {
        let linear = !self.circuit.elements().iter().any(bends);
        let pattern = &self.layout.pattern;
        let mut step = vec![0.0; self.x.len()];
        let mut matrix = Matrix::zero(pattern);
        let mut factor = None;
        for _ in 0..MOST_ROUNDS {
            self.assemble(&mut step, &mut matrix);
            let factor = match &factor {
                Some(factor) if linear => factor,
                _ => factor.insert(Factor::new(pattern, matrix.clone())?),
            };
            factor.solve(pattern, &mut step);
            let mut change_v = 0.0f64;
            let mut greatest_v = 1.0f64;
            for (x, step) in self.x.iter_mut().zip(&step) {
                *x -= step;
                change_v = change_v.max(step.abs());
                greatest_v = greatest_v.max(x.abs());
            }
            if !change_v.is_finite() {
                return Err(NetworkError::Singular);
            }
            if change_v <= SETTLED_V * greatest_v {
                return Ok(self.finish());
            }
        }
        Err(self.not_converged(&step))
    }

    fn not_converged(&self, step: &[f64]) -> NetworkError {
        let mut worst = (ElementId(0), 0.0);
        let of = |unknown: u32| step.get(unknown as usize).copied().unwrap_or(0.0);
        for (id, element) in self.circuit.numbered() {
            let pair = self.layout.pairs[id.index()];
            let change_v = (of(pair.tail) - of(pair.head)).abs();
            if bends(element) && change_v >= worst.1 {
                worst = (id, change_v);
            }
        }
        let tag = self.circuit.tags().get(worst.0.index()).copied().unwrap_or(0);
        NetworkError::NotConverged {
            element: worst.0,
            tag,
            rounds: MOST_ROUNDS,
            change_v: worst.1,
        }
    }

    fn finish(self) -> Solution {
        let joints = &self.layout.joints;
        let nodes = self.circuit.node_count();
        let mut leaving_a = vec![0.0; nodes];
        let mut current_a = vec![0.0; self.circuit.elements().len()];
        let mut condition = Vec::with_capacity(current_a.len());
        for (at, element) in self.circuit.elements().iter().enumerate() {
            let (tail, head) = element.ends();
            current_a[at] = self.flow_of(at, element).current_a;
            leaving_a[tail.index()] += current_a[at];
            leaving_a[head.index()] -= current_a[at];
            condition.push(match *element {
                _ if self.open[at] => Condition::Open,
                Element::CurrentLoad { least_v, .. } if self.across(element) < least_v => Condition::Starved,
                _ => Condition::Normal,
            });
        }
        joints.emf_currents(&mut leaving_a, &mut current_a);
        let ground = self.piece[self.ground as usize];
        let mut volts = Vec::with_capacity(nodes);
        let mut piece = Vec::with_capacity(nodes);
        for node in (0u32..).map(NodeId).take(nodes) {
            let unknown = joints.unknown[node.index()];
            let own = if unknown == GROUND {
                ground
            } else {
                self.piece[unknown as usize]
            };
            piece.push(if own == ground { 0 } else { own + 1 });
            volts.push(self.volts(node));
        }
        Solution {
            volts,
            piece,
            current_a,
            condition,
        }
    }
}
