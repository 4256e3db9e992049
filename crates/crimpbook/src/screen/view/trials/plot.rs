//! A trait over the trials with a setting beneath: marks and words, so that it reads without colours and in ASCII.

use crimpbook_workbook::{model::Trial, tune::trials_in_order};

use crate::screen::{
    action::{Do, key_of},
    figures::day,
    model::{
        Model,
        trials::{settings, traits, turned},
    },
    pen::Pen,
    text,
};

/// Columns of a trial.
const STEP: u16 = 11;
/// Columns of what stands left of the plot.
const LEFT: u16 = 10;
/// Lines between two marks, where there is room.
const ROOMY: u16 = 18;

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let names = traits(model);
    let Some(name) = names.get(model.trials.feel.min(names.len().saturating_sub(1))) else {
        pen.paragraph(
            2,
            0,
            "No trial has a mark yet: say more of one, with marks from 1 to 5.",
            look.quiet(),
        );
        return;
    };
    let mut x = 1;
    for other in &names {
        let (words, style) = if other == name {
            (format!("‹ {other} ›"), look.focus().patch(look.strong()))
        } else {
            (format!("  {other}  "), look.plain())
        };
        x = pen.put(x, 0, &words, style);
    }
    let fit = usize::from(pen.width().saturating_sub(LEFT) / STEP).max(1);
    let all = trials_in_order(&model.book);
    let skip = all.len().saturating_sub(fit);
    let shown: Vec<&Trial> = all.into_iter().skip(skip).collect();
    if skip > 0 {
        let words = format!("the last {} of {}", shown.len(), shown.len() + skip);
        pen.put_left_of(pen.width().saturating_sub(1), 0, &words, look.quiet());
    }
    let apart = if pen.height() >= ROOMY { 2 } else { 1 };
    let line = |mark: i64| 2 + (5u16.saturating_sub(u16::try_from(mark).unwrap_or(5))) * apart;
    for mark in 1..=5i64 {
        let words = match mark {
            5 => "right 5",
            1 => "bad 1",
            2 => "2",
            3 => "3",
            _ => "4",
        };
        pen.put_left_of(LEFT - 2, line(mark), words, look.quiet());
        pen.put(LEFT - 1, line(mark), "├", look.quiet());
    }
    for y in line(5)..line(1) {
        if (y - line(5)) % apart != 0 {
            pen.put(LEFT - 1, y, "│", look.quiet());
        }
    }
    let base = line(1) + 1;
    let axis: String = std::iter::repeat_n('─', shown.len() * usize::from(STEP)).collect();
    pen.put(LEFT - 1, base, "└", look.quiet());
    pen.put(LEFT, base, &axis, look.quiet());
    let beside = settings(model);
    let setting = beside.get(model.trials.setting.min(beside.len().saturating_sub(1)));
    let mut two = Vec::new();
    for (n, trial) in (0u16..).zip(&shown) {
        let from = LEFT + n * STEP;
        if let Some(mark) = trial.mark(name) {
            // The stroke down to the axis keeps a lone mark with its trial.
            for y in line(mark) + 1..base {
                pen.put(from + 3, y, "╌", look.quiet());
            }
            pen.put(from + 2, line(mark), &format!("●{mark}"), look.strong());
        } else {
            pen.put(from + 2, line(1), "no mark", look.quiet());
        }
        let turned = turned(model, trial);
        if turned.len() > 1 {
            two.push(trial);
        }
        if let Some((id, _)) = setting {
            let value = trial
                .settings
                .iter()
                .find(|of| of.setting == *id)
                .map(|of| of.shown());
            let here = turned.iter().any(|t| t.setting == *id);
            let words = format!(
                "{}{}",
                if here { "→" } else { "" },
                value.as_deref().unwrap_or("?")
            );
            let words = text::fit(&words, usize::from(STEP - 1));
            pen.put(
                from,
                base + 1,
                &words,
                if here { look.strong() } else { look.plain() },
            );
        }
        let date = day(trial.at, model.offset);
        let date = date.get(2..).unwrap_or(&date);
        let x = pen.put(from, base + 2, date, look.quiet());
        if turned.len() > 1 {
            pen.put(x, base + 2, "!", look.accent());
        }
    }
    let mut y = base + 3;
    if let Some((_, name)) = setting {
        pen.put(LEFT, y, &format!("the figures beneath: {name}"), look.plain());
        let keys = format!(
            "{} {} another trait, {} {} another setting",
            key_of(Do::Left),
            key_of(Do::Right),
            key_of(Do::Up),
            key_of(Do::Down)
        );
        pen.put(LEFT, y + 1, &keys, look.quiet());
        y += 2;
    }
    if !two.is_empty() {
        let words = "! two or more settings were turned at once: nobody can tell which of them it was";
        pen.paragraph(1, y, words, look.strong());
    }
}
