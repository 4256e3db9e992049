//! A few branches that the pattern of a factor has no place for.

use crate::network::NetworkError;
use crate::network::dense::Dense;
use crate::network::layout::Pair;
use crate::network::sparse::{Factor, Pattern};

/// Branches beside a factorised matrix, and what they make of its solutions.
#[derive(Debug, Clone)]
pub(super) struct Ranks {
    branches: Vec<(Pair, f64)>,
    /// The factor's answer to one ampere through each branch.
    answers: Vec<Vec<f64>>,
    equations: Dense,
}

impl Ranks {
    /// Branches with their conductances.
    pub(super) fn new(branches: &[(Pair, f64)]) -> Self {
        Self {
            branches: branches.to_vec(),
            answers: Vec::new(),
            equations: Dense::default(),
        }
    }

    /// Takes a new factor into account, and says whether an operating point could last, as far as the
    /// branches matter.
    ///
    /// # Errors
    /// [`NetworkError::Singular`] where too many digits would be lost.
    pub(super) fn eliminate(&mut self, factor: &Factor, pattern: &Pattern) -> Result<bool, NetworkError> {
        if self.branches.is_empty() {
            return Ok(true);
        }
        self.answers.clear();
        for (pair, _) in &self.branches {
            let mut answer = vec![0.0; pattern.len() + 1];
            pair.carry(1.0, &mut answer);
            factor.solve(pattern, &mut answer);
            self.answers.push(answer);
        }
        let mut entries = Vec::new();
        for (row, (pair, _)) in self.branches.iter().enumerate() {
            for (column, ((_, siemens), answer)) in self.branches.iter().zip(&self.answers).enumerate() {
                entries.push(pair.rise(answer) * siemens + if row == column { 1.0 } else { 0.0 });
            }
        }
        self.equations = Dense::new(entries, self.branches.len()).ok_or(NetworkError::Singular)?;
        Ok(self.equations.sign > 0.0)
    }

    /// Solves with the factor and the branches.
    pub(super) fn solve(&self, factor: &Factor, pattern: &Pattern, x: &mut [f64]) {
        factor.solve(pattern, x);
        if self.branches.is_empty() {
            return;
        }
        let rises: Vec<f64> = self.branches.iter().map(|(pair, _)| pair.rise(x)).collect();
        let rises = self.equations.solve(&rises);
        for (((_, siemens), answer), rise) in self.branches.iter().zip(&self.answers).zip(&rises) {
            let share = siemens * rise;
            for (x, answer) in x.iter_mut().zip(answer) {
                *x -= answer * share;
            }
        }
    }
}
