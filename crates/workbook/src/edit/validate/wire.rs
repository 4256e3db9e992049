//! Wires.

use super::figure::{Bounds, Figures, MOST_V};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{End, Wire},
};

pub(super) fn check(book: &Book, row: &Wire) -> Result<(), Refusal> {
    if row.from == row.to && row.from != End::Free {
        let problem = format!("leads from {0} to {0}; give it two ends", book.end_name(row.from));
        return bad(book, row, problem);
    }
    let figures = Figures { book, row };
    figures.any("size", row.area_mm2, Bounds::UpTo(1000.0), " mm²")?;
    figures.any("length", row.length_m, Bounds::UpTo(200.0), " m")?;
    figures.any(
        "insulation class",
        row.insulation_class_c,
        Bounds::Between(40.0, 400.0),
        " °C",
    )?;
    if let Some(volts) = row.nominal_v.filter(|v| v.abs() > MOST_V) {
        let problem = format!(
            "carries {volts} V: only control wiring up to {MOST_V} V DC belongs here; wiring above that is for \
             licensed people"
        );
        return bad(book, row, problem);
    }
    figures.any("usual current", row.typical_a, Bounds::From0To(1000.0), " A")?;
    figures.any("peak current", row.peak_a, Bounds::From0To(10_000.0), " A")?;
    figures.any("drop limit", row.drop_limit_v, Bounds::UpTo(MOST_V), " V")?;
    if let Some(inline) = row.inline_fuse {
        let most = row.length_m.unwrap_or(200.0);
        figures.one("fuse's distance", inline.from_end_m, Bounds::From0To(most), " m")?;
    }
    Ok(())
}
