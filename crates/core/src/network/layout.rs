//! A circuit made ready: unknowns in order of elimination, and where each element's values go.

use super::joints::Joints;
use super::sparse::{GROUND, Matrix, Pattern, minimum_degree};
use super::{Circuit, Element, NetworkError};

/// Two unknowns and the slot between them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pair {
    pub(crate) tail: u32,
    pub(crate) head: u32,
    pub(crate) slot: u32,
}

/// What depends on how a circuit is joined, not on its values.
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    pub(crate) joints: Joints,
    pub(crate) pattern: Pattern,
    /// Beside the elements.
    pub(crate) pairs: Vec<Pair>,
}

impl Layout {
    pub(crate) fn new(circuit: &Circuit) -> Result<Self, NetworkError> {
        let reference = circuit.checked_reference()?;
        let mut joints = Joints::new(circuit, reference)?;
        let mut adjacent: Vec<Vec<u32>> = vec![Vec::new(); joints.count];
        for element in circuit.elements() {
            let unknowns = element.terminals().map(|node| joints.unknown[node.index()]);
            for a in unknowns.clone().filter(|&a| a != GROUND) {
                adjacent[a as usize].extend(unknowns.clone().filter(|&b| b != GROUND && b != a));
            }
        }
        for near in &mut adjacent {
            near.sort_unstable();
            near.dedup();
        }
        let elimination = minimum_degree(adjacent);
        let pattern = Pattern::new(&elimination);
        joints.renumber(&elimination.order);
        let mut layout = Self {
            joints,
            pattern,
            pairs: Vec::with_capacity(circuit.elements().len()),
        };
        for element in circuit.elements() {
            let (tail, head) = element.ends();
            let pair = layout.pair(
                layout.joints.unknown[tail.index()],
                layout.joints.unknown[head.index()],
            );
            layout.pairs.push(pair);
        }
        Ok(layout)
    }

    /// The slot between two unknowns; it is not looked at where one is the reference or both are one.
    pub(crate) fn pair(&self, tail: u32, head: u32) -> Pair {
        Pair {
            tail,
            head,
            slot: self.pattern.slot(tail, head).unwrap_or(0),
        }
    }

    /// Enters a ratiometric output: its return gives what its output drives.
    pub(crate) fn stamp_ratiometric(&self, element: &Element, matrix: &mut Matrix) {
        let Element::Ratiometric {
            low,
            high,
            out,
            share,
            ohms,
        } = *element
        else {
            return;
        };
        let [low, high, out] = [low, high, out].map(|node| self.joints.unknown[node.index()]);
        let siemens = 1.0 / ohms;
        let mut off = |row, column, value| {
            matrix.off(row, column, self.pair(row, column).slot, value);
        };
        off(low, out, -siemens);
        off(low, high, share * siemens);
        off(out, low, (share - 1.0) * siemens);
        off(out, high, -share * siemens);
    }
}
