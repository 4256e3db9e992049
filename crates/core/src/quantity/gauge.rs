use super::QuantityError;
use super::sentence_list;
use crate::tables::gauges::{MM2_PER_CIRCULAR_MIL, SaeRow, sae};
use std::fmt;

/// An American Wire Gauge size: the area of a solid wire of that gauge. 4/0 to 40.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Awg(i8);

impl Awg {
    /// Thickest gauge, 4/0.
    pub const THICKEST: Self = Self(-3);
    /// Thinnest gauge that is read.
    pub const THINNEST: Self = Self(40);

    /// The gauge of this number; 1/0 is 0, 4/0 is −3. None: outside 4/0 to 40.
    pub fn new(number: i8) -> Option<Self> {
        (Self::THICKEST.0..=Self::THINNEST.0)
            .contains(&number)
            .then_some(Self(number))
    }

    /// The number; 1/0 is 0, 4/0 is −3.
    pub const fn number(self) -> i8 {
        self.0
    }

    /// Diameter of the solid wire in mm: 0.127 · 92^((36 − n)/39) (ASTM B258).
    pub fn diameter_mm(self) -> f64 {
        0.127 * 92_f64.powf((36.0 - f64::from(self.0)) / 39.0)
    }

    /// Area of the solid wire in mm².
    pub fn area_mm2(self) -> f64 {
        std::f64::consts::PI / 4.0 * self.diameter_mm().powi(2)
    }

    /// Area in circular mils: the square of the diameter in thousandths of an inch.
    pub fn circular_mils(self) -> f64 {
        (self.diameter_mm() / 0.0254).powi(2)
    }

    /// The nearest gauge by ratio of areas among those that are commonly sold: even ones, and 1 to 4/0.
    pub fn nearest(area_mm2: f64) -> Self {
        let off = |g: &Self| (g.area_mm2() / area_mm2).ln().abs();
        let sold = (Self::THICKEST.0..=Self::THINNEST.0)
            .filter(|n| *n < 2 || n % 2 == 0)
            .map(Self);
        sold.min_by(|a, b| off(a).total_cmp(&off(b)))
            .unwrap_or(Self::THINNEST)
    }

    pub(super) fn read(text: &str) -> Result<Self, QuantityError> {
        number_of(text).and_then(Self::new).ok_or_else(|| {
            let known = "4/0 to 1/0 and 1 to 40".into();
            QuantityError::NoSuchGauge {
                text: text.into(),
                system: "AWG",
                known,
            }
        })
    }
}

/// The number of a gauge as written; 1/0 is 0, 4/0 is −3.
fn number_of(text: &str) -> Option<i8> {
    match text {
        "0" | "1/0" => Some(0),
        "00" | "2/0" => Some(-1),
        "000" | "3/0" => Some(-2),
        "0000" | "4/0" => Some(-3),
        _ if text.starts_with(|c: char| c.is_ascii_digit()) => text.parse().ok().filter(|n| *n > 0),
        _ => None,
    }
}

fn write_number(number: i8, f: &mut fmt::Formatter<'_>) -> fmt::Result {
    if number > 0 {
        write!(f, "{number}")
    } else {
        write!(f, "{}/0", 1 - number)
    }
}

impl fmt::Display for Awg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 > 0 {
            write!(f, "{}", self.0)
        } else {
            write!(f, "{}/0", 1 - self.0)
        }
    }
}

/// An SAE gauge: a size of its own, thinner than the AWG size of the same number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SaeGauge(i8);

impl SaeGauge {
    /// The gauge of this number; 1/0 is 0. None: it is not in the table.
    pub fn new(number: i8) -> Option<Self> {
        let gauge = Self(number);
        gauge.row().map(|_| gauge)
    }

    /// The number; 1/0 is 0.
    pub const fn number(self) -> i8 {
        self.0
    }

    /// Least area in mm², from the table.
    pub fn area_mm2(self) -> f64 {
        self.row()
            .map_or(f64::NAN, |r| r.circular_mils * MM2_PER_CIRCULAR_MIL)
    }

    /// The row it stands in; there always is one.
    pub fn row(self) -> Option<&'static SaeRow> {
        sae().iter().find(|r| number_of(&r.gauge) == Some(self.0))
    }

    pub(super) fn read(text: &str) -> Result<Self, QuantityError> {
        number_of(text).and_then(Self::new).ok_or_else(|| {
            let known: Vec<&str> = sae().iter().map(|r| r.gauge.as_ref()).collect();
            QuantityError::NoSuchGauge {
                text: text.into(),
                system: "SAE",
                known: sentence_list(&known, "and"),
            }
        })
    }
}

impl fmt::Display for SaeGauge {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write_number(self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The pairs the trade uses (common practice, no source).
    #[test]
    fn the_nearest_gauge_is_the_one_the_trade_names() {
        let nearest = |area| Awg::nearest(area).to_string();
        let pairs = [
            (0.35, "22"),
            (0.5, "20"),
            (0.75, "18"),
            (1.0, "18"),
            (1.5, "16"),
            (2.5, "14"),
            (4.0, "12"),
            (6.0, "10"),
            (10.0, "8"),
            (50.0, "1/0"),
            (120.0, "4/0"),
        ];
        for (area, gauge) in pairs {
            assert_eq!(nearest(area), gauge, "{area} mm²");
        }
    }

    /// 92^(6/39), not 2, between six gauges (ASTM B258).
    #[test]
    fn six_gauges_do_not_quite_halve_the_diameter() {
        let ratio = Awg(10).diameter_mm() / Awg(16).diameter_mm();
        assert!((ratio - 2.0050).abs() < 1e-4);
    }
}
