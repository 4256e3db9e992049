//! A circuit at given positions of its relays.

use super::together::Together;
use crate::network::law::{Bent, Law, Straight};
use crate::network::layout::{Layout, Pair};
use crate::network::sparse::Matrix;
use crate::network::{Circuit, Driver, Element, ElementId, NodeId};

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
    pub(crate) output: Pair,
    pub(crate) supply: Pair,
    pub(crate) siemens: f64,
    pub(crate) share: f64,
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
    /// Everything straight that the pattern has a place for.
    pub(super) base: Matrix,
    /// And what it has none for.
    pub(super) ranks: Vec<(Pair, f64)>,
}

/// What a fault makes of the circuit.
#[derive(Debug, Clone, Default)]
pub(crate) struct Altered {
    /// Elements held open or closed whatever moves them.
    pub(crate) forced: Vec<(ElementId, bool)>,
    /// Nodes that touch, with the ohms between.
    pub(crate) bridges: Vec<(NodeId, NodeId, f64)>,
}

/// Whether an element is closed, which all but contacts are unless forced.
fn closed(id: ElementId, element: &Element, pulled: &[bool], altered: &Altered) -> bool {
    if let Some(&(_, closed)) = altered.forced.iter().find(|(which, _)| *which == id) {
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
    pub(crate) fn new(circuit: &Circuit, layout: &Layout, pulled: &[bool], altered: &Altered) -> Self {
        let bridges: Vec<(Pair, f64)> = altered
            .bridges
            .iter()
            .map(|&(a, b, ohms)| (layout.pair(a, b), 1.0 / ohms))
            .collect();
        let open = circuit
            .numbered()
            .map(|(id, element)| !closed(id, element, pulled, altered))
            .collect();
        let together = Together::new(circuit, layout, open, &bridges);
        let mut parts = Self {
            lines: Vec::with_capacity(circuit.elements().len()),
            bends: Vec::new(),
            ratios: Vec::new(),
            open: together.open,
            piece: together.piece,
            base: Matrix::zero(&layout.pattern),
            ranks: Vec::new(),
        };
        for (at, element) in circuit.elements().iter().enumerate() {
            if !parts.open[at] {
                parts.enter(at, element, layout);
            }
        }
        for (&(pair, siemens), element) in bridges.iter().zip(circuit.elements().len()..) {
            parts.lines.push(Line {
                element,
                pair,
                siemens,
                constant_a: siemens * pair.offset_v,
            });
            if layout.has_place(pair) {
                parts.base.conductance(pair.tail, pair.head, pair.slot, siemens);
            } else {
                parts.ranks.push((pair, siemens));
            }
        }
        for unknown in together.ties {
            parts.base.anchor(unknown);
        }
        parts.ranks.extend(
            together
                .loosened
                .iter()
                .map(|&unknown| (layout.tie(unknown), -1.0)),
        );
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
