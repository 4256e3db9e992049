//! A few equations with as many unknowns.

/// Rows are those of a unit matrix and more, so that 1 is the measure of a pivot; below this one too many
/// digits are lost.
const LEAST_PIVOT: f64 = 1e-7;

/// A matrix after elimination with exchange of rows.
#[derive(Debug, Clone, Default)]
pub(crate) struct Dense {
    /// Row after row; multipliers below the diagonal.
    entries: Vec<f64>,
    /// Which row came to each place.
    rows: Vec<usize>,
    /// Sign of the determinant.
    pub(crate) sign: f64,
    /// Size of the least pivot.
    pub(crate) least_pivot: f64,
}

impl Dense {
    /// Eliminates a matrix of `size` rows given one after the other; not where digits would be lost.
    pub(crate) fn new(mut entries: Vec<f64>, size: usize) -> Option<Self> {
        let n = size;
        let mut rows: Vec<usize> = (0..n).collect();
        let (mut sign, mut least_pivot) = (1.0, f64::INFINITY);
        for k in 0..n {
            let best =
                (k..n).max_by(|&i, &j| entries[i * n + k].abs().total_cmp(&entries[j * n + k].abs()))?;
            if best != k {
                for column in 0..n {
                    entries.swap(best * n + column, k * n + column);
                }
                rows.swap(best, k);
                sign = -sign;
            }
            let pivot = entries[k * n + k];
            if pivot.is_nan() || pivot.abs() < LEAST_PIVOT {
                return None;
            }
            sign *= pivot.signum();
            least_pivot = least_pivot.min(pivot.abs());
            let (above, below) = entries.split_at_mut((k + 1) * n);
            let above = &above[k * n..];
            for row in below.chunks_exact_mut(n) {
                let factor = row[k] / pivot;
                row[k] = factor;
                if factor != 0.0 {
                    for (value, above) in row.iter_mut().zip(above).skip(k + 1) {
                        *value -= factor * above;
                    }
                }
            }
        }
        Some(Self {
            entries,
            rows,
            sign,
            least_pivot,
        })
    }

    /// Solves for one right side.
    pub(crate) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.rows.len();
        let mut x: Vec<f64> = self.rows.iter().map(|&row| right[row]).collect();
        for (k, row) in self.entries.chunks_exact(n.max(1)).enumerate() {
            let known: f64 = row[..k].iter().zip(&x).map(|(entry, x)| entry * x).sum();
            x[k] -= known;
        }
        for (k, row) in self.entries.chunks_exact(n.max(1)).enumerate().rev() {
            let known: f64 = row.iter().zip(&x).skip(k + 1).map(|(entry, x)| entry * x).sum();
            x[k] = (x[k] - known) / row[k];
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::Dense;

    #[test]
    fn with_exchange_and_without_digits() {
        let dense = Dense::new(vec![0.0, 2.0, 3.0, 1.0], 2).unwrap();
        assert_eq!((dense.solve(&[4.0, 5.0]), dense.sign), (vec![1.0, 2.0], -1.0));
        assert!(Dense::new(vec![1e-9], 1).is_none());
        assert!(Dense::new(Vec::new(), 0).unwrap().solve(&[]).is_empty());
    }
}
