//! Writes the line, in one order of statements.

use std::fmt;

use super::Face;
use super::layout::{Corner, Layout, Numbering, Rings, Rows, Side, Start};

impl fmt::Display for Face {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.plan.layout {
            Layout::Rows(rows) => self.write_rows(rows, f)?,
            Layout::Rings(rings) => self.write_rings(rings, f)?,
        }
        match &self.plan.numbering {
            Numbering::From(1) => {}
            Numbering::From(first) => write!(f, ", numbered from {first}")?,
            Numbering::RowNames(names) => write!(f, ", rows called {}", names.join(" "))?,
            Numbering::Own(names) => write!(f, ", numbered {}", names.join(" "))?,
        }
        if let Some(mark) = &self.mark {
            write!(f, ", mark at {mark}")?;
        }
        if let Some(view) = self.seen_from {
            write!(f, ", seen from {}", view.words())?;
        }
        Ok(())
    }
}

impl Face {
    fn write_rows(&self, rows: &Rows, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "rows {}", spaced(&rows.counts, " "))?;
        f.write_str(match rows.stagger {
            None => "",
            Some(Side::Right) => " staggered",
            Some(Side::Left) => " staggered left",
        })?;
        if !rows.gaps_after.is_empty() {
            write!(f, ", gap after {}", spaced(&rows.gaps_after, " "))?;
        }
        if !rows.gaps_below.is_empty() {
            write!(f, ", gap below {}", spaced(&rows.gaps_below, " "))?;
        }
        self.write_big(f)?;
        write!(f, ", from {}", corner(rows.from))?;
        if rows.by_column {
            f.write_str(", column by column")?;
        }
        if rows.back_and_forth {
            f.write_str(", back and forth")?;
        }
        Ok(())
    }

    fn write_rings(&self, rings: &Rings, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let inside_first = rings.counts.is_sorted();
        let between = if inside_first { " " } else { " around " };
        write!(f, "ring {}", spaced(&rings.counts, between))?;
        self.write_big(f)?;
        let start = match rings.start {
            Start::Top => "top".to_owned(),
            Start::Right => "right".to_owned(),
            Start::Bottom => "bottom".to_owned(),
            Start::Left => "left".to_owned(),
            Start::Beside(at) => corner(at),
        };
        let turn = if rings.anticlockwise {
            "anticlockwise"
        } else {
            "clockwise"
        };
        write!(f, ", from {start}, {turn}")
    }

    fn write_big(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.plan.big.is_empty() {
            return Ok(());
        }
        write!(f, ", big {}", self.plan.big.join(" "))
    }
}

fn corner(at: Corner) -> String {
    format!(
        "{} {}",
        if at.lower { "lower" } else { "upper" },
        if at.right { "right" } else { "left" }
    )
}

fn spaced(counts: &[usize], between: &str) -> String {
    let texts: Vec<String> = counts.iter().map(usize::to_string).collect();
    texts.join(between)
}
