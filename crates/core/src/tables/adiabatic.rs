//! Constants of the adiabatic short-circuit formula, and the k factors printed by it.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// IEC 60949 constants of one conductor material.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRow {
    /// `copper`, `aluminium`, `steel` or `lead`.
    pub material: Cow<'static, str>,
    /// K in A·√s/mm².
    pub k_constant: f64,
    /// β in °C: minus the temperature at which the resistance would be nil.
    pub beta_c: f64,
    /// Where the constants come from.
    pub source: Source,
}

/// One published k factor: I·√t = k·S.
#[derive(Debug, Clone, PartialEq)]
pub struct KFactorRow {
    /// Conductor material.
    pub material: Cow<'static, str>,
    /// How the conductor is laid.
    pub use_: Cow<'static, str>,
    /// Insulation, or `bare`.
    pub insulation: Cow<'static, str>,
    /// Temperature before, in °C.
    pub from_c: f64,
    /// Temperature after, in °C.
    pub to_c: f64,
    /// k in A·√s/mm².
    pub k: f64,
    /// Where it is printed.
    pub source: Source,
}

static MATERIALS: Embedded<MaterialRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/adiabatic_constants.csv");
    read("adiabatic_constants.csv", text, |r: &Row<'_>| {
        Ok(MaterialRow {
            material: r.text("material")?,
            k_constant: r.number("k_constant")?,
            beta_c: r.number("beta_c")?,
            source: r.source()?,
        })
    })
});

static K_FACTORS: Embedded<KFactorRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/k_factors.csv");
    read("k_factors.csv", text, |r: &Row<'_>| {
        Ok(KFactorRow {
            material: r.text("material")?,
            use_: r.text("use")?,
            insulation: r.text("insulation")?,
            from_c: r.number("from_c")?,
            to_c: r.number("to_c")?,
            k: r.number("k")?,
            source: r.source()?,
        })
    })
});

/// The materials, copper first.
pub fn materials() -> &'static [MaterialRow] {
    rows(&MATERIALS)
}

/// The published k factors.
pub fn k_factors() -> &'static [KFactorRow] {
    rows(&K_FACTORS)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    MATERIALS.as_ref().err().or(K_FACTORS.as_ref().err()).cloned()
}
