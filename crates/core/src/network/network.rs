//! A circuit made ready to be solved many times.

use super::layout::Layout;
use super::operate::operate;
use super::point::read;
use super::{Circuit, NetworkError, Solution, Start};

/// A circuit, checked and in order of elimination.
#[derive(Debug, Clone)]
pub struct Network {
    circuit: Circuit,
    layout: Layout,
}

impl Network {
    /// Checks a circuit and makes it ready.
    ///
    /// # Errors
    /// A sentence in [`NetworkError`] where a value is unusable, no reference is named or ideal voltages
    /// form a ring.
    pub fn new(circuit: Circuit) -> Result<Self, NetworkError> {
        let layout = Layout::new(&circuit)?;
        Ok(Self { circuit, layout })
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The operating point that is reached from `start`.
    ///
    /// # Errors
    /// [`NetworkError::NotConverged`] where no operating point is found, [`NetworkError::Singular`] where
    /// rounding leaves no digits.
    pub fn solve(&self, start: &Start) -> Result<Solution, NetworkError> {
        let settled = operate(&self.circuit, &self.layout, start)?;
        Ok(read(&self.circuit, &settled))
    }
}

/// Solves a circuit once, from switch-on.
///
/// # Errors
/// As [`Network::new`] and [`Network::solve`].
pub fn solve(circuit: &Circuit) -> Result<Solution, NetworkError> {
    let layout = Layout::new(circuit)?;
    let settled = operate(circuit, &layout, &Start::Released)?;
    Ok(read(circuit, &settled))
}
