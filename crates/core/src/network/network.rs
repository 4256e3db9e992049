//! A circuit made ready to be solved many times.

use std::sync::Arc;

use super::layout::Layout;
use super::operate::{Altered, From, Settled, operate, racing};
use super::read::read;
use super::usable::usable;
use super::{Circuit, Element, ElementId, NetworkError, OperatingPoint, Solution, Start};

/// A circuit, checked and in order of elimination.
#[derive(Debug, Clone)]
pub struct Network {
    circuit: Circuit,
    layout: Arc<Layout>,
}

impl Network {
    /// Checks a circuit and makes it ready.
    ///
    /// # Errors
    /// A sentence in [`NetworkError`] where a value is unusable, no reference is named or ideal voltages
    /// form a ring.
    pub fn new(circuit: Circuit) -> Result<Self, NetworkError> {
        let layout = Arc::new(Layout::new(&circuit)?);
        Ok(Self { circuit, layout })
    }

    /// Another circuit made ready, in the same order of elimination if it is [joined alike](Network::is_joined_like).
    ///
    /// # Errors
    /// As [`Network::new`].
    pub fn again(&self, circuit: Circuit) -> Result<Self, NetworkError> {
        if !self.is_joined_like(&circuit) {
            return Self::new(circuit);
        }
        circuit.checked_reference()?;
        let first = self.layout.first_to_bend(&circuit);
        let layout = if first < self.layout.pattern.still() {
            Arc::new(self.layout.still_before(first))
        } else {
            Arc::clone(&self.layout)
        };
        Ok(Self { circuit, layout })
    }

    /// Gives resistances other ohms, above zero, and leaves all else as it is; what is no resistance stays as well.
    ///
    /// # Errors
    /// A sentence in [`NetworkError`] where a value is unusable.
    pub fn set_ohms(
        &mut self,
        values: impl IntoIterator<Item = (ElementId, f64)>,
    ) -> Result<(), NetworkError> {
        for (id, ohms) in values {
            if let Some(&Element::Resistance { a, b, .. }) = self.circuit.elements().get(id.index()) {
                let element = Element::Resistance { a, b, ohms };
                let tag = self.circuit.tags().get(id.index()).copied().unwrap_or(0);
                usable(&element, id, tag)?;
                self.circuit.replace(id, element);
            }
        }
        Ok(())
    }

    /// Whether a circuit joins the same nodes by as many elements, whatever their kinds and values are.
    #[must_use]
    pub fn is_joined_like(&self, circuit: &Circuit) -> bool {
        let alike = |(a, b): (&Element, &Element)| {
            let ideal = |e: &Element| matches!(e, Element::Emf { .. });
            a.terminals().eq(b.terminals()) && (a == b || !(ideal(a) || ideal(b)))
        };
        self.circuit.node_count() == circuit.node_count()
            && self.circuit.reference() == circuit.reference()
            && self.circuit.elements().len() == circuit.elements().len()
            && self.circuit.elements().iter().zip(circuit.elements()).all(alike)
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The circuit, to keep.
    #[must_use]
    pub fn into_circuit(self) -> Circuit {
        self.circuit
    }

    /// The operating point that is reached from `start`.
    ///
    /// # Errors
    /// [`NetworkError::NotConverged`] where no operating point is found, [`NetworkError::Singular`] where
    /// rounding leaves no digits.
    pub fn solve(&self, start: &Start) -> Result<Solution, NetworkError> {
        Ok(read(&self.circuit, &self.settle(start)?, &[]))
    }

    /// The same with what it takes to look from its nodes and to try faults.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn operate(&self, start: &Start) -> Result<OperatingPoint<'_>, NetworkError> {
        OperatingPoint::new(&self.circuit, self.settle(start)?)
    }

    /// The same, begun at the voltages of another circuit's operating point: sooner there where little differs.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn operate_near(
        &self,
        start: &Start,
        near: &OperatingPoint<'_>,
    ) -> Result<OperatingPoint<'_>, NetworkError> {
        let x = &near.settled.search.x;
        if x.len() == self.layout.rest().len() {
            let pulled = start.pulled(&self.circuit);
            let altered = Altered::default();
            if let Ok(settled) = operate(&self.circuit, &self.layout, &altered, pulled, &From::Guess(x)) {
                return OperatingPoint::new(&self.circuit, settled);
            }
        }
        self.operate(start)
    }

    /// The coils whose speed decides how it ends from `start`: moving before or after those that would move
    /// with them, they make it end elsewhere. Empty where the order does not matter. Each of the coils that
    /// move at once is tried as the first and as the last, which costs two computations a coil.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn racing(&self, start: &Start) -> Result<Vec<ElementId>, NetworkError> {
        racing(&self.circuit, &self.layout, start.pulled(&self.circuit))
    }

    fn settle(&self, start: &Start) -> Result<Settled<'_>, NetworkError> {
        let pulled = start.pulled(&self.circuit);
        operate(
            &self.circuit,
            &self.layout,
            &Altered::default(),
            pulled,
            &From::Rest,
        )
    }
}

/// Solves a circuit once, from switch-on.
///
/// # Errors
/// As [`Network::new`] and [`Network::solve`].
pub fn solve(circuit: &Circuit) -> Result<Solution, NetworkError> {
    let layout = Layout::new(circuit)?;
    let pulled = Start::Released.pulled(circuit);
    let settled = operate(circuit, &layout, &Altered::default(), pulled, &From::Rest)?;
    Ok(read(circuit, &settled, &[]))
}
