//! A reading as it is typed at the meter.

use crimpbook_core::quantity::Kind;

/// What was typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed {
    /// In the measure asked for; none: open circuit.
    pub value: Option<f64>,
}

/// As meters and people write an open circuit.
const OPEN: &[&str] = &["open", "ol", "o.l", "o.l.", "0l", "0.l", "over", "inf", "∞", "o"];

/// Reads `0,12`, `12.4`, `4k7`, `45 mV`, `open`, `OL`. `measure` is `Ω`, `V`, `A` or `s`; a bare number in millivolts where `milli` is set.
///
/// # Errors
/// A sentence: no number, a number that can be read in two ways, a unit that is not of this measure.
pub fn typed(text: &str, measure: &str, milli: bool) -> Result<Typed, String> {
    let text = text.trim();
    let low = text.to_lowercase();
    if OPEN.contains(&low.as_str()) {
        return if measure == "Ω" {
            Ok(Typed { value: None })
        } else {
            Err(format!(
                "only ohms are ever \"open\": type the {measure} the meter shows, 0 where it shows none"
            ))
        };
    }
    let kind = match measure {
        "Ω" => Kind::Resistance,
        "A" => Kind::Current,
        "s" => Kind::Time,
        _ => Kind::Voltage,
    };
    let bare = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || ".,-+−".contains(c));
    let value = kind.parse(text).map_err(|wrong| wrong.to_string())?;
    let scale = if milli && bare { 1e-3 } else { 1.0 };
    Ok(Typed {
        value: Some(value * scale),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_as_meters_show_them() {
        let ohms = |text: &str| typed(text, "Ω", false).map(|t| t.value);
        assert_eq!(ohms("0,12"), Ok(Some(0.12)));
        assert_eq!(ohms("4k7"), Ok(Some(4700.0)));
        assert_eq!(ohms(" OL "), Ok(None));
        assert_eq!(ohms("open"), Ok(None));
        assert!(ohms("12 V").unwrap_err().contains("V"));
        assert!(ohms("1,500").unwrap_err().contains("can mean"));
        let volts = |text: &str| typed(text, "V", false).map(|t| t.value);
        assert_eq!(volts("12.4"), Ok(Some(12.4)));
        assert_eq!(volts("-0,03"), Ok(Some(-0.03)));
        assert!(volts("open").unwrap_err().contains("only ohms"));
        let milli = |text: &str| typed(text, "V", true).map(|t| t.value.unwrap());
        assert!((milli("45").unwrap() - 0.045).abs() < 1e-12);
        assert!((milli("45 mV").unwrap() - 0.045).abs() < 1e-12);
    }
}
