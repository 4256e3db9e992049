//! Values on a pattern, their elimination, and solving with it.

use super::{NO_SLOT, Pattern};
use crate::network::NetworkError;

/// A matrix of current balances. Only what leaves the diagonal is kept, and each row's sum: the
/// diagonal is that sum less the rest, so it is never spoiled by cancellation.
#[derive(Debug, Clone)]
pub(crate) struct Matrix {
    /// Sum of each row, the conductance to the reference in a network of resistances.
    total: Vec<f64>,
    /// Entry (row, column) of each slot.
    low: Vec<f64>,
    /// Entry (column, row) of each slot.
    up: Vec<f64>,
    /// Whether all entries are alike both ways; then `low` means nothing.
    symmetric: bool,
}

impl Matrix {
    pub(crate) fn zero(pattern: &Pattern) -> Self {
        Self {
            total: vec![0.0; pattern.len() + 1],
            low: Vec::new(),
            up: vec![0.0; pattern.slots()],
            symmetric: true,
        }
    }

    /// A conductance between two unknowns (or the reference) whose slot is known.
    pub(crate) fn conductance(&mut self, a: u32, b: u32, slot: u32, siemens: f64) {
        if a == b {
        } else if slot == NO_SLOT {
            self.total[a as usize] += siemens;
            self.total[b as usize] += siemens;
        } else {
            self.up[slot as usize] -= siemens;
            if !self.symmetric {
                self.low[slot as usize] -= siemens;
            }
        }
    }

    /// An entry off the diagonal; the diagonal takes the opposite, as in any current balance.
    pub(crate) fn off(&mut self, row: u32, column: u32, slot: u32, value: f64) {
        if self.symmetric {
            self.symmetric = false;
            self.low.clone_from(&self.up);
        }
        if row == column {
        } else if slot == NO_SLOT {
            self.total[row as usize] -= value;
        } else if row > column {
            self.low[slot as usize] += value;
        } else {
            self.up[slot as usize] += value;
        }
    }

    /// Ties an unknown to the reference, for a part that nothing else holds.
    pub(crate) fn anchor(&mut self, row: u32) {
        self.total[row as usize] += 1.0;
    }
}

/// A matrix after elimination.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    /// One over each diagonal: dividing takes longer than all else in a round.
    inverse: Vec<f64>,
    /// Multipliers below, rows above the diagonal; row sums are used up.
    values: Matrix,
    /// Of the columns that changing values reach: as they are once those before them are eliminated.
    moving: Matrix,
    /// Whether the pivots of the columns that stand still are all above zero; none: not eliminated yet.
    still_is_stable: Option<bool>,
}

impl Factor {
    /// Room for a factor.
    pub(crate) fn empty(pattern: &Pattern) -> Self {
        let mut values = Matrix::zero(pattern);
        values.low = vec![0.0; pattern.slots()];
        let moving = Matrix {
            total: Vec::new(),
            low: Vec::new(),
            up: Vec::new(),
            symmetric: true,
        };
        Self {
            inverse: vec![0.0; pattern.len()],
            values,
            moving,
            still_is_stable: None,
        }
    }

    /// Loads a matrix and eliminates what stands still of it, or only takes that up again if it was done before; more may then be
    /// added in the columns that move.
    ///
    /// # Errors
    /// [`NetworkError::Singular`] where a pivot is zero or not finite.
    pub(crate) fn load(&mut self, pattern: &Pattern, matrix: &Matrix) -> Result<&mut Matrix, NetworkError> {
        let (column, slot) = (pattern.still(), pattern.still_slots());
        let Self { values, moving, .. } = self;
        if self.still_is_stable.is_some() {
            values.total[column..].copy_from_slice(&moving.total);
            values.up[slot..].copy_from_slice(&moving.up);
            if !values.symmetric {
                values.low[slot..].copy_from_slice(&moving.low);
            }
            return Ok(&mut self.values);
        }
        values.symmetric = matrix.symmetric;
        values.total.copy_from_slice(&matrix.total);
        values.up.copy_from_slice(&matrix.up);
        if !matrix.symmetric {
            values.low.copy_from_slice(&matrix.low);
        }
        self.still_is_stable = Some(self.eliminate_columns(pattern, 0..column)?);
        let Self { values, moving, .. } = self;
        moving.total.clear();
        moving.total.extend_from_slice(&values.total[column..]);
        moving.up.clear();
        moving.up.extend_from_slice(&values.up[slot..]);
        moving.low.clear();
        if !values.symmetric {
            moving.low.extend_from_slice(&values.low[slot..]);
        }
        Ok(&mut self.values)
    }

    /// Eliminates what was loaded, and says whether every pivot is above zero, as it is where an operating
    /// point can last.
    ///
    /// # Errors
    /// [`NetworkError::Singular`] where a pivot is zero or not finite.
    pub(crate) fn eliminate(&mut self, pattern: &Pattern) -> Result<bool, NetworkError> {
        let stable = self.eliminate_columns(pattern, pattern.still()..pattern.len())?;
        Ok(stable && self.still_is_stable == Some(true))
    }

    fn eliminate_columns(
        &mut self,
        pattern: &Pattern,
        columns: std::ops::Range<usize>,
    ) -> Result<bool, NetworkError> {
        let Self { inverse, values, .. } = self;
        let Matrix {
            total,
            low,
            up,
            symmetric,
        } = values;
        let mut stable = true;
        for k in columns {
            let (span, rows, targets) = (pattern.span(k), pattern.column(k), pattern.targets(k));
            let diagonal = total[k] - up[span.clone()].iter().sum::<f64>();
            if diagonal == 0.0 || !diagonal.is_finite() {
                return Err(NetworkError::Singular);
            }
            stable &= diagonal > 0.0;
            let own_inverse = 1.0 / diagonal;
            inverse[k] = own_inverse;
            let own = total[k];
            if *symmetric {
                for (&row, slot) in rows.iter().zip(span.clone()) {
                    low[slot] = up[slot] * own_inverse;
                    total[row as usize] -= low[slot] * own;
                }
                // Targets stand in later columns.
                let (done, later) = up.split_at_mut(span.end);
                let mut targets = targets;
                for i in span.clone() {
                    let rest = &done[i + 1..];
                    let (now, next) = targets.split_at(rest.len());
                    for (&up_j, &to) in rest.iter().zip(now) {
                        later[to as usize - span.end] -= low[i] * up_j;
                    }
                    targets = next;
                }
                continue;
            }
            for (&row, slot) in rows.iter().zip(span.clone()) {
                low[slot] *= own_inverse;
                total[row as usize] -= low[slot] * own;
            }
            let mut target = targets.iter();
            for i in span.clone() {
                let (low_i, up_i) = (low[i], up[i]);
                for (j, &to) in (i + 1..span.end).zip(target.by_ref()) {
                    low[to as usize] -= low[j] * up_i;
                    up[to as usize] -= low_i * up[j];
                }
            }
        }
        Ok(stable)
    }

    /// Solves in place, right sides by position; what stands for the reference becomes zero.
    pub(crate) fn solve(&self, pattern: &Pattern, x: &mut [f64]) {
        let (starts, rows, count) = (pattern.starts(), pattern.rows(), pattern.len());
        let (low, up) = (&self.values.low[..rows.len()], &self.values.up[..rows.len()]);
        // Mostly all but a few places are zero.
        let first = x.iter().position(|value| *value != 0.0).unwrap_or(count);
        for k in first..count {
            let value = x[k];
            if value != 0.0 {
                for slot in starts[k] as usize..starts[k + 1] as usize {
                    x[rows[slot] as usize] -= low[slot] * value;
                }
            }
        }
        x[count] = 0.0;
        let mut after = rows.len();
        for k in (0..count).rev() {
            let mut value = x[k];
            let begin = starts[k] as usize;
            for slot in begin..after {
                value -= up[slot] * x[rows[slot] as usize];
            }
            x[k] = value * self.inverse[k];
            after = begin;
        }
    }

    /// Solves with rows and columns exchanged.
    pub(crate) fn solve_mirrored(&self, pattern: &Pattern, x: &mut [f64]) {
        for k in 0..pattern.len() {
            x[k] *= self.inverse[k];
            let value = x[k];
            for (&row, slot) in pattern.column(k).iter().zip(pattern.span(k)) {
                x[row as usize] -= self.values.up[slot] * value;
            }
        }
        x[pattern.len()] = 0.0;
        for k in (0..pattern.len()).rev() {
            let mut value = x[k];
            for (&row, slot) in pattern.column(k).iter().zip(pattern.span(k)) {
                value -= self.values.low[slot] * x[row as usize];
            }
            x[k] = value;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::minimum_degree;
    use super::*;

    fn factor(pattern: &Pattern, matrix: &Matrix) -> Factor {
        let mut factor = Factor::empty(pattern);
        factor.load(pattern, matrix).unwrap();
        assert!(factor.eliminate(pattern).unwrap());
        factor
    }

    /// Three unknowns in a ring of 1, 2, 4 S with 0.5 S to the reference at the first.
    #[test]
    fn solves_a_ring() {
        let elimination = minimum_degree(vec![vec![1, 2], vec![0, 2], vec![0, 1]]);
        assert_eq!(elimination.order, vec![0, 1, 2]);
        let pattern = Pattern::new(&elimination, 1);
        let mut matrix = Matrix::zero(&pattern);
        for (a, b, siemens) in [(0, 1, 1.0), (1, 2, 2.0), (0, 2, 4.0)] {
            matrix.conductance(a, b, pattern.slot(a, b).unwrap(), siemens);
        }
        matrix.conductance(0, 3, NO_SLOT, 0.5);
        let mut x = [0.0, 0.0, 1.0, 0.0];
        factor(&pattern, &matrix).solve(&pattern, &mut x);
        // 1 A into the third leaves through 0.5 S: 2 V there; 4 S beside 1 and 2 S in series between.
        let between = 1.0 / (4.0 + 2.0 / 3.0);
        assert!((x[0] - 2.0).abs() < 1e-14, "{x:?}");
        assert!((x[2] - 2.0 - between).abs() < 1e-14, "{x:?}");
    }

    #[test]
    fn says_when_nothing_holds_it() {
        let pattern = Pattern::new(&minimum_degree(vec![vec![1], vec![0]]), 0);
        let mut matrix = Matrix::zero(&pattern);
        matrix.conductance(0, 1, 0, 3.0);
        let mut factor = Factor::empty(&pattern);
        factor.load(&pattern, &matrix).unwrap();
        let refused = factor.eliminate(&pattern);
        assert_eq!(refused, Err(NetworkError::Singular));
    }

    #[test]
    fn an_unsymmetric_entry_stays_on_its_side() {
        // x0 = 2 (held by a 1 S source), x1 follows: row 1 is x1 − 0.5 x0 = 0.
        let pattern = Pattern::new(&minimum_degree(vec![vec![1], vec![0]]), 0);
        let mut matrix = Matrix::zero(&pattern);
        matrix.conductance(0, 2, NO_SLOT, 1.0);
        matrix.off(1, 0, 0, -0.5);
        matrix.off(1, 2, NO_SLOT, -0.5);
        let mut x = [2.0, 0.0, 0.0];
        let factor = factor(&pattern, &matrix);
        factor.solve(&pattern, &mut x);
        assert_eq!(x, [2.0, 1.0, 0.0]);
        // Mirrored, x1 alone is held at 2 and x0 takes half of it.
        let mut x = [0.0, 2.0, 0.0];
        factor.solve_mirrored(&pattern, &mut x);
        assert_eq!(x, [1.0, 2.0, 0.0]);
    }
}
