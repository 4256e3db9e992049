//! What the pure crates cannot know: who, when, and fresh ids.

use chrono::{DateTime, SubsecRound, Utc};
use crimpbook_workbook::{edit::Stamp, model::IdMaker};

/// The name that stands in the log: as given, else `CRIMPBOOK_WHO`, else the login name, else `builder`.
pub fn name(given: Option<&str>) -> String {
    let tidy = |name: String| {
        let name: String = name.chars().filter(|c| !c.is_control()).take(40).collect();
        Some(name.trim().to_owned()).filter(|n| !n.is_empty())
    };
    given
        .map(str::to_owned)
        .and_then(tidy)
        .or_else(|| std::env::var("CRIMPBOOK_WHO").ok().and_then(tidy))
        .or_else(|| std::env::var("USER").ok().and_then(tidy))
        .or_else(|| std::env::var("USERNAME").ok().and_then(tidy))
        .unwrap_or_else(|| "builder".to_owned())
}

/// The moment, to the millisecond.
pub fn now() -> DateTime<Utc> {
    Utc::now().trunc_subsecs(3)
}

/// Random bits that no other run shares.
///
/// # Errors
/// The system gives none.
pub fn seed() -> Result<u128, getrandom::Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)?;
    Ok(u128::from_le_bytes(bytes))
}

/// A stamp for the next entry.
pub fn stamp(ids: &mut IdMaker, who: &str) -> Stamp {
    Stamp {
        id: ids.make(),
        at: now(),
        who: who.to_owned(),
    }
}
