//! A log–log drawing in characters: one mark a line, so that it reads without colours and in ASCII.

use crimpbook_workbook::analysis::protect::Picture;

/// Times drawn, s: from the shortest gates to past the hours that a wire may be too warm.
const TIMES: (f64, f64) = (0.01, 100_000.0);

/// Marks of the wires' lines, the gravest first.
pub const MARKS: [char; 4] = ['a', 'b', 'c', 'd'];
/// Mark of where the fuse may open.
pub const BAND: char = '░';
/// Mark of the fault current at the fuse.
pub const FAULT: char = 'F';

/// The drawing: rows from the top, each as wide as asked for, then the line of the currents' axis and its figures.
#[derive(Debug)]
pub struct Plot {
    /// Rows of the plot.
    pub rows: Vec<String>,
    /// The axis, with a mark where a fault current is.
    pub axis: String,
    /// Figures of the axis.
    pub ticks: String,
    /// Figures beside the rows: the row and its time.
    pub times: Vec<(usize, &'static str)>,
}

struct Grid<'a> {
    of: &'a Picture,
    wide: usize,
    high: usize,
    cells: Vec<Vec<char>>,
}

/// Draws a picture into so many columns and rows.
pub fn plot(of: &Picture, wide: usize, high: usize) -> Plot {
    let mut grid = Grid {
        of,
        wide,
        high,
        cells: vec![vec![' '; wide]; high],
    };
    grid.band();
    for (line, mark) in of.lines.iter().zip(MARKS).rev() {
        grid.line(&line.bears_s, mark);
    }
    let mut axis = vec!['─'; wide];
    let faults = of
        .lines
        .iter()
        .zip(MARKS)
        .map(|(line, mark)| (line.far_end.fault_a, mark.to_ascii_uppercase()));
    let here = of.prospective_a.map(|a| (a, FAULT));
    for (current_a, mark) in faults.chain(here).collect::<Vec<_>>().into_iter().rev() {
        if let Some(slot) = grid.x(current_a).and_then(|x| axis.get_mut(x)) {
            *slot = mark;
        }
    }
    grid.upright(of.lines.first().map(|line| line.far_end.fault_a));
    grid.upright(of.prospective_a);
    let times = [
        (0.01, "10 ms"),
        (0.1, "0.1 s"),
        (1.0, "1 s"),
        (10.0, "10 s"),
        (100.0, "100 s"),
        (3600.0, "1 h"),
        (36_000.0, "10 h"),
    ];
    let ticks = grid.ticks();
    Plot {
        times: times
            .iter()
            .filter_map(|(s, words)| Some((grid.y(*s)?, *words)))
            .collect(),
        axis: axis.into_iter().collect(),
        ticks,
        rows: grid
            .cells
            .into_iter()
            .map(|row| row.into_iter().collect())
            .collect(),
    }
}

impl Grid<'_> {
    fn ends_a(&self) -> (f64, f64) {
        let currents = &self.of.currents_a;
        let end = |a: Option<&f64>| a.copied().unwrap_or(1.0);
        (end(currents.first()), end(currents.last()))
    }

    /// The column of a current.
    fn x(&self, current_a: f64) -> Option<usize> {
        let (from, to) = self.ends_a();
        let share = (current_a / from).ln() / (to / from).ln();
        let last = self.wide.checked_sub(1)? as f64;
        (0.0..=1.0)
            .contains(&share)
            .then(|| (share * last).round() as usize)
    }

    /// The row of a time.
    fn y(&self, seconds: f64) -> Option<usize> {
        let (from, to) = TIMES;
        let share = (to / seconds).ln() / (to / from).ln();
        let last = self.high.checked_sub(1)? as f64;
        (0.0..=1.0)
            .contains(&share)
            .then(|| (share * last).round() as usize)
    }

    /// The row of a time, past the ends the first or the last.
    fn row(&self, seconds: f64) -> usize {
        let last = self.high.saturating_sub(1);
        match seconds {
            s if s >= TIMES.1 => 0,
            s if s <= TIMES.0 => last,
            s => self.y(s).unwrap_or(last),
        }
    }

    /// A line's value at a column, straight in log–log between its points.
    fn at(&self, values: &[f64], x: usize) -> f64 {
        let last = self.wide.saturating_sub(1).max(1) as f64;
        let place = x as f64 / last * (values.len().saturating_sub(1)) as f64;
        let below = place.floor() as usize;
        let get = |n: usize| values.get(n).copied().unwrap_or(f64::NAN);
        let (one, other) = (get(below), get((below + 1).min(values.len().saturating_sub(1))));
        if one.is_infinite() || other.is_infinite() {
            // The jump is drawn where the later point is finite.
            return if place - below as f64 > 0.5 { other } else { one };
        }
        one * (other / one).powf(place - below as f64)
    }

    fn put(&mut self, x: usize, y: usize, mark: char) {
        if let Some(cell) = self.cells.get_mut(y).and_then(|row| row.get_mut(x)) {
            *cell = mark;
        }
    }

    fn band(&mut self) {
        for x in 0..self.wide {
            let (shortest, longest) = (self.at(&self.of.shortest_s, x), self.at(&self.of.longest_s, x));
            if shortest.is_infinite() {
                continue;
            }
            for y in self.row(longest)..=self.row(shortest) {
                self.put(x, y, BAND);
            }
        }
    }

    fn line(&mut self, values: &[f64], mark: char) {
        let mut before = 0;
        for x in 0..self.wide {
            let value = self.at(values, x);
            if value.is_infinite() {
                continue;
            }
            let row = self.row(value);
            // Where the line is steep it stays joined.
            let from = if before < row { before + 1 } else { row };
            for y in from.min(row)..=row {
                self.put(x, y, mark);
            }
            before = row;
        }
    }

    fn upright(&mut self, current_a: Option<f64>) {
        let Some(x) = current_a.and_then(|a| self.x(a)) else {
            return;
        };
        for row in &mut self.cells {
            if let Some(cell) = row.get_mut(x).filter(|cell| **cell == ' ') {
                *cell = '·';
            }
        }
    }

    /// Currents at 1, 2 and 5 of each decade, where there is room.
    fn ticks(&self) -> String {
        let (from, to) = self.ends_a();
        let mut line = vec![' '; self.wide];
        let mut free = 0;
        let mut decade = 10f64.powf(from.log10().floor());
        while decade <= to {
            for step in [1.0, 2.0, 5.0] {
                let Some(x) = self.x(decade * step) else { continue };
                let words = crimpbook_workbook::check::words::number(decade * step);
                let start = x.saturating_sub(words.len() / 2);
                if start >= free && start + words.len() < self.wide.saturating_sub(2) {
                    for (n, c) in words.chars().enumerate() {
                        if let Some(slot) = line.get_mut(start + n) {
                            *slot = c;
                        }
                    }
                    free = start + words.len() + 2;
                }
            }
            decade *= 10.0;
        }
        if let Some(slot) = line.last_mut() {
            *slot = 'A';
        }
        line.into_iter().collect()
    }
}
