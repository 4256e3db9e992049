//! Decimal numbers as typed: digits and an exponent, so that `100 ms` is exactly the nearest number to 0.1.

use super::QuantityError;

/// Longest run of digits that is read; no figure of this trade needs more.
const MOST_DIGITS: usize = 40;

/// A number as typed: ± `digits` × 10^`exponent`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Decimal {
    pub negative: bool,
    pub digits: String,
    pub exponent: i32,
}

impl Decimal {
    /// The number × 10^`shift`, rounded once.
    pub fn value(&self, shift: i32) -> Option<f64> {
        let sign = if self.negative { "-" } else { "" };
        let exponent = self.exponent + shift;
        let value: f64 = format!("{sign}{}e{exponent}", self.digits).parse().ok()?;
        value.is_finite().then_some(value)
    }

    /// Reads a whole number text: sign, digits, at most one decimal mark. None: not a number at all.
    pub fn read(text: &str) -> Result<Option<Self>, QuantityError> {
        let (negative, body) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(body) => (true, body),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        if !body.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',') {
            return Ok(None);
        }
        if body.matches(['.', ',']).count() > 1 {
            return Err(QuantityError::TwoMarks { text: text.into() });
        }
        let (whole, part) = body.split_once(['.', ',']).unwrap_or((body, ""));
        if (whole.is_empty() && part.is_empty()) || body.len() > MOST_DIGITS || body.ends_with(['.', ',']) {
            return Ok(None);
        }
        // `0,500` can only be a half; `1,500` may be fifteen hundred.
        let groups = body.contains(',') && part.len() == 3 && (1..=3).contains(&whole.len());
        if groups && !whole.starts_with('0') {
            let sign = if negative { "-" } else { "" };
            let small = format!("{sign}{whole}.{part}");
            let small = small.trim_end_matches('0').trim_end_matches('.').to_owned();
            let large = format!("{sign}{whole}{part}");
            return Err(QuantityError::AmbiguousComma {
                text: text.into(),
                small,
                large,
            });
        }
        let exponent = -i32::try_from(part.len()).unwrap_or_default();
        Ok(Some(Self {
            negative,
            digits: format!("{whole}{part}"),
            exponent,
        }))
    }

    /// Takes a finite value apart into its shortest digits, which read back as the same value.
    pub fn of(value: f64) -> Self {
        let text = format!("{:e}", value.abs());
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let exponent: i32 = exponent.parse().unwrap_or_default();
        let shift = i32::try_from(part.len()).unwrap_or_default();
        Self {
            negative: value < 0.0,
            digits: format!("{whole}{part}"),
            exponent: exponent - shift,
        }
    }

    /// Prints the number × 10^`shift` without an exponent.
    pub fn print(&self, shift: i32) -> String {
        let digits = self.digits.trim_start_matches('0');
        let mut text = String::from(if self.negative && !digits.is_empty() {
            "-"
        } else {
            ""
        });
        let point = i32::try_from(digits.len()).unwrap_or_default() + self.exponent + shift;
        let zeros = |n: i32| "0".repeat(usize::try_from(n).unwrap_or_default());
        if digits.is_empty() {
            return "0".into();
        }
        if point <= 0 {
            text.push_str("0.");
            text.push_str(&zeros(-point));
            text.push_str(digits);
        } else {
            let (whole, part) = digits
                .split_at_checked(usize::try_from(point).unwrap_or_default())
                .unwrap_or((digits, ""));
            text.push_str(whole);
            text.push_str(&zeros(point - i32::try_from(digits.len()).unwrap_or_default()));
            if !part.trim_end_matches('0').is_empty() {
                text.push('.');
                text.push_str(part);
            }
        }
        if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        } else {
            text
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> Option<f64> {
        Decimal::read(text).unwrap().and_then(|d| d.value(0))
    }

    #[test]
    fn a_comma_is_a_decimal_mark_where_nothing_else_can_be_meant() {
        assert_eq!(value("1,5"), Some(1.5));
        assert_eq!(value("1.5"), Some(1.5));
        assert_eq!(value("1.500"), Some(1.5));
        assert_eq!(value(",5"), Some(0.5));
        assert_eq!(value("0,500"), Some(0.5));
        assert_eq!(value("1,2500"), Some(1.25));
        assert_eq!(
            value("1234,500"),
            Some(1234.5),
            "thousands have at most three digits before the mark"
        );
        assert_eq!(value("-\u{2212}2"), None);
        assert_eq!(value("\u{2212}2"), Some(-2.0));
    }

    #[test]
    fn what_could_be_misread_is_refused() {
        let refused = |text: &str| Decimal::read(text).unwrap_err().to_string();
        assert_eq!(
            refused("1,500"),
            "`1,500` can mean 1.5 or 1500. Write the one you mean without a comma."
        );
        assert!(refused("1.500,2").contains("more than one decimal mark"));
        assert!(refused("1,500,000").contains("more than one decimal mark"));
        assert_eq!(value("5."), None);
        assert_eq!(value("."), None);
        assert_eq!(value(""), None);
        assert_eq!(value("1e3"), None);
    }

    #[test]
    fn printing_shifts_the_point_only() {
        let print = |v: f64, shift| Decimal::of(v).print(shift);
        assert_eq!(print(0.0127, 3), "12.7");
        assert_eq!(print(1.5, 0), "1.5");
        assert_eq!(print(1200.0, 0), "1200");
        assert_eq!(print(-0.05, 0), "-0.05");
        assert_eq!(print(0.0, 0), "0");
        assert_eq!(print(-0.0, 0), "0");
        assert_eq!(print(1e21, 0), "1000000000000000000000");
    }
}
