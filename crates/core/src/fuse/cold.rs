use crate::tables::fuses::{ColdRow, FuseKind, cold_resistances};
use crate::tables::{HowKnown, Source};

/// Voltage in V that a vehicle fuse drops at its rated current, where no figure for the rating is at hand.
const DROP_AT_RATED_V: f64 = 0.1;

/// Resistance of a cold fuse, and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdResistance {
    /// In Ω.
    pub ohm: f64,
    /// The table, or the rule of thumb.
    pub source: Source,
}

/// Resistance of a cold fuse: from the table; between two ratings of the table in log–log; else 0.1 V ÷ rating.
pub fn cold_resistance(kind: FuseKind, rating_a: f64) -> ColdResistance {
    let rows: Vec<&ColdRow> = cold_resistances(kind).collect();
    let after = rows.partition_point(|r| r.rating_a < rating_a - 1e-9);
    let below = after.checked_sub(1).and_then(|i| rows.get(i));
    match (below, rows.get(after)) {
        (_, Some(row)) if (row.rating_a - rating_a).abs() < 1e-9 => ColdResistance {
            ohm: row.ohm,
            source: row.source.clone(),
        },
        (Some(a), Some(b)) => {
            let share = (rating_a / a.rating_a).ln() / (b.rating_a / a.rating_a).ln();
            ColdResistance {
                ohm: a.ohm * (b.ohm / a.ohm).powf(share),
                source: a.source.clone(),
            }
        }
        _ => ColdResistance {
            ohm: DROP_AT_RATED_V / rating_a,
            source: Source::fixed(
                "a fuse drops about 0.1 V at its rated current",
                HowKnown::CommonPractice,
            ),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn from_the_table_between_its_rows_and_beyond() {
        let ohm = |kind, rating| cold_resistance(kind, rating).ohm;
        assert!((ohm(FuseKind::Blade, 10.0) - 0.0073).abs() < 1e-12);
        let between = ohm(FuseKind::Blade, 3.0);
        assert!(between < 0.055 && between > 0.017, "{between}");
        assert!((ohm(FuseKind::BoltIn, 60.0) - 0.1 / 60.0).abs() < 1e-12);
        assert!((ohm(FuseKind::Blade, 40.0) - 0.0025).abs() < 1e-12);
    }
}
