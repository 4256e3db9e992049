//! What hangs together before any voltage is known.

use crate::network::layout::{Layout, Pair};
use crate::network::pieces::Sets;
use crate::network::{Circuit, Element};

/// Pieces of a circuit, and how those that the reference does not hold are tied to it so that their own
/// voltages can be computed.
pub(super) struct Together {
    /// Elements that carry nothing.
    pub(super) open: Vec<bool>,
    /// For each unknown and, last, the reference: the lowest of its piece.
    pub(super) piece: Vec<u32>,
    /// Unknowns that a matrix without the bridges ties to the reference.
    pub(super) ties: Vec<u32>,
    /// Those of them that a bridge holds, so that the tie is to be taken away again.
    pub(super) loosened: Vec<u32>,
}

impl Together {
    /// `open` contacts are known. An output whose supply hangs on another piece than its return is not fed
    /// and carries nothing, which may part more; so it goes round until nothing changes.
    pub(super) fn new(
        circuit: &Circuit,
        layout: &Layout,
        mut open: Vec<bool>,
        bridges: &[(Pair, f64)],
    ) -> Self {
        loop {
            let mut sets = Sets::new(layout.joints.count + 1);
            for (at, element) in circuit.elements().iter().enumerate() {
                if !open[at] && !matches!(element, Element::Current { .. }) {
                    sets.join(layout.pairs[at].tail, layout.pairs[at].head);
                }
            }
            let (ties, loosened) = ties(layout, &mut sets, bridges);
            let piece: Vec<u32> = (0..=layout.joints.ground())
                .map(|unknown| sets.find(unknown))
                .collect();
            let mut again = false;
            for (at, element) in circuit.elements().iter().enumerate() {
                let pair = match *element {
                    Element::Current { .. } => layout.pairs[at],
                    Element::Ratiometric { low, high, .. } => layout.pair(low, high),
                    _ => continue,
                };
                if piece[pair.tail as usize] != piece[pair.head as usize] && !open[at] {
                    open[at] = true;
                    again |= matches!(element, Element::Ratiometric { .. });
                }
            }
            if !again {
                return Self {
                    open,
                    piece,
                    ties,
                    loosened,
                };
            }
        }
    }
}

/// Ties one unknown of every piece that the reference does not hold, the lowest, then joins pieces by the
/// bridges.
fn ties(layout: &Layout, sets: &mut Sets, bridges: &[(Pair, f64)]) -> (Vec<u32>, Vec<u32>) {
    let ground = layout.joints.ground();
    let (placed, others): (Vec<Pair>, Vec<Pair>) = bridges
        .iter()
        .map(|(pair, _)| *pair)
        .partition(|pair| layout.has_place(*pair));
    for pair in placed {
        sets.join(pair.tail, pair.head);
    }
    let held = sets.find(ground);
    let ties = (0..ground)
        .filter(|&unknown| sets.find(unknown) == unknown && unknown != held)
        .collect();
    let mut loosened = Vec::new();
    for pair in others {
        let (held, tail, head) = (sets.find(ground), sets.find(pair.tail), sets.find(pair.head));
        if tail != head {
            // The lowest stands for both; where one is held, the other's tie goes.
            let gone = if tail == held {
                head
            } else if head == held {
                tail
            } else {
                tail.max(head)
            };
            loosened.push(gone);
            sets.join(pair.tail, pair.head);
        }
    }
    (ties, loosened)
}
