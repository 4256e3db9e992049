//! Lays out rows and walks them in the order of numbering.

use super::layout::{Rows, Side, Spot};

/// The cavities in the order of numbering.
pub(super) fn spots(rows: &Rows) -> Vec<Spot> {
    let mut lines: Vec<Vec<Spot>> = lay(rows);
    if rows.from.lower {
        lines.reverse();
    }
    if rows.from.right {
        for line in &mut lines {
            line.reverse();
        }
    }
    if rows.by_column {
        lines = columns(lines);
    }
    if rows.back_and_forth {
        for line in lines.iter_mut().skip(1).step_by(2) {
            line.reverse();
        }
    }
    lines.into_iter().flatten().collect()
}

fn lay(rows: &Rows) -> Vec<Vec<Spot>> {
    let widest = rows.counts.iter().copied().max().unwrap_or(0);
    let offsets = offsets(rows, widest);
    let least = offsets.iter().copied().min().unwrap_or(0);
    let mut lines = Vec::new();
    let mut y = 0;
    for (row, (count, offset)) in rows.counts.iter().zip(&offsets).enumerate() {
        let line = (0..*count).map(|column| {
            let bare = offset - least + 2 * small(column);
            // A gap is a place on the plastic, so it opens at the same height in every row.
            let gaps = rows
                .gaps_after
                .iter()
                .filter(|after| bare >= 2 * small(**after))
                .count();
            Spot::at_half(bare + 2 * small(gaps), y, row, column)
        });
        lines.push(line.collect());
        y += if rows.gaps_below.contains(&(row + 1)) {
            4
        } else {
            2
        };
    }
    lines
}

/// Where each row starts, in half pitches: centred, then every second one moved where that does not stagger it already.
fn offsets(rows: &Rows, widest: usize) -> Vec<i32> {
    let centred = |count: &usize| small(widest - count);
    let first = rows.counts.first().map_or(0, centred);
    let each = rows
        .counts
        .iter()
        .enumerate()
        .map(|(row, count)| match rows.stagger {
            Some(side) if (centred(count) - first - small(row)).rem_euclid(2) == 1 => {
                centred(count) + if side == Side::Right { 1 } else { -1 }
            }
            _ => centred(count),
        });
    each.collect()
}

/// The first of each line, then the second of each, and so on.
fn columns(lines: Vec<Vec<Spot>>) -> Vec<Vec<Spot>> {
    let mut columns: Vec<Vec<Spot>> = Vec::new();
    for line in lines {
        for (place, spot) in line.into_iter().enumerate() {
            if columns.len() <= place {
                columns.push(Vec::new());
            }
            if let Some(column) = columns.get_mut(place) {
                column.push(spot);
            }
        }
    }
    columns
}

/// Counts are at most a few hundred.
fn small(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX / 8)
}
