use super::QuantityError;
use super::decimal::Decimal;
use super::units::{FOOT, FOOT_M, INCH, INCH_M, Scale, Spec, Unit, spec};

/// What a figure measures. Each kind has a base unit in which values are kept; a bare number is in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// In m; also read in cm, mm, ft, in, and feet with inches.
    Length,
    /// In V.
    Voltage,
    /// In A.
    Current,
    /// In Ω; also read as `4k7`, `0R5`.
    Resistance,
    /// In s.
    Time,
    /// In °C.
    Temperature,
    /// In per cent.
    Share,
    /// In W.
    Power,
    /// In Hz.
    Frequency,
    /// In N.
    Force,
    /// Current squared times time that melts a fuse, in A²s.
    MeltingIntegral,
    /// In F; also read as `470 µF`.
    Capacitance,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 12] = [
        Self::Length,
        Self::Voltage,
        Self::Current,
        Self::Resistance,
        Self::Time,
        Self::Temperature,
        Self::Share,
        Self::Power,
        Self::Frequency,
        Self::Force,
        Self::MeltingIntegral,
        Self::Capacitance,
    ];

    /// Reads a figure and gives it in the base unit.
    ///
    /// # Errors
    /// A sentence: no number, a number that can be read in two ways, a foreign unit, or a value out of range.
    pub fn parse(self, text: &str) -> Result<f64, QuantityError> {
        let spec = spec(self);
        let typed = text.trim();
        let value = match self {
            Self::Length => feet_and_inches(typed, spec)?,
            Self::Resistance => infix(typed)?,
            _ => None,
        };
        let value = match value {
            Some(value) => value,
            None => plain(typed, spec)?,
        };
        if value < spec.least || value > spec.most {
            return Err(QuantityError::OutOfRange {
                text: format!("`{typed}`"),
                what: spec.what,
                least: self.print(spec.least),
                most: self.print(spec.most),
            });
        }
        // A typed `-0` is a plain zero.
        Ok(value + 0.0)
    }
}

/// A number and perhaps a unit.
fn plain(typed: &str, spec: &Spec) -> Result<f64, QuantityError> {
    if typed.is_empty() {
        return Err(QuantityError::Empty {
            what: spec.what,
            example: spec.example,
        });
    }
    let not_a_number = || QuantityError::NotANumber {
        text: typed.into(),
        what: spec.what,
        example: spec.example,
    };
    let at = typed.find(|c: char| !is_of_number(c)).unwrap_or(typed.len());
    let (number, unit) = typed.split_at_checked(at).ok_or_else(not_a_number)?;
    let unit = unit.trim();
    if unit.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::SpaceInside { text: typed.into() });
    }
    let decimal = Decimal::read(number)?.ok_or_else(not_a_number)?;
    let scale = if unit.is_empty() {
        Scale::Ten(0)
    } else {
        find(unit, spec)?.scale
    };
    let value = match scale {
        Scale::Ten(n) => decimal.value(n),
        Scale::By(factor) => decimal.value(0).map(|v| v * factor),
        Scale::Fahrenheit => decimal.value(0).map(|v| (v - 32.0) / 1.8),
    };
    value.ok_or_else(not_a_number)
}

fn is_of_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | '\u{2212}')
}

/// The unit of this spelling: as written, else whatever the case of its letters, unless that could turn milli
/// into mega.
fn find(unit: &str, spec: &'_ Spec) -> Result<&'static Unit, QuantityError> {
    let mut units = spec.units.iter();
    if let Some(found) = units.find(|u| u.names.contains(&unit)) {
        return Ok(found);
    }
    let accepted = || spec.accepted.to_owned();
    if spec.mega && unit.starts_with(['m', 'M']) {
        return Err(QuantityError::AmbiguousPrefix {
            unit: unit.into(),
            accepted: accepted(),
        });
    }
    let lower = unit.to_lowercase();
    let mut units = spec.units.iter();
    units
        .find(|u| u.names.iter().any(|n| n.to_lowercase() == lower))
        .ok_or_else(|| QuantityError::UnknownUnit {
            unit: unit.into(),
            what: spec.what,
            accepted: accepted(),
        })
}

/// `8' 6"` and `8 ft 6 in`. None: not written so.
fn feet_and_inches(typed: &str, spec: &Spec) -> Result<Option<f64>, QuantityError> {
    let lower = typed.to_lowercase();
    let Some((feet, rest)) = FOOT.iter().find_map(|f| lower.split_once(f)) else {
        return Ok(None);
    };
    // `ft` stands in no inch mark, but two feet marks make one.
    let rest = rest.trim();
    let Some(inches) = INCH.iter().find_map(|i| rest.strip_suffix(i)) else {
        return Ok(None);
    };
    let (feet, inches) = (feet.trim(), inches.trim());
    if feet.is_empty() || !inches.starts_with(|c: char| c.is_ascii_digit()) {
        return Ok(None);
    }
    let feet = plain(feet, spec)?;
    let inches = plain(inches, spec)?;
    Ok(Some(feet * FOOT_M + inches * INCH_M))
}

/// `4k7`, `0R5`, `1M2`: the letter stands where the decimal mark would. None: not written so.
fn infix(typed: &str) -> Result<Option<f64>, QuantityError> {
    const LETTERS: [(char, i32); 6] = [('R', 0), ('r', 0), ('k', 3), ('K', 3), ('M', 6), ('m', -3)];
    let Some((letter, power)) = LETTERS.into_iter().find(|(l, _)| typed.contains(*l)) else {
        return Ok(None);
    };
    let Some((whole, part)) = typed.split_once(letter) else {
        return Ok(None);
    };
    let digits = |s: &str| !s.is_empty() && s.chars().all(|c| c.is_ascii_digit());
    if !digits(whole) || !digits(part) {
        return Ok(None);
    }
    if letter == 'm' {
        let accepted = format!("`{whole}.{part} mΩ` or `{whole}M{part}`");
        return Err(QuantityError::AmbiguousPrefix {
            unit: typed.into(),
            accepted,
        });
    }
    let decimal = Decimal::read(&format!("{whole}.{part}"))?;
    Ok(decimal.and_then(|d| d.value(power)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(kind: Kind, text: &str) -> String {
        kind.parse(text).unwrap_err().to_string()
    }

    #[test]
    fn lengths_in_every_unit_of_the_trade() {
        let m = |text: &str| Kind::Length.parse(text).unwrap();
        assert_eq!(m("2.4"), 2.4);
        assert_eq!(m("2.4 m"), 2.4);
        assert_eq!(m("2,4m"), 2.4);
        assert_eq!(m("240 cm"), 2.4);
        assert_eq!(m("2400 mm"), 2.4);
        assert_eq!(m("8 ft"), 2.4384);
        assert_eq!(m("8'"), 2.4384);
        assert!((m("36 in") - 0.9144).abs() < 1e-12);
        assert!((m("6\"") - 0.1524).abs() < 1e-12);
        assert!((m("8' 6\"") - 2.5908).abs() < 1e-12);
        assert!((m("8ft 6in") - 2.5908).abs() < 1e-12);
        assert!((m("8 FT") - 2.4384).abs() < 1e-12);
        assert!((m("6''") - 0.1524).abs() < 1e-12);
    }

    #[test]
    fn lengths_that_are_refused_say_why() {
        assert_eq!(
            refused(Kind::Length, ""),
            "Nothing is written. Write a length, for example `2.4 m`."
        );
        assert_eq!(
            refused(Kind::Length, "2.4 V"),
            "`V` is no unit of a length. Use m, cm, mm, ft or in."
        );
        assert!(refused(Kind::Length, "long").starts_with("`long` does not start with a number."));
        assert!(refused(Kind::Length, "1,500 mm").contains("1.5 or 1500"));
        assert!(refused(Kind::Length, "1 500 mm").contains("space inside"));
        assert!(refused(Kind::Length, "-1 m").contains("0 m to 1000 m"));
        assert!(refused(Kind::Length, "nan").contains("does not start with a number"));
    }

    #[test]
    fn ohms_as_on_a_resistor_and_on_a_meter() {
        let ohm = |text: &str| Kind::Resistance.parse(text).unwrap();
        assert_eq!(ohm("4k7"), 4700.0);
        assert_eq!(ohm("4.7 kΩ"), 4700.0);
        assert_eq!(ohm("4,7k"), 4700.0);
        assert_eq!(ohm("10 mΩ"), 0.01);
        assert_eq!(ohm("10 mohm"), 0.01);
        assert_eq!(ohm("1M2"), 1_200_000.0);
        assert_eq!(ohm("1 MΩ"), 1_000_000.0);
        assert_eq!(ohm("0R5"), 0.5);
        assert_eq!(ohm("120"), 120.0);
        assert_eq!(ohm("120 Ohm"), 120.0);
        assert_eq!(ohm("120R"), 120.0);
    }

    #[test]
    fn milli_is_never_taken_for_mega() {
        assert!(refused(Kind::Resistance, "10 m").contains("milli or mega"));
        assert!(refused(Kind::Resistance, "10 M").contains("milli or mega"));
        assert!(refused(Kind::Resistance, "10 MOHM").contains("milli or mega"));
        assert!(refused(Kind::Resistance, "4m7").contains("`4.7 mΩ` or `4M7`"));
        assert!(refused(Kind::Voltage, "5 MV").contains("milli or mega"));
        assert!(refused(Kind::Current, "5 MA").contains("milli or mega"));
    }

    #[test]
    fn other_quantities() {
        assert_eq!(Kind::Time.parse("90 s"), Ok(90.0));
        assert_eq!(Kind::Time.parse("100 ms"), Ok(0.1));
        assert_eq!(Kind::Time.parse("10 min"), Ok(600.0));
        assert_eq!(Kind::Temperature.parse("-40 °C"), Ok(-40.0));
        assert_eq!(Kind::Temperature.parse("68 °F"), Ok(20.0));
        assert_eq!(Kind::Share.parse("75 %"), Ok(75.0));
        assert_eq!(Kind::Voltage.parse("12,6 v"), Ok(12.6));
        assert_eq!(Kind::Voltage.parse("−6"), Ok(-6.0));
        assert_eq!(Kind::Current.parse("150 mA"), Ok(0.15));
        assert_eq!(Kind::Frequency.parse("250 kHz"), Ok(250_000.0));
        assert_eq!(Kind::MeltingIntegral.parse("340 A2s"), Ok(340.0));
        assert_eq!(Kind::Power.parse("21 W"), Ok(21.0));
        assert!((Kind::Force.parse("20 lbf").unwrap() - 88.96).abs() < 0.01);
    }
}
