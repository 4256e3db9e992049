//! Settings: values with their limits, and what became of the one under the cursor.

use ratatui::layout::Position;

use crimpbook_workbook::model::{Setting, SettingRole};

use super::first_row;
use crate::screen::{
    action::{Do, key_of},
    figures::day,
    model::{
        Model,
        findings::mark,
        settings::{against, finding, found, left_otherwise, limits, moments, read, rows, setting},
        sieve,
    },
    pen::Pen,
};

/// From this width on the setting stands beside the list.
const WIDE: u16 = 110;
/// Lines below the list in a narrower window.
const BELOW: u16 = 6;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    let Some(here) = setting(model) else {
        let words = format!(
            "No setting is entered yet. {} enters one: a parameter of a unit's own software that belongs to these wires.",
            key_of(Do::AddSetting)
        );
        let words = sieve::nothing(model).unwrap_or(words);
        pen.paragraph(2, 0, &words, pen.look().quiet());
        return None;
    };
    if width >= WIDE {
        let left = width * 3 / 5;
        list(model, &mut pen.part(0, 0, left, height));
        pen.part(left, 0, 1, height).upright(0);
        full(model, &mut pen.part(left + 2, 0, width - left - 3, height), here);
    } else if model.settings.detail {
        full(model, &mut pen.part(1, 0, width.saturating_sub(2), height), here);
    } else if height >= 2 * BELOW {
        list(model, &mut pen.part(0, 0, width, height - BELOW));
        pen.part(0, height - BELOW, width, 1).rule(0, "");
        brief(
            model,
            &mut pen.part(1, height - BELOW + 1, width - 2, BELOW - 1),
            here,
        );
    } else {
        list(model, pen);
    }
    None
}

/// A line of the list.
enum Line<'a> {
    Unit(String),
    Row(usize, &'a Setting),
}

/// Where the columns begin.
struct Columns {
    value: u16,
    limits: u16,
    cavities: u16,
}

impl Columns {
    fn of(width: u16) -> Self {
        let value = (width * 3 / 10).clamp(16, 24);
        let limits = value + (width * 3 / 10).clamp(12, 24);
        Self {
            value,
            limits,
            cavities: limits + 14,
        }
    }
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let rows = rows(model);
    let at = model.settings.at.min(rows.len().saturating_sub(1));
    let columns = Columns::of(pen.width());
    let left = against(model);
    let third = match left {
        Some(left) => format!("as left at {}", left.revision),
        None => "may be".to_owned(),
    };
    pen.put(2, 0, "setting", look.quiet());
    pen.put(columns.value, 0, "value", look.quiet());
    pen.put(columns.limits, 0, &third, look.quiet());
    pen.put(columns.cavities, 0, "cavities", look.quiet());
    let mut lines = Vec::new();
    let mut unit = String::new();
    for (place, setting) in rows.iter().enumerate() {
        let of = model.book.label_of(setting.unit);
        if of != unit {
            unit.clone_from(&of);
            lines.push(Line::Unit(of));
        }
        lines.push(Line::Row(place, setting));
    }
    let here = lines
        .iter()
        .position(|line| matches!(line, Line::Row(place, _) if *place == at))
        .unwrap_or(0);
    let room = usize::from(pen.height().saturating_sub(1));
    let from = first_row(here, lines.len(), room);
    for (y, line) in (1u16..).zip(lines.iter().skip(from).take(room)) {
        match line {
            Line::Unit(words) => {
                pen.put(1, y, words, look.accent());
            }
            Line::Row(place, setting) => {
                pen.hit_row(y, *place);
                row(model, pen, y, setting, &columns);
                if *place == at {
                    pen.put(0, y, "▸", look.accent());
                    pen.tint(2, y, columns.value - 3, look.focus());
                }
            }
        }
    }
}

fn row(model: &Model, pen: &mut Pen<'_>, y: u16, setting: &Setting, columns: &Columns) {
    let look = pen.look();
    if let Some(found) = finding(model, setting) {
        pen.put(1, y, mark(found.level), look.accent());
    }
    pen.put_most(2, y, columns.value - 3, &setting.label, look.plain());
    let wide = columns.limits - columns.value - 1;
    pen.put_most(columns.value, y, wide, &setting.shown(), look.strong());
    let wide = columns.cavities - columns.limits - 1;
    match against(model) {
        Some(left) => {
            if let Some(then) = left_otherwise(left, setting) {
                pen.put_most(columns.limits, y, wide, &format!("→ {then}"), look.strong());
            } else {
                pen.put_most(columns.limits, y, wide, "=", look.quiet());
            }
        }
        None => {
            pen.put_most(columns.limits, y, wide, &limits(setting), look.plain());
        }
    }
    let cavities: Vec<String> = setting
        .cavities
        .iter()
        .map(|id| model.book.cavity_name(*id))
        .collect();
    pen.put(columns.cavities, y, &cavities.join(", "), look.quiet());
}

/// What is known of it in one sentence: `comes with 0, page 70, sets "regeneration, lift-off"`.
fn facts(model: &Model, setting: &Setting) -> String {
    let mut words = Vec::new();
    let stated = limits(setting);
    words.push(match (stated.as_str(), setting.figure()) {
        ("", Some(_)) => "limits not stated".to_owned(),
        ("", None) => String::new(),
        _ => format!("may be {stated} {}", setting.measure).trim().to_owned(),
    });
    if !setting.default_value.is_empty() {
        words.push(format!("comes with {}", setting.default_value));
    }
    if !setting.page.is_empty() {
        words.push(format!("page {}", setting.page));
    }
    if let Some(role) = setting.role.filter(|role| *role != SettingRole::Other) {
        words.push(format!("sets: {}", role.words()));
    }
    let cavities: Vec<String> = setting
        .cavities
        .iter()
        .map(|id| model.book.cavity_name(*id))
        .collect();
    if !cavities.is_empty() {
        words.push(format!("belongs to {}", cavities.join(", ")));
    }
    words.retain(|w| !w.is_empty());
    words.join("; ")
}

/// A few lines below the list.
fn brief(model: &Model, pen: &mut Pen<'_>, setting: &Setting) {
    let look = pen.look();
    let title = format!(
        "{} of {}: {}",
        setting.label,
        model.book.label_of(setting.unit),
        setting.shown()
    );
    pen.put(0, 0, &title, look.strong());
    let mut y = 1;
    for found in found(model, setting) {
        let x = pen.put(0, y, mark(found.level), look.accent());
        y = pen.paragraph(x + 1, y, &found.sentence, look.strong());
    }
    let y = pen.paragraph(0, y, &facts(model, setting), look.plain());
    let y = match moments(model, setting).find(|m| m.turned) {
        Some(last) => {
            let why = if last.why.is_empty() {
                "no why is known".to_owned()
            } else {
                format!("because {}", last.why)
            };
            let words = format!("since {}, {}: {why}", day(last.at, model.offset), last.who);
            pen.paragraph(0, y, &words, look.plain())
        }
        None => pen.paragraph(0, y, unread(model), look.quiet()),
    };
    if !setting.note.is_empty() {
        pen.paragraph(0, y, &setting.note, look.quiet());
    }
}

fn unread(model: &Model) -> &'static str {
    if read(model) {
        "nothing of it is in the log"
    } else {
        "the log is being read"
    }
}

/// All of it, with its past.
fn full(model: &Model, pen: &mut Pen<'_>, setting: &Setting) {
    let look = pen.look();
    let title = format!("{} of {}", setting.label, model.book.label_of(setting.unit));
    let y = pen.paragraph(0, 0, &title, look.strong());
    let y = pen.paragraph(0, y, &setting.shown(), look.strong());
    let mut y = pen.paragraph(0, y, &facts(model, setting), look.plain());
    for found in found(model, setting) {
        let x = pen.put(0, y, mark(found.level), look.accent());
        y = pen.paragraph(x + 1, y, &found.sentence, look.strong());
    }
    if !setting.note.is_empty() {
        y = pen.paragraph(0, y, &setting.note, look.quiet());
    }
    y += 1;
    for left in model.settings.past.revisions.iter().rev() {
        let then = left
            .settings
            .get(&setting.id)
            .map_or("not there", |l| l.value.as_str());
        let x = pen.put(0, y, &format!("left at {}", left.revision), look.quiet());
        pen.put(x.max(12) + 1, y, then, look.plain());
        y += 1;
    }
    y += 1;
    let mut any = false;
    let from = model
        .settings
        .from
        .min(moments(model, setting).count().saturating_sub(1));
    for moment in moments(model, setting).skip(from) {
        any = true;
        let value = match (&moment.value, moment.turned) {
            (None, _) => "removed",
            (Some(value), true) => value,
            (Some(_), false) => "not turned; something else of it",
        };
        let x = pen.put(0, y, &day(moment.at, model.offset), look.quiet());
        let x = pen.put(x + 1, y, value, look.strong());
        pen.put(x + 1, y, &format!("by {}", moment.who), look.quiet());
        let why = if moment.why.is_empty() {
            "no why is known".to_owned()
        } else {
            format!("because {}", moment.why)
        };
        y = pen.paragraph(2, y + 1, &why, look.plain());
        if y >= pen.height() {
            return;
        }
    }
    if !any {
        pen.paragraph(0, y, unread(model), look.quiet());
    }
}
