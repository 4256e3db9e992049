//! Kinds that have nothing but figures to get wrong.

use super::Refusal;
use super::figure::{Bounds, Figures};
use crate::{
    Book,
    model::{Bundle, ContactFamily, Fuse, Zone},
};

pub(super) fn zone(book: &Book, row: &Zone) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    figures.any(
        "hottest ambient",
        row.ambient_c,
        Bounds::Between(-60.0, 200.0),
        " °C",
    )?;
    let whole = Bounds::From0To(100.0);
    let (along, across) = (
        row.plan.map(|p| p.from_front_pct),
        row.plan.map(|p| p.from_left_pct),
    );
    figures.any("place from the front", along, whole, " %")?;
    figures.any("place from the left", across, whole, " %")
}

pub(super) fn bundle(book: &Book, row: &Bundle) -> Result<(), Refusal> {
    Figures { book, row }.any("factor", row.factor, Bounds::UpTo(1.0), "")
}

pub(super) fn contact_family(book: &Book, row: &ContactFamily) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    let (area, seal) = (Bounds::UpTo(1000.0), Bounds::UpTo(100.0));
    figures.any("thinnest wire", row.least_mm2, area, " mm²")?;
    figures.any("thickest wire", row.most_mm2, area, " mm²")?;
    figures.order(
        ("thinnest wire", row.least_mm2),
        ("thickest wire", row.most_mm2),
        " mm²",
    )?;
    figures.any("thinnest insulation", row.seal_least_mm, seal, " mm")?;
    figures.any("thickest insulation", row.seal_most_mm, seal, " mm")?;
    let (thin, thick) = (
        ("thinnest insulation", row.seal_least_mm),
        ("thickest insulation", row.seal_most_mm),
    );
    figures.order(thin, thick, " mm")?;
    figures.any(
        "contact resistance",
        row.resistance_ohm,
        Bounds::From0To(10.0),
        " Ω",
    )?;
    figures.any("most current", row.most_a, Bounds::UpTo(1000.0), " A")?;
    figures.any("length to strip", row.strip_mm, Bounds::UpTo(100.0), " mm")
}

pub(super) fn fuse(book: &Book, row: &Fuse) -> Result<(), Refusal> {
    let figures = Figures { book, row };
    figures.one("rating", row.rating_a, Bounds::UpTo(1000.0), " A")?;
    figures.any("melting I²t", row.melting_a2s, Bounds::UpTo(1e9), " A²s")?;
    figures.any("cold resistance", row.cold_ohm, Bounds::UpTo(10.0), " Ω")?;
    figures.any("rated voltage", row.rated_v, Bounds::UpTo(1000.0), " V")?;
    figures.any("breaking capacity", row.breaking_a, Bounds::UpTo(1e6), " A")?;
    figures.any("ambient factor", row.ambient_factor, Bounds::UpTo(1.5), "")
}
