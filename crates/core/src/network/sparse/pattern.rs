//! Where the entries of a matrix stand, fill included; made once, used for every set of values.

use super::order::Elimination;

/// Columns of the strictly lower triangle in order of elimination; the upper one mirrors it.
#[derive(Debug, Clone)]
pub(crate) struct Pattern {
    /// Column `k` holds slots `start[k]..start[k + 1]`.
    start: Vec<u32>,
    /// Row of each slot, ascending within a column.
    rows: Vec<u32>,
    /// Where the targets of column `k` begin.
    target_start: Vec<u32>,
    /// So many columns come first that values which change do not reach.
    still: usize,
    /// For each pair of a column's rows (later row last, in order), the slot that elimination changes.
    targets: Vec<u32>,
}

impl Pattern {
    /// Builds the pattern from an elimination; position `p` is the `p`-th vertex eliminated. The first `still`
    /// of them hang on no value that changes.
    pub(crate) fn new(elimination: &Elimination, still: usize) -> Self {
        let count = elimination.order.len();
        let mut position = vec![0u32; count];
        for (at, &vertex) in (0u32..).zip(&elimination.order) {
            position[vertex as usize] = at;
        }
        let mut pattern = Self {
            start: Vec::with_capacity(count + 1),
            rows: Vec::new(),
            target_start: Vec::with_capacity(count + 1),
            still,
            targets: Vec::new(),
        };
        pattern.start.push(0);
        for front in &elimination.fronts {
            let begin = pattern.rows.len();
            pattern
                .rows
                .extend(front.iter().map(|&vertex| position[vertex as usize]));
            pattern.rows[begin..].sort_unstable();
            pattern.start.push(u32_of(pattern.rows.len()));
        }
        pattern.target_start.push(0);
        for column in 0..count {
            let rows = pattern.column(column);
            let mut found = Vec::with_capacity(rows.len() * rows.len().saturating_sub(1) / 2);
            for (i, &first) in rows.iter().enumerate() {
                for &later in &rows[i + 1..] {
                    // A front is a clique once its vertex is gone, so the slot exists.
                    found.extend(pattern.slot(first, later));
                }
            }
            pattern.targets.extend(found);
            pattern.target_start.push(u32_of(pattern.targets.len()));
        }
        pattern
    }

    /// Number of unknowns.
    pub(crate) fn len(&self) -> usize {
        self.start.len() - 1
    }

    /// Number of unknowns at the beginning whose columns no changing value reaches.
    pub(crate) fn still(&self) -> usize {
        self.still
    }

    /// Lets values change in every column from this one on; what a change reaches comes later anyway.
    pub(crate) fn stands_still_before(&mut self, column: usize) {
        self.still = column.min(self.len());
    }

    /// Number of slots of their columns, which come first.
    pub(crate) fn still_slots(&self) -> usize {
        self.start[self.still] as usize
    }

    /// Number of slots.
    pub(crate) fn slots(&self) -> usize {
        self.rows.len()
    }

    /// Slots of a column.
    pub(crate) fn span(&self, column: usize) -> std::ops::Range<usize> {
        self.start[column] as usize..self.start[column + 1] as usize
    }

    /// Where each column's slots begin and, last, where all of them end.
    pub(crate) fn starts(&self) -> &[u32] {
        &self.start
    }

    /// Row of each slot.
    pub(crate) fn rows(&self) -> &[u32] {
        &self.rows
    }

    /// Rows of a column, ascending.
    pub(crate) fn column(&self, column: usize) -> &[u32] {
        &self.rows[self.span(column)]
    }

    /// Targets of a column.
    pub(crate) fn targets(&self, column: usize) -> &[u32] {
        &self.targets[self.target_start[column] as usize..self.target_start[column + 1] as usize]
    }

    /// The slot for two positions, in either order.
    pub(crate) fn slot(&self, a: u32, b: u32) -> Option<u32> {
        let (column, row) = (a.min(b) as usize, a.max(b));
        if column >= self.len() {
            return None;
        }
        let at = self.column(column).binary_search(&row).ok()?;
        Some(self.start[column] + u32_of(at))
    }
}

fn u32_of(value: usize) -> u32 {
    u32::try_from(value).unwrap_or(u32::MAX)
}
