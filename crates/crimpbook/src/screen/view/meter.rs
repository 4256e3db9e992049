//! Tests: a stage's list with what is expected and what was read, and the test at hand.

use crimpbook_workbook::{
    measure::{CAUTIONS, Crimp, Expected, Standing, Test, crimps, standing},
    model::{Connector, TestKind},
};
use ratatui::layout::Position;

use super::first_row;
use crate::screen::{
    figures::moment,
    model::{
        Model,
        meter::{
            Row, Stand, Tests, answer, aside, at_hand, expected_words, link_words, links, read_words, stand,
            tests, window,
        },
        sieve,
    },
    pen::Pen,
    text::{count, fit, width},
};

/// From this width on the test at hand stands beside the list.
const WIDE: u16 = 110;
/// More of what cannot be told has no room in any window.
const MOST_UNTOLD: usize = 200;
/// Below this height the list needs every line.
const LOW: u16 = 16;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    let tests = tests(model);
    let top = heading(model, pen, tests);
    if width >= WIDE {
        let left = width * 3 / 5;
        list(model, &mut pen.part(0, top, left, height - top), tests);
        pen.part(left, top, 1, height - top).upright(0);
        card(
            model,
            &mut pen.part(left + 2, top, width - left - 2, height - top),
        );
    } else {
        // The card below the list; a low window keeps the list.
        let card_lines = if height < LOW { 2 } else { 4 };
        let lines = height.saturating_sub(top + card_lines + 1);
        list(model, &mut pen.part(0, top, width, lines), tests);
        pen.rule(top + lines, "");
        card(
            model,
            &mut pen.part(0, top + lines + 1, width, height.saturating_sub(top + lines + 1)),
        );
    }
    None
}

/// What stage it is, how far it is, how it is set up; gives the line after it.
fn heading(model: &Model, pen: &mut Pen<'_>, tests: &Tests) -> u16 {
    let look = pen.look();
    let (width, low) = (pen.width(), pen.height() < LOW);
    let title = tests.stage.title(&model.book);
    let x = pen.put(1, 0, "‹ ", look.accent());
    let x = pen.put(x, 0, &title, look.strong());
    let x = pen.put(x, 0, " ›", look.accent());
    let rung = tests
        .rung
        .map_or(String::new(), |rung| format!("{} · ", rung.name));
    let Stand { tally, lapsed, held } = *stand(model);
    let mut told = format!("{rung}{} of {} read", tally.done, tally.total);
    if tally.failed > 0 {
        told.push_str(&format!(" · ✗ {} WRONG", tally.failed));
    }
    if lapsed > tally.lapsed {
        told.push_str(&format!(" · ▲ {lapsed} again (A), {} here", tally.lapsed));
    } else if lapsed > 0 {
        told.push_str(&format!(" · ▲ {lapsed} again"));
    }
    // Last, since it is the least that is missed where there is no room.
    told.push_str(&format!(" · stage {} of {}", tests.of.0 + 1, tests.of.1));
    let room = usize::from(width.saturating_sub(x + 2));
    let told = fit(&told, room);
    pen.put_left_of(width.saturating_sub(1), 0, &told, look.plain());
    let mut y = pen
        .part(0, 1, width, if low { 1 } else { 2 })
        .paragraph(1, 0, &tests.setup, look.quiet())
        + 1;
    if tests.stage.is_live() {
        let together = CAUTIONS.join(" ");
        let folded = [together.as_str()];
        let cautions: &[&str] = if low { &folded } else { CAUTIONS };
        for caution in cautions {
            pen.put(1, y, "▲ ", look.accent());
            y = pen.paragraph(3, y, caution, look.strong());
        }
    }
    if let Some(stop) = held {
        let words = format!("STOP at {}: {}", stop.name(), stop.words());
        pen.put(1, y, "✗ ", look.accent());
        y = pen.paragraph(3, y, &words, look.strong());
    }
    let (links, set) = (links(&model.book), set(model));
    for (at, link) in links.iter().take(if low { 1 } else { 2 }).enumerate() {
        let (book, mut from) = (&model.book, width);
        let words = match low {
            true => format!(
                "{} {} to {}",
                link.words,
                book.end_name(link.from),
                book.end_name(link.to)
            ),
            false => link_words(book, link),
        };
        // A low window has one line for all of it.
        if low && at == 0 {
            let further = links.len().saturating_sub(1);
            let further = (further > 0).then(|| format!("{further} more"));
            let beside: Vec<String> = further.into_iter().chain(set.iter().cloned()).collect();
            let beside = as_fits(&beside, usize::from(width * 2 / 5));
            from = pen.put_left_of(width.saturating_sub(1), y, &beside, look.quiet());
        }
        pen.put(1, y, "! ", look.accent());
        let room = from.saturating_sub(4);
        pen.put_most(3, y, room, &format!("TEMPORARY {words}"), look.strong());
        y += 1;
    }
    if !set.is_empty() && (!low || links.is_empty()) {
        pen.put(1, y, &set.join(" · "), look.quiet());
        y += 1;
    }
    pen.rule(y, "");
    y + 1
}

/// What was said once and goes with each reading.
fn set(model: &Model) -> Vec<String> {
    let meter = &model.meter;
    let mut words = Vec::new();
    if let Some(ohm) = meter.leads_ohm {
        words.push(format!("leads {ohm} Ω taken off"));
    }
    if let Some(volts) = meter.known.supply_v {
        words.push(format!("battery reads {volts} V"));
    }
    if let Some(celsius) = meter.known.room_c {
        words.push(format!("{celsius} °C here"));
    }
    if let Some(current) = meter.known.current_a {
        words.push(format!("{current} A sent through"));
    }
    if !meter.name.is_empty() {
        words.push(meter.name.clone());
    }
    words
}

/// As many of these words as there is room for.
fn as_fits(words: &[String], room: usize) -> String {
    let joined = (1..=words.len()).map(|n| words.get(..n).unwrap_or_default().join(" · "));
    joined
        .take_while(|words| width(words) <= room)
        .last()
        .unwrap_or_default()
}

fn list(model: &Model, pen: &mut Pen<'_>, tests: &Tests) {
    let look = pen.look();
    let book = &model.book;
    let rows = &tests.rows;
    if rows.is_empty() {
        let words = sieve::nothing(model).unwrap_or_else(|| "Nothing to test here.".to_owned());
        pen.put(1, 0, &words, look.quiet());
    }
    let at = model.meter.at.min(tests.listed.tests.len().saturating_sub(1));
    let cursor = tests.row_of(at);
    let room = usize::from(pen.height());
    let from = first_row(cursor, rows.len(), room);
    for (y, row) in (0u16..).zip(rows.iter().skip(from).take(room)) {
        match row {
            Row::Connector(of) => {
                let connector: Option<&Connector> = of.and_then(|id| book.get(id));
                let words = connector.map_or_else(String::new, |c| match c.name.as_str() {
                    "" => c.label.clone(),
                    name => format!("{}  {name}", c.label),
                });
                pen.put(1, y, &words, look.quiet());
            }
            Row::Test(place) => {
                let Some(test) = tests.listed.tests.get(*place) else {
                    continue;
                };
                pen.hit_row(y, *place);
                line(model, pen, y, test, *place == at);
            }
        }
    }
}

fn line(model: &Model, pen: &mut Pen<'_>, y: u16, test: &Test, focus: bool) {
    let look = pen.look();
    let book = &model.book;
    let stands = standing(book, test);
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    let loud = matches!(stands, Standing::Failed | Standing::Lapsed);
    let style = if loud { look.strong() } else { look.plain() };
    pen.put(2, y, stands.mark(), if loud { look.accent() } else { style });
    pen.put_most(4, y, 9, &book.cavity_name(test.at), look.strong());
    pen.put_most(14, y, 10, &test.against_words(book), look.plain());
    let kind = if test.kind == TestKind::Mirror {
        "mirrored?"
    } else {
        ""
    };
    pen.put_most(25, y, 18, &expected_words(test), look.plain());
    let read = answer(model, test).map_or_else(String::new, read_words);
    pen.put_most(44, y, 10, &read, style);
    let word = match stands {
        Standing::Open => kind,
        stands => stands.words(),
    };
    pen.put_most(55, y, 9, word, style);
    let aside = aside(book, test);
    let x = match aside.is_empty() {
        true => 65,
        false => pen.put(65, y, &aside, look.plain()) + 1,
    };
    let wires: Vec<String> = test.wires.iter().map(|wire| book.label_of(*wire)).collect();
    pen.put(x, y, &wires.join(" "), look.quiet());
    if focus {
        pen.tint(2, y, pen.width().saturating_sub(3), look.focus());
    }
}

/// The test at hand: what it is, why it cannot be told, what was read and why it no longer counts.
fn card(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(test) = at_hand(model) else {
        let untold = &tests(model).listed.untold;
        let mut y = 0;
        for words in untold {
            y = pen.paragraph(1, y, words, look.quiet());
        }
        return;
    };
    let book = &model.book;
    let held = test
        .held_words(book)
        .map_or_else(String::new, |held| format!(", {held}"));
    let what = format!(
        "{} {} to {}{held}: {}",
        test.kind.words(),
        book.cavity_name(test.at),
        test.against_words(book),
        match &test.expected {
            Expected::CannotTell(why) if why.starts_with("missing") => format!("cannot tell: {why}"),
            Expected::CannotTell(why) => why.clone(),
            _ => expected_words(test),
        }
    );
    let mut y = pen.paragraph(1, 0, &what, look.strong());
    if let Some(reading) = answer(model, test) {
        let mut words = format!(
            "read {} on {} by {}",
            read_words(reading),
            moment(reading.taken, model.offset),
            reading.who
        );
        if !reading.meter.is_empty() {
            words.push_str(&format!(", {}", reading.meter));
        }
        if reading.expected_least.is_some() || reading.expected_most.is_some() {
            words.push_str(&format!(
                "; expected then {}",
                window(reading.expected_least, reading.expected_most, &reading.measure)
            ));
        }
        if !reading.note.is_empty() {
            words.push_str(&format!("; {}", reading.note));
        }
        if let Some(why) = &reading.lapsed {
            y = pen.paragraph(1, y, &format!("▲ to be read again: {why}"), look.strong());
        }
        y = pen.paragraph(1, y, &words, look.plain());
    }
    if test.kind == TestKind::Contact {
        y = pen.paragraph(1, y, &ranked(model), look.plain());
    }
    if !test.hint.is_empty() {
        y = pen.paragraph(1, y, &test.hint, look.quiet());
    }
    let untold = &tests(model).listed.untold;
    if !untold.is_empty() && y < pen.height() {
        let some = untold.get(..MOST_UNTOLD).unwrap_or(untold).join("; ");
        let words = match tests(model).stage.is_live() {
            true => some,
            false => format!(
                "{} without a place for a lead: {some}",
                count(untold.len(), "part", "parts"),
            ),
        };
        pen.paragraph(1, y, &words, look.quiet());
    }
}

/// The worst contacts measured so far.
fn ranked(model: &Model) -> String {
    let found = crimps(&model.book);
    let told = |crimp: &Crimp| {
        let ohm = crimp
            .ohm
            .map_or(String::new(), |ohm| format!(" {:.0} mΩ", ohm * 1000.0));
        format!(
            "{}{ohm} {}",
            model.book.label_of(crimp.wire),
            crimp.verdict.words()
        )
    };
    match found.is_empty() {
        true => "no contact is measured yet".to_owned(),
        false => format!(
            "worst first: {}",
            found.iter().take(3).map(told).collect::<Vec<_>>().join("; ")
        ),
    }
}
