use crate::quantity::Size;
use crate::tables::conductors::{ConductorRow, iec60228_class5, iso6722, row_of};
use crate::tables::{HowKnown, Source};

/// Resistivity of annealed copper of 100 % IACS at 20 °C, in Ω·mm²/km.
pub const COPPER_OHM_MM2_PER_KM: f64 = 17.241;

/// Which published table resistances are taken from first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum ConductorTable {
    /// ISO 6722 vehicle wire.
    #[default]
    Iso6722,
    /// IEC 60228 class 5.
    Iec60228Class5,
}

impl ConductorTable {
    fn rows(self) -> &'static [ConductorRow] {
        match self {
            Self::Iso6722 => iso6722(),
            Self::Iec60228Class5 => iec60228_class5(),
        }
    }

    const fn other(self) -> Self {
        match self {
            Self::Iso6722 => Self::Iec60228Class5,
            Self::Iec60228Class5 => Self::Iso6722,
        }
    }
}

/// Resistance per metre at 20 °C, and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct OhmPerM {
    /// In Ω/m at 20 °C.
    pub ohm_per_m: f64,
    /// The table or formula.
    pub source: Source,
}

/// Resistance per metre at 20 °C: the chosen table's largest; else the other table's; else copper ÷ area. A gauge is
/// always copper ÷ area of the solid wire of that gauge.
pub fn ohm_per_m_20(size: &Size, table: ConductorTable) -> OhmPerM {
    let formula = |text| OhmPerM {
        ohm_per_m: ideal_ohm_per_m(size.area_mm2()),
        source: Source::fixed(text, HowKnown::Computed),
    };
    match size {
        Size::Metric { area_mm2 } => {
            let row = row_of(table.rows(), *area_mm2).or_else(|| row_of(table.other().rows(), *area_mm2));
            match row {
                Some(row) => OhmPerM {
                    ohm_per_m: row.ohm_per_m,
                    source: row.source.clone(),
                },
                None => formula(
                    "17.241 Ω·mm²/km ÷ area, as the size is in no table; a stranded wire has some per cent more",
                ),
            }
        }
        Size::Awg(_) => formula(
            "17.241 Ω·mm²/km ÷ area of the solid wire of this AWG size; a stranded wire has some per cent more",
        ),
        Size::Sae(_) => {
            formula("17.241 Ω·mm²/km ÷ least area of this SAE gauge; a stranded wire has some per cent more")
        }
    }
}

/// Resistance in Ω/m of solid annealed copper of this area at 20 °C.
pub fn ideal_ohm_per_m(area_mm2: f64) -> f64 {
    COPPER_OHM_MM2_PER_KM / 1000.0 / area_mm2
}

/// Resistance of copper at a temperature over that at 20 °C: (234.5 + T)/254.5 (IEC 60228, informative annex).
pub fn copper_factor(temp_c: f64) -> f64 {
    (234.5 + temp_c) / 254.5
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(size: &str, table: ConductorTable) -> OhmPerM {
        ohm_per_m_20(&size.parse().unwrap(), table)
    }

    #[test]
    fn the_chosen_table_is_used_and_named() {
        let iso = of("1.5", ConductorTable::Iso6722);
        assert_eq!(iso.ohm_per_m, 0.0127);
        assert!(iso.source.to_string().contains("ISO 6722"));
        assert!(iso.source.how_known.is_from_memory());
        let iec = of("1.5", ConductorTable::Iec60228Class5);
        assert!((iec.ohm_per_m - 0.0133).abs() < 1e-12);
        assert!(!iec.source.how_known.is_from_memory());
    }

    #[test]
    fn a_size_in_no_table_falls_back_and_says_so() {
        assert!(
            of("150", ConductorTable::Iso6722)
                .source
                .text
                .contains("IEC 60228")
        );
        assert!(
            of("1.3", ConductorTable::Iso6722)
                .source
                .text
                .contains("in no table")
        );
        let awg = of("AWG 10", ConductorTable::Iso6722);
        assert!(awg.source.text.contains("stranded"));
        assert!((awg.ohm_per_m - 3.277e-3).abs() < 1e-6);
    }
}
