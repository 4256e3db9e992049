//! A circuit made ready: unknowns in order of elimination, and where each element's values go.

use super::joints::Joints;
use super::law::Law;
use super::sparse::{NO_SLOT, Pattern, minimum_degree};
use super::{Circuit, Element, NetworkError, NodeId};

/// Two unknowns, the slot between them, and the volts that ideal voltages put between their nodes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pair {
    pub(crate) tail: u32,
    pub(crate) head: u32,
    pub(crate) slot: u32,
    pub(crate) offset_v: f64,
}

impl Pair {
    /// Voltage of the first node above the second.
    pub(crate) fn across(&self, x: &[f64]) -> f64 {
        self.rise(x) + self.offset_v
    }

    /// The same without the ideal voltages between.
    pub(crate) fn rise(&self, x: &[f64]) -> f64 {
        x[self.tail as usize] - x[self.head as usize]
    }

    /// Enters a current from the first to the second into a balance of what leaves.
    pub(crate) fn carry(&self, current_a: f64, balance_a: &mut [f64]) {
        balance_a[self.tail as usize] += current_a;
        balance_a[self.head as usize] -= current_a;
    }
}

/// What depends on how a circuit is joined, not on its values or positions.
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
        let ground = joints.ground();
        let mut adjacent: Vec<Vec<u32>> = vec![Vec::new(); joints.count];
        for element in circuit.elements() {
            let unknowns = element.terminals().map(|node| joints.of(node));
            for a in unknowns.clone().filter(|&a| a != ground) {
                adjacent[a as usize].extend(unknowns.clone().filter(|&b| b != ground && b != a));
            }
        }
        for near in &mut adjacent {
            near.sort_unstable();
            near.dedup();
        }
        let mut elimination = minimum_degree(adjacent);
        let mut moves = vec![false; joints.count];
        for element in circuit.elements().iter().filter(|element| bends(element)) {
            let ends = element.terminals().map(|node| joints.of(node));
            ends.filter(|&end| end != ground)
                .for_each(|end| moves[end as usize] = true);
        }
        let still = elimination.still_first(moves);
        let pattern = Pattern::new(&elimination, still);
        joints.renumber(&elimination.order);
        let mut layout = Self {
            joints,
            pattern,
            pairs: Vec::with_capacity(circuit.elements().len()),
        };
        for element in circuit.elements() {
            let (tail, head) = element.ends();
            layout.pairs.push(layout.pair(tail, head));
        }
        Ok(layout)
    }

    /// The first unknown in order of elimination where something of a circuit joined alike bends.
    pub(crate) fn first_to_bend(&self, circuit: &Circuit) -> usize {
        let bent = circuit.elements().iter().filter(|element| bends(element));
        let unknowns = bent
            .flat_map(Element::terminals)
            .map(|node| self.joints.of(node) as usize);
        unknowns.min().unwrap_or(usize::MAX)
    }

    /// The same with nothing standing still but what comes before this unknown.
    pub(crate) fn still_before(&self, unknown: usize) -> Self {
        let mut layout = self.clone();
        layout.pattern.stands_still_before(unknown);
        layout
    }

    /// No voltage anywhere.
    pub(crate) fn rest(&self) -> Vec<f64> {
        vec![0.0; self.joints.count + 1]
    }

    /// Two nodes as a pair.
    pub(crate) fn pair(&self, tail: NodeId, head: NodeId) -> Pair {
        let offset_v = self.joints.offset_v(tail) - self.joints.offset_v(head);
        let (tail, head) = (self.joints.of(tail), self.joints.of(head));
        Pair {
            tail,
            head,
            slot: self.slot(tail, head),
            offset_v,
        }
    }

    /// Whether the pattern has a place for a branch there.
    pub(crate) fn has_place(&self, pair: Pair) -> bool {
        let ground = self.joints.ground();
        pair.slot != NO_SLOT || pair.tail == pair.head || pair.tail == ground || pair.head == ground
    }

    /// An unknown's tie to the reference.
    pub(crate) fn tie(&self, unknown: u32) -> Pair {
        Pair {
            tail: unknown,
            head: self.joints.ground(),
            slot: NO_SLOT,
            offset_v: 0.0,
        }
    }

    /// The slot between two unknowns.
    pub(crate) fn slot(&self, a: u32, b: u32) -> u32 {
        self.pattern.slot(a, b).unwrap_or(NO_SLOT)
    }
}

/// Whether an element's slope changes from round to round.
fn bends(element: &Element) -> bool {
    matches!(Law::of(element), Law::Bent(_))
}
