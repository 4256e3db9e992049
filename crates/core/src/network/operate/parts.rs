//! A circuit at given positions of its relays.

use crate::network::law::{Bent, Law, Straight};
use crate::network::layout::{Layout, Pair};
use crate::network::pieces::Sets;
use crate::network::sparse::Matrix;
use crate::network::{Circuit, Driver, Element, ElementId};

/// A part with a straight law: current `siemens · rise + constant_a`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line {
    pub(crate) element: usize,
    pub(crate) pair: Pair,
    pub(crate) siemens: f64,
    pub(crate) constant_a: f64,
}

impl Line {
    pub(super) fn current_a(&self, x: &[f64]) -> f64 {
        self.siemens * self.pair.rise(x) + self.constant_a
    }
}

/// A part whose law bends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bend {
    pub(crate) element: usize,
    pub(crate) pair: Pair,
    pub(crate) law: Bent,
}

/// A ratiometric output: `siemens · (share · supply − output)`, both against its return.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ratio {
    pub(super) output: Pair,
    pub(super) supply: Pair,
    siemens: f64,
    share: f64,
}

impl Ratio {
    /// Current from return to output.
    pub(super) fn current_a(&self, x: &[f64]) -> f64 {
        self.siemens * (self.output.across(x) - self.share * self.supply.across(x))
    }

    /// Its change along a direction.
    pub(super) fn change_a(&self, direction: &[f64]) -> f64 {
        self.siemens * (self.output.rise(direction) - self.share * self.supply.rise(direction))
    }
}

/// The circuit taken apart.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    pub(crate) lines: Vec<Line>,
    pub(crate) bends: Vec<Bend>,
    pub(crate) ratios: Vec<(usize, Ratio)>,
    /// Elements that carry nothing: open contacts, and what is joined to nothing that could.
    pub(crate) open: Vec<bool>,
    /// Piece of each unknown and, last, of the reference.
    pub(crate) piece: Vec<u32>,
    /// Everything straight.
    pub(super) base: Matrix,
}

/// Elements held open or closed whatever moves them.
pub(crate) type Forced = [(ElementId, bool)];

/// Whether an element is closed, which all but contacts are unless forced.
fn closed(id: ElementId, element: &Element, pulled: &[bool], forced: &Forced) -> bool {
    if let Some(&(_, closed)) = forced.iter().find(|(which, _)| *which == id) {
        return closed;
    }
    match *element {
        Element::Contact {
            driver: Driver::Given { closed },
            ..
        } => closed,
        Element::Contact {
            driver: Driver::ClosedBy(coil),
            ..
        } => pulled[coil.index()],
        Element::Contact {
            driver: Driver::OpenedBy(coil),
            ..
        } => !pulled[coil.index()],
        _ => true,
    }
}

impl Parts {
    /// Takes the circuit apart; `pulled` says of each element whether it is a coil that is pulled in.
    pub(crate) fn new(circuit: &Circuit, layout: &Layout, pulled: &[bool], forced: &Forced) -> Self {
        let (piece, open) = hang_together(circuit, layout, pulled, forced);
        let mut parts = Self {
            lines: Vec::with_capacity(circuit.elements().len()),
            bends: Vec::new(),
            ratios: Vec::new(),
            open,
            piece,
            base: Matrix::zero(&layout.pattern),
        };
        for (at, element) in circuit.elements().iter().enumerate() {
            if !parts.open[at] {
                parts.enter(at, element, layout);
            }
        }
        let ground = layout.joints.ground();
        let held = parts.piece[ground as usize];
        for unknown in 0..ground {
            // The lowest unknown stands for its piece.
            if parts.piece[unknown as usize] == unknown && unknown != held {
                parts.base.anchor(unknown);
            }
        }
        parts
    }

    fn enter(&mut self, at: usize, element: &Element, layout: &Layout) {
        let pair = layout.pairs[at];
        match Law::of(element) {
            Law::Straight(Straight { siemens, constant_a }) => {
                let constant_a = constant_a + siemens * pair.offset_v;
                self.lines.push(Line {
                    element: at,
                    pair,
                    siemens,
                    constant_a,
                });
                self.base.conductance(pair.tail, pair.head, pair.slot, siemens);
            }
            Law::Bent(law) => self.bends.push(Bend {
                element: at,
                pair,
                law,
            }),
            Law::Ratiometric => self.enter_ratio(at, element, layout),
            Law::Joint => {}
        }
    }

    fn enter_ratio(&mut self, at: usize, element: &Element, layout: &Layout) {
        let Element::Ratiometric {
            low,
            high,
            share,
            ohms,
            ..
        } = *element
        else {
            return;
        };
        let output = layout.pairs[at];
        let supply = layout.pair(low, high);
        let siemens = 1.0 / ohms;
        self.ratios.push((
            at,
            Ratio {
                output,
                supply,
                siemens,
                share,
            },
        ));
        let (low, out, high) = (output.tail, output.head, supply.head);
        let mut off = |row, column, value| self.base.off(row, column, layout.slot(row, column), value);
        off(low, out, -siemens);
        off(low, high, share * siemens);
        off(out, low, (share - 1.0) * siemens);
        off(out, high, -share * siemens);
    }
}

/// Which unknowns hang together, and which elements carry nothing. An output whose supply hangs on
/// another piece than its return is not fed and carries nothing, which may part more; so it goes round
/// until nothing changes.
fn hang_together(
    circuit: &Circuit,
    layout: &Layout,
    pulled: &[bool],
    forced: &Forced,
) -> (Vec<u32>, Vec<bool>) {
    let ground = layout.joints.ground();
    let elements = circuit.elements();
    let mut open: Vec<bool> = circuit
        .numbered()
        .map(|(id, element)| !closed(id, element, pulled, forced))
        .collect();
    loop {
        let mut sets = Sets::new(layout.joints.count + 1);
        for (at, element) in elements.iter().enumerate() {
            if !open[at] && !matches!(element, Element::Current { .. }) {
                sets.join(layout.pairs[at].tail, layout.pairs[at].head);
            }
        }
        let piece: Vec<u32> = (0..=ground).map(|unknown| sets.find(unknown)).collect();
        let mut again = false;
        for (at, element) in elements.iter().enumerate() {
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
            return (piece, open);
        }
    }
}
