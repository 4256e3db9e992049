//! Splices, studs, chassis paths, temporary links.

use super::figure::{Bounds, Figures};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{ChassisPath, End, Junction, TemporaryLink},
};

pub(super) fn check(book: &Book, row: &Junction) -> Result<(), Refusal> {
    Figures { book, row }.any("joint's resistance", row.joint_ohm, Bounds::From0To(10.0), " Ω")
}

pub(super) fn path(book: &Book, row: &ChassisPath) -> Result<(), Refusal> {
    if row.from == row.to {
        let problem = format!(
            "leads from {0} to {0}; name two places",
            book.terminal_name(&row.from)
        );
        return bad(book, row, problem);
    }
    Figures { book, row }.one("resistance", row.resistance_ohm, Bounds::UpTo(1000.0), " Ω")
}

pub(super) fn link(book: &Book, row: &TemporaryLink) -> Result<(), Refusal> {
    if row.from == row.to && row.from != End::Free {
        let problem = format!("leads from {0} to {0}; name two places", book.end_name(row.from));
        return bad(book, row, problem);
    }
    Ok(())
}
