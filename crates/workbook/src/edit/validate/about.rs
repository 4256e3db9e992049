//! The workbook's own page.

use super::figure::{Bounds, Figures, MOST_V};
use super::{Edit, Refusal, bad};
use crate::{
    Book,
    model::{About, Kind},
};

/// An edit of the page must leave exactly one.
pub(super) fn one_page(after: &Book, edit: &Edit) -> Result<(), Refusal> {
    let keys = || edit.changes.iter().filter_map(super::Change::key);
    let Some(key) = keys().find(|key| key.kind == Kind::About) else {
        return Ok(());
    };
    match after.all::<About>().len() {
        1 => Ok(()),
        0 => Err(Refusal::invalid(
            "the workbook's own page",
            Some(key),
            "cannot be removed: change it instead",
        )),
        _ => Err(Refusal::invalid(
            "the workbook's own page",
            Some(key),
            "is there already: change that one instead",
        )),
    }
}

pub(super) fn check(book: &Book, row: &About) -> Result<(), Refusal> {
    let supply = row.supply;
    let figures = Figures { book, row };
    for (what, value) in [
        ("lowest supply voltage", supply.least_v),
        ("usual supply voltage", supply.nominal_v),
        ("highest supply voltage", supply.most_v),
    ] {
        if value > MOST_V {
            let problem = format!(
                "its {what} is {value} V: only control wiring up to {MOST_V} V DC is computed here; wiring above that \
                 is for licensed people"
            );
            return bad(book, row, problem);
        }
        figures.one(what, value, Bounds::UpTo(MOST_V), " V")?;
    }
    let (least, nominal, most) = (
        ("lowest supply voltage", Some(supply.least_v)),
        ("usual supply voltage", Some(supply.nominal_v)),
        ("highest supply voltage", Some(supply.most_v)),
    );
    figures.order(least, nominal, " V")?;
    figures.order(nominal, most, " V")?;
    figures.any(
        "insulation class",
        row.insulation_class_c,
        Bounds::Between(40.0, 400.0),
        " °C",
    )
}
