//! Conductor resistances and outside diameters by standard size.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};

/// One size of a conductor table.
#[derive(Debug, Clone, PartialEq)]
pub struct ConductorRow {
    /// Nominal area in mm².
    pub size_mm2: f64,
    /// Largest resistance at 20 °C, in Ω/m.
    pub ohm_per_m: f64,
    /// Largest outside diameter over a thin-wall insulation, in mm. None: the table gives none.
    pub outside_diameter_most_mm: Option<f64>,
    /// Least outside diameter met in the trade, in mm (common practice, no source).
    pub outside_diameter_least_mm: Option<f64>,
    /// Where the resistance and the largest diameter come from.
    pub source: Source,
}

static ISO_6722: Embedded<ConductorRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/conductors_iso6722.csv");
    read("conductors_iso6722.csv", text, |r: &Row<'_>| {
        Ok(ConductorRow {
            size_mm2: r.number("size_mm2")?,
            ohm_per_m: r.number("resistance_mohm_per_m")? / 1000.0,
            outside_diameter_most_mm: r.number_or_empty("outside_diameter_most_mm")?,
            outside_diameter_least_mm: r.number_or_empty("outside_diameter_least_mm")?,
            source: r.source()?,
        })
    })
});

static IEC_60228: Embedded<ConductorRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/conductors_iec60228_class5.csv");
    read("conductors_iec60228_class5.csv", text, |r: &Row<'_>| {
        Ok(ConductorRow {
            size_mm2: r.number("size_mm2")?,
            ohm_per_m: r.number("resistance_ohm_per_km")? / 1000.0,
            outside_diameter_most_mm: None,
            outside_diameter_least_mm: None,
            source: r.source()?,
        })
    })
});

/// Vehicle wire: ISO 6722-1 / ISO 19642-3, plain copper, thin wall; by growing size. From memory.
pub fn iso6722() -> &'static [ConductorRow] {
    rows(&ISO_6722)
}

/// Flexible building and machine wire: IEC 60228 class 5, plain copper; by growing size.
pub fn iec60228_class5() -> &'static [ConductorRow] {
    rows(&IEC_60228)
}

/// The row of exactly this size.
pub fn row_of(table: &'static [ConductorRow], area_mm2: f64) -> Option<&'static ConductorRow> {
    table.iter().find(|r| (r.size_mm2 - area_mm2).abs() < 1e-9)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    ISO_6722.as_ref().err().or(IEC_60228.as_ref().err()).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_grow_and_resistances_fall() {
        for table in [iso6722(), iec60228_class5()] {
            assert!(table.len() > 15);
            for pair in table.windows(2) {
                assert!(pair[0].size_mm2 < pair[1].size_mm2);
                assert!(pair[0].ohm_per_m > pair[1].ohm_per_m);
                assert!(pair[0].outside_diameter_most_mm <= pair[1].outside_diameter_most_mm);
            }
        }
    }

    #[test]
    fn the_least_diameter_is_below_the_largest() {
        for row in iso6722() {
            if let (Some(least), Some(most)) = (row.outside_diameter_least_mm, row.outside_diameter_most_mm) {
                assert!(least < most, "{} mm²", row.size_mm2);
            }
        }
    }
}
