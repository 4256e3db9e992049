//! Curves drawn in characters, one mark a curve, so that they read without colours and in ASCII.

use crimpbook_workbook::{check::words::number, reckon::Plot};

/// Columns of the figures beside the upright.
const FIGURES: usize = 7;
/// Smaller than this nothing can be read of a curve.
const LEAST: (usize, usize) = (24, 7);

/// A plot as lines of at most `wide` columns, `high` of them with its feet and its legend; nothing where there is no room.
pub fn sketch(plot: &Plot, wide: usize, high: usize) -> Vec<String> {
    if wide < LEAST.0 || high < LEAST.1 {
        return Vec::new();
    }
    let legend = legend(plot, wide);
    let rows = high.saturating_sub(2 + legend.len()).max(3);
    let columns = wide - FIGURES - 1;
    let mut cells = vec![vec![' '; columns]; rows];
    for (place, _) in &plot.marks {
        if let Some(x) = slot(*place, plot.along_ends, columns) {
            for row in &mut cells {
                put(row, x, ':');
            }
        }
    }
    for curve in plot.curves.iter().rev() {
        let mut before: Option<usize> = None;
        for x in 0..columns {
            let Some(value) = value_at(&curve.points, plot.along_ends, x, columns) else {
                continue;
            };
            let Some(up) = slot(value, plot.up_ends, rows) else {
                before = None;
                continue;
            };
            let y = rows - 1 - up;
            // A steep curve stays joined.
            let from = before.map_or(y, |b| if b > y { b - 1 } else { b + 1 });
            let (top, foot) = if before == Some(y) {
                (y, y)
            } else {
                (from.min(y), from.max(y))
            };
            for row in cells.iter_mut().take(foot + 1).skip(top) {
                put(row, x, curve.mark);
            }
            before = Some(y);
        }
    }
    let mut lines = Vec::new();
    let middle = rows / 2;
    for (y, row) in cells.into_iter().enumerate() {
        let figure = match y {
            0 => number(plot.up_ends.1),
            y if y + 1 == rows => number(plot.up_ends.0),
            y if y == middle && rows > 4 => number((plot.up_ends.0 + plot.up_ends.1) / 2.0),
            _ => String::new(),
        };
        let row: String = row.into_iter().collect();
        lines.push(
            format!("{figure:>width$} │{row}", width = FIGURES - 1)
                .trim_end()
                .to_owned(),
        );
    }
    let mut foot = vec!['─'; columns];
    for (place, mark) in &plot.marks {
        if let Some(x) = slot(*place, plot.along_ends, columns) {
            put(&mut foot, x, *mark);
        }
    }
    let foot: String = foot.into_iter().collect();
    lines.push(format!("{:FIGURES$}└{foot}", ""));
    lines.push(feet(plot, columns));
    lines.extend(legend);
    lines
}

/// The figures under the foot: both ends, and what lies along it between them.
fn feet(plot: &Plot, columns: usize) -> String {
    let (from, to) = (number(plot.along_ends.0), number(plot.along_ends.1));
    let used = from.chars().count() + to.chars().count();
    let between = columns.saturating_sub(used);
    format!(
        "{:width$}{from}{:^between$}{to}",
        "",
        plot.along,
        width = FIGURES + 1
    )
}

/// What stands up, and which mark is which curve.
fn legend(plot: &Plot, wide: usize) -> Vec<String> {
    let mut words: Vec<String> = vec![format!("up: {}", plot.up)];
    words.extend(plot.curves.iter().map(|c| format!("{} {}", c.mark, c.words)));
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 3 + word.chars().count() <= wide => {
                line.push_str("   ");
                line.push_str(&word);
            }
            _ => lines.push(format!("{:width$}{word}", "", width = FIGURES + 1)),
        }
    }
    lines
}

fn put(row: &mut [char], x: usize, mark: char) {
    if let Some(cell) = row.get_mut(x) {
        *cell = mark;
    }
}

/// Which of `count` places a value falls in; none past the ends.
fn slot(value: f64, ends: (f64, f64), count: usize) -> Option<usize> {
    let share = (value - ends.0) / (ends.1 - ends.0);
    let last = count.checked_sub(1)? as f64;
    (-1e-9..=1.0 + 1e-9)
        .contains(&share)
        .then(|| (share.clamp(0.0, 1.0) * last).round() as usize)
}

/// The value of a curve at a column, straight between its points.
fn value_at(points: &[(f64, f64)], ends: (f64, f64), x: usize, columns: usize) -> Option<f64> {
    let last = columns.saturating_sub(1).max(1) as f64;
    let along = ends.0 + (ends.1 - ends.0) * x as f64 / last;
    let after = points.iter().position(|p| p.0 >= along - 1e-12)?;
    let (right, left) = (points.get(after)?, points.get(after.saturating_sub(1))?);
    let span = right.0 - left.0;
    let value = if span > 0.0 {
        left.1 + (right.1 - left.1) * (along - left.0) / span
    } else {
        right.1
    };
    value.is_finite().then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crimpbook_workbook::reckon::Curve;

    fn plot() -> Plot {
        Plot {
            along: "% travel",
            up: "% demand",
            along_ends: (0.0, 100.0),
            up_ends: (0.0, 100.0),
            curves: vec![
                Curve::of('*', "shaped", (0.0, 100.0), |t| t * t / 100.0),
                Curve::of('.', "straight", (0.0, 100.0), |t| t),
            ],
            marks: vec![(50.0, '^')],
        }
    }

    #[test]
    fn a_curve_reads_without_colours() {
        let lines = sketch(&plot(), 36, 12);
        insta::assert_snapshot!(lines.join("\n"));
    }

    #[test]
    fn nothing_is_wider_than_asked_for_and_nothing_panics() {
        for wide in 0..90 {
            for high in 0..30 {
                for line in sketch(&plot(), wide, high) {
                    assert!(line.chars().count() <= wide.max(LEAST.0), "{wide}: {line}");
                }
            }
        }
        let mut odd = plot();
        odd.up_ends = (0.0, 0.0);
        odd.curves[0].points = vec![(0.0, f64::NAN)];
        sketch(&odd, 40, 12);
    }
}
