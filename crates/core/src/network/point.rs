//! An operating point to look around from.

use super::operate::{Settled, held};
use super::read::read;
use super::{Circuit, NetworkError, NodeId, Solution};

/// An operating point with its factorised network.
#[derive(Debug, Clone)]
pub struct OperatingPoint<'n> {
    pub(crate) circuit: &'n Circuit,
    pub(crate) settled: Settled<'n>,
    solution: Solution,
    /// For each unknown the lowest that it hangs together with.
    pub(crate) held: Vec<u32>,
}

/// What the network is from two nodes, for small changes: a voltage behind a resistance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thevenin {
    /// Volts between the nodes as they are.
    pub open_v: f64,
    /// Ohms between the nodes. What bends counts with its slope at the operating point; the true current
    /// of a heavy fault comes from [`OperatingPoint::faults`].
    pub ohms: f64,
}

impl<'n> OperatingPoint<'n> {
    pub(crate) fn new(circuit: &'n Circuit, mut settled: Settled<'n>) -> Result<Self, NetworkError> {
        let solution = read(circuit, &settled, &[]);
        settled.search.linearise()?;
        let held = held(
            &settled.search.parts,
            &settled.search.x,
            |_| false,
            std::iter::empty(),
        );
        Ok(Self {
            circuit,
            settled,
            solution,
            held,
        })
    }

    /// Voltages, currents and conditions.
    #[must_use]
    pub fn solution(&self) -> &Solution {
        &self.solution
    }

    /// Looking into the network between `a` and `b`, volts of `a` above `b`; `None` where nothing joins
    /// them or relays chatter there.
    #[must_use]
    pub fn thevenin(&self, a: NodeId, b: NodeId) -> Option<Thevenin> {
        let open_v = self.solution.between(a, b)?;
        let layout = self.settled.search.layout;
        let pair = layout.pair(a, b);
        let mut x = layout.rest();
        pair.carry(1.0, &mut x);
        self.settled.search.factor.solve(&layout.pattern, &mut x);
        Some(Thevenin {
            open_v,
            ohms: pair.rise(&x),
        })
    }

    /// Of a small current that is drawn from `a` to `b`, the share that flows through each element, counted as
    /// its current is; what bends counts with its slope. `None` where nothing joins the two or relays chatter.
    /// Of a fault there, each fuse carries that share beside what it carries already.
    #[must_use]
    pub fn shares(&self, a: NodeId, b: NodeId) -> Option<Vec<f64>> {
        self.solution.between(a, b)?;
        let search = &self.settled.search;
        let mut x = search.layout.rest();
        search.layout.pair(a, b).carry(-1.0, &mut x);
        search.factor.solve(&search.layout.pattern, &mut x);
        let mut share = search.slopes(&x, self.circuit.elements().len());
        let mut leaving = vec![0.0; self.circuit.node_count()];
        leaving[a.index()] += 1.0;
        leaving[b.index()] -= 1.0;
        for (element, share) in self.circuit.elements().iter().zip(&share) {
            let (tail, head) = element.ends();
            leaving[tail.index()] += share;
            leaving[head.index()] -= share;
        }
        search.layout.joints.emf_currents(&mut leaving, &mut share);
        Some(share)
    }
}
