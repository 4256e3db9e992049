//! How the network answers a current at each place where it may change.

use std::sync::OnceLock;

use crate::network::law::Bent;
use crate::network::layout::Pair;
use crate::network::operate::Search;
use crate::network::{Circuit, Driver, Element};

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
#[derive(Debug, Clone)]
pub(super) struct CoilPort {
    pub(super) element: usize,
    pub(super) pair: Pair,
    pub(super) u: f64,
    pub(super) pull_in_v: f64,
    pub(super) drop_out_v: f64,
    /// Its contacts, and whether each is closed when it is pulled in.
    pub(super) contacts: Vec<(usize, bool)>,
}

/// How the network answers a current at a bend.
#[derive(Debug)]
struct Column {
    /// Volts at all bends, then all coils, for one ampere less there.
    at_ports: Vec<f64>,
    /// The same everywhere, if that is kept.
    everywhere: Vec<f64>,
}

/// More figures than this are not kept of the answers everywhere: 32 MB.
const MOST_KEPT: usize = 4 << 20;

/// All of them, and how each bend acts on each.
#[derive(Debug)]
pub(super) struct Ports {
    pub(super) bends: Vec<BendPort>,
    pub(super) coils: Vec<CoilPort>,
    /// Beside the bends, as far as that was asked for: most faults reach but a few.
    columns: Vec<OnceLock<Column>>,
    /// Whether all the network answers the same both ways, as without ratiometric outputs.
    pub(super) symmetric: bool,
    /// Whether columns are kept everywhere: where the network does not answer both ways alike, they spare the way back.
    keeps: bool,
}

impl Ports {
    pub(super) fn new(circuit: &Circuit, search: &Search<'_>) -> Self {
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
        let symmetric = search.parts.ratios.is_empty();
        Self {
            coils: coils(circuit, search),
            columns: bends.iter().map(|_| OnceLock::new()).collect(),
            symmetric,
            keeps: !symmetric && bends.len() * search.x.len() <= MOST_KEPT,
            bends,
        }
    }

    fn column(&self, search: &Search<'_>, bend: usize) -> &Column {
        self.columns[bend].get_or_init(|| {
            let mut x = search.layout.rest();
            self.bends[bend].pair.carry(1.0, &mut x);
            search.factor.solve(&search.layout.pattern, &mut x);
            Column {
                at_ports: self.rises(&x),
                everywhere: if self.keeps { x } else { Vec::new() },
            }
        })
    }

    /// Volts that a change of all unknowns makes at all bends, then all coils.
    pub(super) fn rises(&self, change: &[f64]) -> Vec<f64> {
        let bends = self.bends.iter().map(|bend| bend.pair);
        let coils = self.coils.iter().map(|coil| coil.pair);
        bends.chain(coils).map(|pair| pair.rise(change)).collect()
    }

    /// Volts at all bends, then all coils, for one ampere less at a bend.
    pub(super) fn by_bend(&self, search: &Search<'_>, bend: usize) -> &[f64] {
        &self.column(search, bend).at_ports
    }

    /// Volts at bend `row` for one ampere less at bend `column`.
    pub(super) fn at_bend(&self, search: &Search<'_>, row: usize, column: usize) -> f64 {
        self.by_bend(search, column)[row]
    }

    /// Volts everywhere for one ampere less at a bend, where that is kept.
    pub(super) fn kept_at(&self, search: &Search<'_>, bend: usize) -> Option<&[f64]> {
        self.keeps.then(|| &*self.column(search, bend).everywhere)
    }

    /// Whether a way back has to be found of each answer.
    pub(super) fn wants_mirrored(&self) -> bool {
        !self.symmetric && !self.keeps
    }
}

fn coils(circuit: &Circuit, search: &Search<'_>) -> Vec<CoilPort> {
    let mut coils = Vec::new();
    let mut place = vec![usize::MAX; circuit.elements().len()];
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
        place[at] = coils.len();
        coils.push(CoilPort {
            element: at,
            pair,
            u: pair.across(&search.x),
            pull_in_v,
            drop_out_v,
            contacts: Vec::new(),
        });
    }
    for (at, element) in circuit.elements().iter().enumerate() {
        let Element::Contact { driver, .. } = *element else {
            continue;
        };
        let (coil, with) = match driver {
            Driver::ClosedBy(coil) => (coil, true),
            Driver::OpenedBy(coil) => (coil, false),
            Driver::Given { .. } => continue,
        };
        if let Some(coil) = coils.get_mut(place[coil.index()]) {
            coil.contacts.push((at, with));
        }
    }
    coils
}
