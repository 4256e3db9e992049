//! Prints figures with their unit: exactly, or rounded for reading.

use super::decimal::Decimal;
use super::kind::Kind;
use super::units::spec;

impl Kind {
    /// Prints a finite value of the base unit with a unit, so that [`Kind::parse`] gives the very same value.
    pub fn print(self, value: f64) -> String {
        let printed = spec(self).printed;
        let size = value.abs();
        let fits = |p: &&(&str, i32, f64)| {
            if size == 0.0 {
                true
            } else {
                size >= p.2 && p.2.is_finite()
            }
        };
        let unit = printed.iter().find(fits).or(printed.last());
        let (symbol, power) = unit.map_or(("", 0), |(symbol, power, _)| (*symbol, *power));
        format!("{} {symbol}", Decimal::of(value).print(-power))
    }

    /// Prints a value for reading: three significant digits, but never fewer than the whole units.
    pub fn show(self, value: f64) -> String {
        self.print(rounded(value))
    }

    /// Symbol of the base unit.
    pub fn symbol(self) -> &'static str {
        spec(self).printed.first().map_or("", |p| p.0)
    }
}

/// Three significant digits; whole numbers above a thousand.
pub fn rounded(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    if value.abs() >= 1000.0 {
        return value.round();
    }
    format!("{value:.2e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn prints_with_the_unit_a_person_would_take() {
        assert_eq!(Kind::Length.print(0.15), "0.15 m");
        assert_eq!(Kind::Resistance.print(0.0127), "12.7 mΩ");
        assert_eq!(Kind::Resistance.print(4700.0), "4.7 kΩ");
        assert_eq!(Kind::Resistance.print(0.0), "0 Ω");
        assert_eq!(Kind::Voltage.print(0.24), "0.24 V");
        assert_eq!(Kind::Voltage.print(-0.02), "-20 mV");
        assert_eq!(Kind::Current.print(0.15), "0.15 A");
        assert_eq!(Kind::Current.print(0.03), "30 mA");
        assert_eq!(Kind::Time.print(0.1), "100 ms");
        assert_eq!(Kind::Temperature.print(-40.0), "-40 °C");
        assert_eq!(Kind::Share.print(4.7), "4.7 %");
        assert_eq!(Kind::Frequency.print(0.5), "0.5 Hz");
    }

    #[test]
    fn shows_three_digits() {
        assert_eq!(Kind::Voltage.show(1.09823), "1.1 V");
        assert_eq!(Kind::Voltage.show(0.0123456), "12.3 mV");
        assert_eq!(Kind::Current.show(1145.4), "1145 A");
        assert_eq!(Kind::Temperature.show(0.0), "0 °C");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// What is printed reads back as the same value, over all magnitudes the kind allows.
        #[test]
        fn reading_what_was_printed_gives_the_same_value(mantissa in 1.0_f64..10.0, power in -9_i32..9, minus: bool) {
            for kind in Kind::ALL {
                let limits = spec(kind);
                let value = mantissa * 10_f64.powi(power) * if minus { -1.0 } else { 1.0 };
                if (limits.least..=limits.most).contains(&value) {
                    prop_assert_eq!(kind.parse(&kind.print(value)), Ok(value));
                }
            }
        }

        #[test]
        fn no_text_makes_the_reader_panic(text in "\\PC{0,16}", number in "[-+0-9.,]{0,8}", unit in "[ mMkKRrΩ'\"°%a-z]{0,5}") {
            for kind in Kind::ALL {
                let _ = kind.parse(&text);
                if let Ok(value) = kind.parse(&format!("{number}{unit}")) {
                    prop_assert!(value.is_finite());
                }
            }
        }
    }
}
