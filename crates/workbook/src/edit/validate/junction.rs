//! Splices, studs, chassis paths, temporary links.

use super::figure::{Bounds, Figures};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{ChassisPath, End, Junction, TemporaryLink},
};

pub(super) fn check(book: &Book, row: &Junction) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    figures.any("joint's resistance", row.joint_ohm, Bounds::From0To(10.0), " Ω")?;
    let (least, most) = (
        ("least a sleeve holds", row.sleeve_least_mm2),
        ("most a sleeve holds", row.sleeve_most_mm2),
    );
    for (what, figure) in [least, most] {
        figures.any(what, figure, Bounds::UpTo(1000.0), " mm²")?;
    }
    figures.order(least, most, " mm²")?;
    figures.any(
        "way to the next branch",
        row.clear_m,
        Bounds::From0To(100.0),
        " m",
    )?;
    figures.any("torque", row.torque_nm, Bounds::UpTo(500.0), " N·m")
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
