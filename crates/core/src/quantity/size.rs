use super::QuantityError;
use super::decimal::Decimal;
use super::gauge::{Awg, SaeGauge};
use crate::tables::conductors::{iso6722, row_of};
use std::fmt;
use std::str::FromStr;

/// Least area that is read, in mm².
const LEAST_MM2: f64 = 0.004;
/// Largest area that is read, in mm².
const MOST_MM2: f64 = 1000.0;

/// The size of a conductor in the system in which it was given. The three are different sizes; none is ever silently
/// taken for another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// Nominal area in mm².
    Metric {
        /// Area in mm², 0.004 to 1000.
        area_mm2: f64,
    },
    /// American Wire Gauge.
    Awg(Awg),
    /// SAE gauge.
    Sae(SaeGauge),
}

impl Size {
    /// A metric size. None: not between 0.004 and 1000 mm².
    pub fn metric(area_mm2: f64) -> Option<Self> {
        (LEAST_MM2..=MOST_MM2)
            .contains(&area_mm2)
            .then_some(Self::Metric { area_mm2 })
    }

    /// Area in mm²: nominal, or that of the gauge.
    pub fn area_mm2(&self) -> f64 {
        match self {
            Self::Metric { area_mm2 } => *area_mm2,
            Self::Awg(gauge) => gauge.area_mm2(),
            Self::Sae(gauge) => gauge.area_mm2(),
        }
    }

    /// `mm²`, `AWG` or `SAE`.
    pub const fn system(&self) -> &'static str {
        match self {
            Self::Metric { .. } => "mm²",
            Self::Awg(_) => "AWG",
            Self::Sae(_) => "SAE",
        }
    }

    /// For the screen: mm² with the gauge beside it, `1.5 mm² (nearest AWG 16)` or `1.31 mm² (AWG 16)`. It can be read
    /// again.
    pub fn shown(&self) -> String {
        let area = (self.area_mm2() * 1000.0).round() / 1000.0;
        match self {
            Self::Metric { area_mm2 } => format!("{self} (nearest AWG {})", Awg::nearest(*area_mm2)),
            Self::Awg(_) | Self::Sae(_) if area >= 0.1 => format!("{:.3} mm² ({self})", area),
            Self::Awg(_) | Self::Sae(_) => format!("{:.6} mm² ({self})", self.area_mm2()),
        }
    }
}

impl fmt::Display for Size {
    /// As it was given: `1.5 mm²`, `AWG 16`, `SAE 16`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Metric { area_mm2 } => write!(f, "{} mm²", Decimal::of(*area_mm2).print(0)),
            Self::Awg(gauge) => write!(f, "AWG {gauge}"),
            Self::Sae(gauge) => write!(f, "SAE {gauge}"),
        }
    }
}

impl FromStr for Size {
    type Err = QuantityError;

    /// Reads `1.5`, `1,5 mm2`, `1.5mm²`, `AWG 16`, `16awg`, `SAE 16`, and what [`Size::shown`] prints.
    ///
    /// A bare number is mm², unless it could as well be a gauge: a whole number from 4 to 30 that is no vehicle size
    /// (ISO 6722) up to 10 mm² is refused. So `1.5`, `6`, `10`, `35` are mm²; `12`, `16`, `20` need their system.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let typed = text.trim();
        let lower = typed.to_lowercase().replace('²', "2").replace("^2", "2");
        if lower.is_empty() {
            return Err(QuantityError::Empty {
                what: "size",
                example: "1.5 mm2",
            });
        }
        if let Some((area, beside)) = lower.split_once('(') {
            return with_bracket(typed, area, beside);
        }
        if let Some(gauge) = without(&lower, &["awg"]) {
            return Awg::read(gauge.trim_start_matches('#').trim()).map(Self::Awg);
        }
        if let Some(gauge) = without(&lower, &["sae"]) {
            return SaeGauge::read(gauge.trim()).map(Self::Sae);
        }
        if let Some(gauge) = without(&lower, &["gauge", "ga", "#"]) {
            return Err(QuantityError::WhichGauge {
                text: typed.into(),
                gauge: gauge.into(),
            });
        }
        if let Some(area) = without(&lower, &["sq mm", "sqmm", "qmm", "mm2"]) {
            return metric(typed, area);
        }
        if let Some(number) = lower.strip_suffix("mm") {
            let number = number.trim().to_owned();
            return Err(QuantityError::NotAnArea {
                text: typed.into(),
                number,
            });
        }
        bare(typed, &lower)
    }
}

/// The text without one of these words at either end.
fn without<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    words
        .iter()
        .find_map(|w| text.strip_suffix(w).or_else(|| text.strip_prefix(w)))
        .map(str::trim)
}

fn metric(typed: &str, area: &str) -> Result<Size, QuantityError> {
    let not_a_number = || QuantityError::NotANumber {
        text: typed.into(),
        what: "size",
        example: "1.5 mm2",
    };
    if area.contains(' ') {
        return Err(QuantityError::SpaceInside { text: typed.into() });
    }
    let area_mm2 = Decimal::read(area)?
        .and_then(|d| d.value(0))
        .ok_or_else(not_a_number)?;
    Size::metric(area_mm2).ok_or_else(|| QuantityError::OutOfRange {
        text: format!("`{typed}`"),
        what: "size",
        least: format!("{LEAST_MM2} mm²"),
        most: format!("{MOST_MM2} mm²"),
    })
}

fn bare(typed: &str, lower: &str) -> Result<Size, QuantityError> {
    let is_gauge = |g: &str| !g.is_empty() && g.chars().all(|c| c.is_ascii_digit());
    if let Some((count, "0")) = lower.split_once('/')
        && is_gauge(count)
    {
        return Err(QuantityError::WhichGauge {
            text: typed.into(),
            gauge: lower.into(),
        });
    }
    if let Some(unit) = lower
        .find(|c: char| c.is_alphabetic())
        .and_then(|at| lower.get(at..))
        && lower.starts_with(|c: char| c.is_ascii_digit())
    {
        let accepted = "mm2, AWG or SAE".into();
        return Err(QuantityError::UnknownUnit {
            unit: unit.into(),
            what: "size",
            accepted,
        });
    }
    let size = metric(typed, lower)?;
    let area_mm2 = size.area_mm2();
    let could_be_gauge = area_mm2.fract() == 0.0 && (4.0..=30.0).contains(&area_mm2);
    let vehicle_size = area_mm2 <= 10.0 && row_of(iso6722(), area_mm2).is_some();
    if could_be_gauge && !vehicle_size {
        return Err(QuantityError::AmbiguousSize { text: typed.into() });
    }
    Ok(size)
}

/// `1.5 mm² (nearest AWG 16)` is the metric size; `1.309 mm² (AWG 16)` is the gauge, if the areas agree.
fn with_bracket(typed: &str, area: &str, beside: &str) -> Result<Size, QuantityError> {
    let two_sizes = || QuantityError::TwoSizes { text: typed.into() };
    let area: Size = area.parse()?;
    let beside = beside.trim_end().strip_suffix(')').ok_or_else(two_sizes)?.trim();
    if let Some(gauge) = beside.strip_prefix("nearest awg ") {
        let nearest = Awg::nearest(area.area_mm2());
        return if Awg::read(gauge)? == nearest {
            Ok(area)
        } else {
            Err(two_sizes())
        };
    }
    let gauge: Size = beside.parse()?;
    let agree = (area.area_mm2() / gauge.area_mm2() - 1.0).abs() < 0.01;
    if agree { Ok(gauge) } else { Err(two_sizes()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Size {
        text.parse().unwrap()
    }

    fn refused(text: &str) -> String {
        text.parse::<Size>().unwrap_err().to_string()
    }

    #[test]
    fn sizes_as_they_are_typed() {
        let one_and_a_half = Size::Metric { area_mm2: 1.5 };
        for text in [
            "1.5", "1,5", "1.5mm2", "1,5 mm2", "1.5 mm²", "1.5 MM^2", "1.5 sqmm", " 1.5 ",
        ] {
            assert_eq!(read(text), one_and_a_half, "{text}");
        }
        let sixteen = Size::Awg(Awg::new(16).unwrap());
        for text in ["AWG 16", "16awg", "16 AWG", "awg16", "AWG #16"] {
            assert_eq!(read(text), sixteen, "{text}");
        }
        assert_eq!(read("SAE 16"), Size::Sae(SaeGauge::new(16).unwrap()));
        assert_eq!(read("AWG 2/0"), read("00 awg"));
        assert_eq!(read("10"), Size::Metric { area_mm2: 10.0 });
        assert_eq!(read("2"), Size::Metric { area_mm2: 2.0 });
        assert_eq!(read("35"), Size::Metric { area_mm2: 35.0 });
        assert_eq!(read("16 mm2"), Size::Metric { area_mm2: 16.0 });
    }

    #[test]
    fn what_could_be_another_size_is_refused_with_both_ways_to_write_it() {
        assert_eq!(
            refused("16"),
            "`16` can be mm² or a gauge. Write `16 mm2`, `AWG 16` or `SAE 16`."
        );
        for text in ["7", "9", "12", "14", "18", "20", "22", "24", "25", "30"] {
            assert!(refused(text).contains("can be mm² or a gauge"), "{text}");
        }
        assert!(refused("16 ga").contains("Write `AWG 16` or `SAE 16`"));
        assert!(refused("#16").contains("Write `AWG 16` or `SAE 16`"));
        assert!(refused("2/0").contains("Write `AWG 2/0` or `SAE 2/0`"));
        assert!(refused("1.5 mm").contains("length or a diameter"));
        assert!(refused("1,500").contains("1.5 or 1500"));
        assert!(refused("1 500 mm2").contains("space inside"));
        assert!(refused("SAE 17").contains("Known are 18, 16"));
        assert!(refused("AWG 99").contains("4/0 to 1/0"));
        assert!(refused("AWG -3").contains("is no AWG gauge"));
        assert!(refused("0 mm2").contains("0.004 mm² to 1000 mm²"));
        assert!(refused("6 m").contains("no unit of a size"));
        assert!(refused("thick").contains("does not start with a number"));
        assert!(refused("1.5 mm² (AWG 10)").contains("two sizes"));
    }

    #[test]
    fn the_three_systems_differ() {
        let area = |text: &str| read(text).area_mm2();
        assert!((area("AWG 16") - 1.309).abs() < 1e-3);
        assert!((area("SAE 16") - 1.184).abs() < 1e-3);
        assert_eq!(area("1.5"), 1.5);
    }

    #[test]
    fn shown_with_the_other_system_beside() {
        assert_eq!(read("1.5").shown(), "1.5 mm² (nearest AWG 16)");
        assert_eq!(read("AWG 16").shown(), "1.309 mm² (AWG 16)");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn reading_what_was_printed_gives_the_same_size(area in 0.0041_f64..1000.0, n in -3_i8..=40, s in -3_i8..=18) {
            let gauge = Awg::new(n).unwrap();
            let sae = SaeGauge::new(s).map(Size::Sae);
            for size in [Size::metric(area).unwrap(), Size::Awg(gauge)].into_iter().chain(sae) {
                prop_assert_eq!(size.to_string().parse::<Size>(), Ok(size));
                prop_assert_eq!(size.shown().parse::<Size>(), Ok(size));
            }
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,12}", near in "[0-9.,/#() amgwse²]{0,10}") {
            let _ = text.parse::<Size>();
            let _ = near.parse::<Size>();
        }
    }
}
