//! Sources: a sentence a signal, and the card of the one under the cursor.

use ratatui::layout::Position;

use crimpbook_workbook::model::{Candidate, Cavity, Verdict};

use super::{card, face::finding_mark, first_row};
use crate::screen::{
    figures::number,
    model::{
        Model,
        findings::gravest_at_cavity,
        sieve,
        sources::{Row, candidate, candidates, cavity, comes_from, feeds, rows},
    },
    pen::Pen,
    text::count,
};

/// From this width on the card stands beside the list.
const WIDE: u16 = 76;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    if width >= WIDE {
        let left = width * 11 / 20;
        list(model, &mut pen.part(0, 0, left, height));
        pen.part(left, 0, 1, height).upright(0);
        draw_card(model, &mut pen.part(left + 2, 0, width - left - 3, height));
    } else if model.sources.candidate.is_some() {
        draw_card(model, &mut pen.part(1, 0, width - 1, height));
    } else {
        list(model, pen);
    }
    None
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let rows = rows(model);
    if rows.is_empty() {
        let kinds = model
            .book
            .all::<Cavity>()
            .values()
            .any(|cavity| cavity.kind.is_some());
        let words = if model.sources.only_open && kinds {
            "Every input has what it needs."
        } else {
            "No cavity has a kind yet; describe cavities on the Face."
        };
        let words = sieve::nothing(model).unwrap_or_else(|| words.to_owned());
        pen.put(2, 0, &words, look.quiet());
        return;
    }
    let at = model.sources.at.min(rows.len() - 1);
    let line = |place: usize| rows.get(place).map_or(0, |row| row.line);
    let room = usize::from(pen.height());
    let from = first_row(line(at), line(rows.len() - 1) + 1, room);
    // A heading stands on the line above the first row of its group.
    let first = rows.partition_point(|row| row.line < from);
    for (place, listed) in rows.iter().enumerate().skip(first) {
        if listed.is_first && listed.line > from {
            put_at(listed.line - 1 - from, room, |y| {
                pen.put(1, y, &listed.group, look.accent());
            });
        }
        let seen = put_at(listed.line - from, room, |y| {
            pen.hit_row(y, place);
            draw_row(model, pen, y, listed.row, place == at);
        });
        if !seen {
            break;
        }
    }
}

/// Puts something on a line of the window, if that is in it.
fn put_at(line: usize, room: usize, put: impl FnOnce(u16)) -> bool {
    let y = u16::try_from(line).ok().filter(|_| line < room);
    y.map(put).is_some()
}

fn draw_row(model: &Model, pen: &mut Pen<'_>, y: u16, row: Row, focus: bool) {
    let look = pen.look();
    let Some(cavity) = model.book.get(row.cavity()) else {
        return;
    };
    let mark = match row {
        Row::Open(..) => "?",
        Row::Met(_) => "←",
        Row::Gives(_) => "→",
    };
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    if let Some(finding) = gravest_at_cavity(model, cavity.id) {
        pen.put(1, y, finding_mark(finding.level), look.accent());
    }
    let x = pen.put_most(2, y, 9, &model.book.cavity_name(cavity.id), look.strong());
    let x = pen.put_most(x.max(10) + 1, y, 16, &cavity.name, look.plain());
    let x = pen.put(x.max(26) + 1, y, mark, look.accent()) + 1;
    let words = match row {
        Row::Open(_, need) => format!("needs {}", need.words()),
        Row::Met(id) => comes_from(model, id).join(", "),
        Row::Gives(id) => {
            let feeds = feeds(model, id);
            if feeds.is_empty() {
                "feeds nothing".to_owned()
            } else {
                feeds.join(", ")
            }
        }
    };
    pen.put(x, y, &words, look.plain());
    if focus {
        let wide = pen.width().saturating_sub(3);
        pen.tint(
            2,
            y,
            if model.sources.candidate.is_some() {
                9
            } else {
                wide
            },
            look.focus(),
        );
    }
}

fn draw_card(model: &Model, pen: &mut Pen<'_>) {
    let Some(cavity) = cavity(model) else { return };
    let look = pen.look();
    let mut y = pen.paragraph(
        0,
        0,
        format!("{}  {}", model.book.cavity_name(cavity.id), cavity.name).trim_end(),
        look.strong(),
    );
    for (what, words) in sentences(model, cavity) {
        let x = pen.put(0, y, what, look.quiet());
        let used = usize::from(x) + 1 + crate::screen::text::width(&words);
        if used <= usize::from(pen.width()) {
            pen.put(x + 1, y, &words, look.plain());
            y += 1;
        } else {
            y = pen.paragraph(2, y + 1, &words, look.plain());
        }
    }
    let all = candidates(model, cavity.id);
    if all.is_empty() {
        return;
    }
    y += 1;
    pen.put(
        0,
        y,
        &format!("{} weighed", count(all.len(), "source", "sources")),
        look.accent(),
    );
    y += 1;
    let here = candidate(model).map(|c| c.id);
    for one in all {
        y = draw_candidate(model, pen, y, one, here == Some(one.id));
    }
}

fn draw_candidate(model: &Model, pen: &mut Pen<'_>, y: u16, one: &Candidate, focus: bool) -> u16 {
    let look = pen.look();
    let mark = match one.verdict {
        Verdict::Chosen => "●",
        Verdict::Weighed => "○",
        Verdict::Refused => "-",
    };
    let cavity = one
        .source
        .map(|id| format!("{} ", model.book.cavity_name(id)))
        .unwrap_or_default();
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    let words = format!(
        "{mark} {}: {cavity}{}",
        super::sources_words(one.verdict),
        one.words
    );
    let after = pen.paragraph(2, y, &words, look.strong());
    if focus {
        for line in y..after {
            let wide = pen.width().saturating_sub(2);
            pen.tint(2, line, wide, look.focus());
        }
    }
    if one.why.is_empty() {
        after
    } else {
        pen.paragraph(4, after, &one.why, look.plain())
    }
}

/// What there is to say of a signal: kind, levels, source, ground, load, delay, what it feeds.
fn sentences(model: &Model, cavity: &Cavity) -> Vec<(&'static str, String)> {
    let book = &model.book;
    let mut said = vec![(
        "kind",
        cavity.kind.map_or("not entered", |k| k.words()).to_owned(),
    )];
    let mut say = |what, words: String| {
        if !words.is_empty() {
            said.push((what, words));
        }
    };
    say("levels", card::levels(cavity));
    let Some(signal) = model.signals().at_cavity(cavity.id) else {
        return said;
    };
    let net = model.signals().nets.get(signal.net);
    say("net", net.map_or_else(String::new, |net| net.name(&model.book)));
    let from = comes_from(model, cavity.id);
    say(
        "comes from",
        if from.is_empty() && !signal.has_source() {
            "nowhere yet".to_owned()
        } else {
            from.join(", ")
        },
    );
    let mut through: Vec<String> = signal
        .origins
        .iter()
        .flat_map(|o| {
            let names = o.through.iter().rev().map(|p| book.label_of(*p));
            names.collect::<Vec<_>>()
        })
        .collect();
    through.dedup();
    say("through", through.join(", "));
    if let Some(v) = signal.level_v {
        say("level when on", format!("{} V", number(v)));
    }
    let ground: Vec<String> = signal.reference.iter().map(|t| book.terminal_name(t)).collect();
    say("against", ground.join(", "));
    if let Some(a) = signal.load_a {
        say("load, by the manuals", format!("{} A", number(a)));
    }
    if let Some(s) = signal.release_s {
        say("stays on after switching off", format!("{} s", number(s)));
    }
    let wires: Vec<String> = model
        .signals()
        .nets
        .get(signal.net)
        .map(|net| net.wires.iter().map(|w| book.label_of(*w)).collect())
        .unwrap_or_default();
    say("by", wires.join(", "));
    say("feeds", feeds(model, cavity.id).join(", "));
    said
}
