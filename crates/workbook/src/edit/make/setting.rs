//! Settings of the units' own software. Each of these needs a why: the door asks for it.

use super::{Change, Edit, Refusal, cannot, need};
use crate::{
    Book,
    model::{Id, Setting},
};

/// Puts a setting in as it is filled in, in place of the one with the same id (`MC REGEN_COAST_MAX: 18 % → 10 %`).
///
/// # Errors
/// Nothing is changed; the door refuses a unit or cavity that is gone.
pub fn put_setting(book: &Book, setting: Setting) -> Result<Edit, Refusal> {
    let name = format!("{} {}", book.label_of(setting.unit), setting.label);
    let (is, least, most) = (setting.shown(), setting.least, setting.most);
    let Some(before) = book.get(setting.id) else {
        let title = format!("{name}: {is} entered");
        return Ok(Edit::design(title, vec![Change::make(setting)]));
    };
    if *before == setting {
        return Err(cannot(book, setting.id, "is so already; nothing to change"));
    }
    let title = if before.shown() != is {
        format!("{name}: {} → {is}", before.shown())
    } else if (before.least, before.most) != (least, most) {
        format!("{name}: limits {}", limits(&setting))
    } else {
        format!("{name} changed")
    };
    Ok(Edit::design(
        title,
        vec![Change::replace(before.clone(), setting)],
    ))
}

/// Limits in words (`from 0 to 40 %`).
fn limits(setting: &Setting) -> String {
    let words = match (setting.least, setting.most) {
        (Some(least), Some(most)) => format!("from {least} to {most}"),
        (Some(least), None) => format!("from {least}"),
        (None, Some(most)) => format!("up to {most}"),
        (None, None) => return "not stated".to_owned(),
    };
    format!("{words} {}", setting.measure).trim().to_owned()
}

/// Turns a setting to another value.
///
/// # Errors
/// The setting is gone, or has that value.
pub fn set_value(book: &Book, setting: Id<Setting>, value: &str) -> Result<Edit, Refusal> {
    let before = need(book, setting)?.clone();
    put_setting(
        book,
        Setting {
            value: value.trim().to_owned(),
            ..before
        },
    )
}

/// States what a setting may be, by the manual or the builder.
///
/// # Errors
/// The setting is gone, or has these limits.
pub fn set_limits(
    book: &Book,
    setting: Id<Setting>,
    least: Option<f64>,
    most: Option<f64>,
) -> Result<Edit, Refusal> {
    let before = need(book, setting)?.clone();
    put_setting(
        book,
        Setting {
            least,
            most,
            ..before
        },
    )
}
