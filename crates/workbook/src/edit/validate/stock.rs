//! Drums, parts in stock, colours of the house, terminal numbers.

use super::figure::{Bounds, Figures};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{ColourUse, Drum, StockLine, TerminalNumber},
};

pub(super) fn drum(book: &Book, row: &Drum) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    figures.one("size", row.area_mm2, Bounds::UpTo(1000.0), " mm²")?;
    figures.one("length in stock", row.stock_m, Bounds::From0To(100_000.0), " m")?;
    figures.any(
        "insulation class",
        row.insulation_class_c,
        Bounds::Between(40.0, 400.0),
        " °C",
    )?;
    if row.colour.is_none() {
        return bad(book, row, "has no colour; give it");
    }
    Ok(())
}

pub(super) fn line(book: &Book, row: &StockLine) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    let many = Bounds::From0To(1_000_000.0);
    figures.one("number at hand", row.have, many, "")?;
    figures.one("number ordered", row.ordered, many, "")?;
    figures.one("number come", row.here, many, "")?;
    if row.here > row.ordered {
        return bad(
            book,
            row,
            format!(
                "has {} come of {} ordered; raise what was ordered, or count the rest as at hand",
                row.here, row.ordered
            ),
        );
    }
    Ok(())
}

pub(super) fn colour_use(book: &Book, row: &ColourUse) -> Result<(), Refusal> {
    if row.colour.is_none() {
        return bad(book, row, "has no colour; give it");
    }
    Ok(())
}

/// Longest terminal number, in characters.
const LONGEST: usize = 6;

pub(super) fn terminal_number(book: &Book, row: &TerminalNumber) -> Result<(), Refusal> {
    let number = row.number.as_str();
    let plain = |c: char| c.is_ascii_alphanumeric() || "+-".contains(c);
    if number.is_empty() || number.len() > LONGEST || !number.chars().all(plain) {
        return bad(
            book,
            row,
            format!("cannot have {number:?} as its number; write it as in 15, 31b or 87a"),
        );
    }
    Ok(())
}
