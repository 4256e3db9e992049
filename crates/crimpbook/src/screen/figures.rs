//! Figures as the screens write them.

use chrono::{DateTime, FixedOffset, Utc};

/// A number without trailing zeros, at most three decimals.
pub fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A date and time as the person's clock shows it.
pub fn moment(at: DateTime<Utc>, offset: FixedOffset) -> String {
    at.with_timezone(&offset).format("%Y-%m-%d %H:%M").to_string()
}

/// A date as the person's clock shows it.
pub fn day(at: DateTime<Utc>, offset: FixedOffset) -> String {
    at.with_timezone(&offset).format("%Y-%m-%d").to_string()
}

/// How long ago (`3 days ago`).
pub fn ago(at: DateTime<Utc>, now: DateTime<Utc>) -> String {
    let minutes = (now - at).num_minutes();
    let say = |n: i64, what: &str| format!("{n} {what}{} ago", if n == 1 { "" } else { "s" });
    match minutes {
        ..0 => "just now".to_owned(),
        0..2 => "just now".to_owned(),
        2..60 => say(minutes, "minute"),
        60..1440 => say(minutes / 60, "hour"),
        1440..=86_400 => say(minutes / 1440, "day"),
        86_401..1_051_200 => say(minutes / 43_200, "month"),
        _ => say(minutes / 525_600, "year"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_times_are_short() {
        assert_eq!(
            (number(0.35), number(10.0), number(2.5004)),
            ("0.35".into(), "10".into(), "2.5".into())
        );
        let then = DateTime::UNIX_EPOCH;
        let after = |minutes| ago(then, then + chrono::TimeDelta::minutes(minutes));
        assert_eq!(
            (after(1), after(59), after(61), after(4400)),
            (
                "just now".into(),
                "59 minutes ago".into(),
                "1 hour ago".into(),
                "3 days ago".into()
            )
        );
    }
}
