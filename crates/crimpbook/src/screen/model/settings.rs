//! Settings: the parameters of every unit's own software, what became of each, and how they were left at a release.

use std::sync::Arc;

use crimpbook_workbook::{
    book::natural,
    check::{Finding, Level},
    model::{Id, Key, Setting},
    tune::{AsLeft, Moment, Past},
};

use super::{
    Model,
    findings::gravest,
    sieve::{By, List, arrange},
};
use crate::screen::figures::number;

/// State of the Settings screen.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    /// The row the cursor is on.
    pub at: usize,
    /// Whether one setting is shown in full where there is no room beside the list.
    pub detail: bool,
    /// How many lines of it are scrolled past.
    pub from: usize,
    /// What was read of the log so far.
    pub past: Past,
    /// The last entry that was asked for.
    pub asked: u64,
    /// The revision that values are held against, counted back from the newest: 1 is the newest.
    pub against: usize,
}

/// The settings listed, in the order chosen.
pub fn rows(model: &Model) -> Vec<&Setting> {
    let listed = model.derived.settings.get_or_init(|| Arc::new(find_rows(model)));
    listed.iter().filter_map(|id| model.book.get(*id)).collect()
}

fn find_rows(model: &Model) -> Vec<Id<Setting>> {
    let mut rows = all(model);
    let sieve = model.sieves.of(List::Settings);
    arrange(
        &sieve,
        &mut rows,
        |s| said(model, s),
        |s, by| match by {
            1 => By::words(&s.label),
            2 => s.value.parse().map_or_else(|_| By::words(&s.value), By::Figure),
            _ => By::words(&s.page),
        },
    );
    rows.into_iter().map(|setting| setting.id).collect()
}

/// All words of a setting.
fn said(model: &Model, setting: &Setting) -> String {
    let cavities = setting.cavities.iter().map(|id| model.book.cavity_name(*id));
    let cavities: Vec<String> = cavities.collect();
    format!(
        "{} {} {} {} {} {}",
        setting.label,
        setting.shown(),
        setting.role.map_or("", |role| role.words()),
        model.book.label_of(setting.unit),
        cavities.join(" "),
        setting.note
    )
}

/// Every setting, unit by unit.
pub fn all(model: &Model) -> Vec<&Setting> {
    let book = &model.book;
    let mut rows: Vec<&Setting> = book.all::<Setting>().values().collect();
    rows.sort_by_cached_key(|s| (natural(&book.label_of(s.unit)), natural(&s.label), s.id));
    rows
}

/// The setting the cursor is on.
pub fn setting(model: &Model) -> Option<&Setting> {
    let rows = model.derived.settings.get_or_init(|| Arc::new(find_rows(model)));
    let at = model.settings.at.min(rows.len().saturating_sub(1));
    model.book.get(*rows.get(at)?)
}

/// Whether the log is read up to its end.
pub fn read(model: &Model) -> bool {
    model.settings.past.upto >= model.heads.last().map_or(0, |head| head.seq)
}

/// What became of a setting, newest first.
pub fn moments<'a>(model: &'a Model, setting: &Setting) -> impl Iterator<Item = &'a Moment> {
    model.settings.past.of(setting.id).iter().rev()
}

/// The revision that values are held against.
pub fn against(model: &Model) -> Option<&AsLeft> {
    let revisions = &model.settings.past.revisions;
    let back = model.settings.against.min(revisions.len());
    revisions
        .get(revisions.len().checked_sub(back)?)
        .filter(|_| back > 0)
}

/// How a setting was left at a revision; none: it is as it was then.
pub fn left_otherwise(left: &AsLeft, setting: &Setting) -> Option<String> {
    match left.settings.get(&setting.id) {
        None => Some("not there".to_owned()),
        Some(then) => (then.value != setting.shown()).then(|| then.value.clone()),
    }
}

/// Settings that were there at a revision and are gone.
pub fn gone<'a>(model: &Model, left: &'a AsLeft) -> Vec<&'a str> {
    let now = model.book.all::<Setting>();
    let gone = left.settings.iter().filter(|(id, _)| now.get(id).is_none());
    gone.map(|(_, then)| then.label.as_str()).collect()
}

/// What it may be (`0 to 40`); empty where nothing is stated.
pub fn limits(setting: &Setting) -> String {
    match (setting.least, setting.most) {
        (Some(least), Some(most)) => format!("{} to {}", number(least), number(most)),
        (Some(least), None) => format!("from {}", number(least)),
        (None, Some(most)) => format!("up to {}", number(most)),
        (None, None) => String::new(),
    }
}

/// Every open stop and warning about a setting, the gravest first.
pub fn found<'a>(model: &'a Model, setting: &Setting) -> Vec<&'a Finding> {
    let at = model.findings.report().into_iter();
    let at = at.flat_map(|report| report.at(Key::of(setting.id)));
    let mut found: Vec<&Finding> = at
        .filter(|f| f.level != Level::Note && !f.is_accepted())
        .collect();
    found.sort_by_key(|finding| finding.level);
    found
}

/// The gravest open finding about a setting.
pub fn finding<'a>(model: &'a Model, setting: &Setting) -> Option<&'a Finding> {
    gravest(model, [Key::of(setting.id)])
}
