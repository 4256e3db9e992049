//! Build: one wire, one step, one cavity, in large type.

mod accept;
mod large;

use accept::{accept, answered, short};

use ratatui::layout::Position;

use crimpbook_workbook::{
    check::Finding,
    model::{Built, Cavity, End, Key, View, WireEnd},
    plan,
};

use super::face::{Drawing, draw_face, finding_mark, side};
use crate::screen::{
    figures::number,
    form::size_shown,
    model::{
        Model,
        build::{AtHand, Item, StepAt, at_hand, items, label, mark, next_open, wires_done},
        findings::{gravest, gravest_at_wire},
    },
    pen::Pen,
    text::count,
};

const CAUTION: &str = "12 V battery off, plugs apart. Above 60 V is for those who are licensed for it.";

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let look = pen.look();
    let Some(hand) = at_hand(model) else {
        pen.put(2, 1, "Nothing to build yet: there are no wires.", look.quiet());
        return None;
    };
    let (width, height) = (pen.width(), pen.height());
    progress(model, pen, &hand);
    // Lines below the face: what comes next, and the caution.
    let bottom = 2;
    let mut y = 1;
    y += if height >= 17 {
        title_large(model, pen, &hand, y)
    } else {
        title_plain(model, pen, &hand, y)
    };
    // The line above the rule is free in large type; in plain type the gravest gets a line of its own.
    if let Some(finding) = found(model, &hand) {
        let line = if height >= 17 { y - 1 } else { y };
        warn(pen, line, finding);
        y = line + 1;
    }
    y += step(model, pen, &hand, y);
    if height > y + bottom + 2 {
        place_of_work(model, &mut pen.part(0, y, width, height - y - bottom), &hand);
    }
    next(model, &mut pen.part(0, height - 2, width, 1), &hand);
    pen.put(1, height - 1, CAUTION, look.quiet());
    None
}

/// Which wire of how many.
fn progress(model: &Model, pen: &mut Pen<'_>, hand: &AtHand) {
    let look = pen.look();
    let list = items(model);
    let (done, all) = wires_done(model);
    let at = list.iter().position(|i| *i == hand.item).map_or(0, |at| at + 1);
    let x = pen.put(
        1,
        0,
        &format!("{done} of {} done", count(all, "wire", "wires")),
        look.strong(),
    );
    pen.bar(x + 2, 0, 12, done, all);
    let order = model.build.order.words();
    let mut words = match hand.item {
        Item::Piece(piece) => {
            let same = |item: &&Item| matches!(item, Item::Piece(other) if other.pass == piece.pass);
            let before = list.iter().take(at).filter(same).count();
            let all = list.iter().filter(same).count();
            format!("{} {before} of {all}, {order}", piece.pass.words())
        }
        _ => format!("item {at} of {}, {order}", list.len()),
    };
    if !model.build.filter.is_empty() {
        words = format!("{words}, only {}", model.build.filter);
    }
    let width = pen.width();
    if x + 16 < width {
        pen.put_left_of(width - 1, 0, &words, look.quiet());
    }
}

/// The gravest open finding at what is being built.
fn found<'m>(model: &'m Model, hand: &AtHand) -> Option<&'m Finding> {
    match hand.item.whole() {
        Item::Wire(id) => gravest_at_wire(model, id),
        Item::Junction(id) => gravest(model, [Key::of(id)]),
        Item::Connector(id) => gravest(model, [Key::of(id)]),
        Item::Piece(_) => None,
    }
}

/// What the checks say of it, in a line.
fn warn(pen: &mut Pen<'_>, y: u16, finding: &Finding) {
    let look = pen.look();
    let x = pen.put(1, y, finding_mark(finding.level), look.accent());
    let x = pen.put(x + 1, y, &finding.level.words().to_uppercase(), look.strong());
    pen.put(x + 1, y, &finding.sentence, look.plain());
}

/// The wire in large letters, with what it is beside it; gives the lines it took.
fn title_large(model: &Model, pen: &mut Pen<'_>, hand: &AtHand, y: u16) -> u16 {
    let look = pen.look();
    let name = label(&model.book, hand.item);
    let most = pen.width() / 2;
    let x = if large::put(pen, 1, y, most, &name, look.strong()) {
        large::width(&name).unwrap_or(0) + 3
    } else {
        pen.put(1, y + 2, &name, look.strong()) + 3
    };
    for (line, words) in (y..).zip(facts(model, hand)) {
        pen.put(x, line, &words, look.strong());
    }
    if let Item::Wire(id) = hand.item.whole()
        && let Some(colour) = model.book.get(id).and_then(|w| w.colour)
    {
        pen.put(
            x,
            y,
            &format!("{}  ", colour.words().to_uppercase()),
            look.strong(),
        );
        let wide = u16::try_from(colour.words().len()).unwrap_or(0);
        pen.wire_colour(x + wide + 2, y, colour, look.strong());
    }
    large::HEIGHT + 1
}

/// The wire in plain type; gives the lines it took.
fn title_plain(model: &Model, pen: &mut Pen<'_>, hand: &AtHand, y: u16) -> u16 {
    let look = pen.look();
    let mut words = vec![label(&model.book, hand.item)];
    words.extend(facts(model, hand));
    pen.put(1, y, &words.join("  "), look.strong());
    1
}

/// What the item is, a line each.
fn facts(model: &Model, hand: &AtHand) -> Vec<String> {
    let book = &model.book;
    match hand.item.whole() {
        Item::Piece(_) => Vec::new(),
        Item::Wire(id) => {
            let Some(wire) = book.get(id) else {
                return Vec::new();
            };
            let colour = wire.colour.map_or_else(
                || "colour open".to_owned(),
                |c| format!("{} {c}", c.words().to_uppercase()),
            );
            let length = wire.length_m.map_or_else(
                || "length open".to_owned(),
                |m| format!("{} mm", number((m * 1000.0).round())),
            );
            let size = if wire.area_mm2.is_none() {
                "size open".to_owned()
            } else {
                size_shown(wire)
            };
            let mut facts = vec![
                colour,
                format!("{size}, {length}"),
                format!("{} → {}", book.end_name(wire.from), book.end_name(wire.to)),
                wire.signal.clone(),
            ];
            if !wire.pair.is_empty() {
                let with = plan::pair_of(book, id);
                let with: Vec<String> = with.iter().map(|w| book.label_of(*w)).collect();
                facts.push(format!("pair {}: {}", wire.pair, with.join(" ")));
            }
            facts
        }
        Item::Junction(id) => {
            let wires = book.index().wires_at_junction.get(&id);
            let names: Vec<String> = wires
                .into_iter()
                .flatten()
                .map(|(w, _)| book.label_of(*w))
                .collect();
            let Some(junction) = book.get(id) else {
                return Vec::new();
            };
            let kind = crate::screen::form::junction_words(junction.kind).to_uppercase();
            vec![
                kind,
                junction.place.clone(),
                names.join(" "),
                junction.note.clone(),
            ]
        }
        Item::Connector(id) => {
            let name = book.get(id).map(|c| c.name.clone()).unwrap_or_default();
            vec!["the connector as a whole".to_owned(), name]
        }
    }
}

/// The steps answered for next, each with its figure, and how the others stand; gives the lines it took.
fn step(model: &Model, pen: &mut Pen<'_>, hand: &AtHand, y: u16) -> u16 {
    let look = pen.look();
    let Some(step) = hand.step() else { return 0 };
    let answering = hand.answering();
    let title = if hand.together {
        let mut words: Vec<&str> = answering.iter().map(|s| s.step.step.words()).collect();
        // Both wires of a pair are twisted at once.
        words.dedup();
        format!("one key for: {}", words.join(", ").to_uppercase())
    } else {
        format!(
            "step {} of {}: {}",
            hand.at + 1,
            hand.steps.len(),
            step.step.step.words().to_uppercase()
        )
    };
    pen.rule(y, &format!("{title}{}", where_of(model, hand, step)));
    let width = pen.width();
    let tall = pen.height();
    let lines = {
        let mut text = pen.part(1, y + 1, width.saturating_sub(2), tall.saturating_sub(y + 1));
        let mut line = 0;
        let mut last = String::new();
        for one in &answering {
            let mut words = accept(model, one);
            if words == last && answered(model, one).is_none() {
                continue;
            }
            last.clone_from(&words);
            if hand.together && answering.len() > 1 {
                words = format!("{}: {words}", short(one.step.step));
            }
            line = text.paragraph(0, line, &words, look.strong());
            if let Some(words) = answered(model, one) {
                line = text.paragraph(0, line, &words, look.plain());
            }
        }
        line
    };
    let mut x = 1;
    let line = y + 1 + lines;
    let all: usize = hand.steps.iter().map(|s| short(s.step.step).len() + 3).sum();
    let tight = all > usize::from(width.saturating_sub(2));
    for (at, other) in hand.steps.iter().enumerate() {
        // Where not all fit, the steps round the one at hand keep their words.
        let words = if tight && at.abs_diff(hand.at) > 3 {
            mark(other.standing).to_owned()
        } else {
            format!("{} {}", mark(other.standing), short(other.step.step))
        };
        let style = if (hand.together && other.standing.is_open()) || at == hand.at {
            look.focus()
        } else if other.standing.is_open() {
            look.plain()
        } else {
            look.quiet()
        };
        x = pen.put(x, line, &words, style) + 1;
    }
    lines + 2
}

/// ` at MC-A17`; at a splice or stud whose wire it is; nothing for a thing as a whole.
fn where_of(model: &Model, hand: &AtHand, step: &StepAt) -> String {
    match (hand.item.whole(), step.step.of) {
        (Item::Junction(_), Built::End { wire, .. }) => format!(" of {}", model.book.label_of(wire)),
        (_, of) => {
            end_of(model, of).map_or_else(String::new, |end| format!(" at {}", model.book.end_name(end)))
        }
    }
}

fn end_of(model: &Model, of: Built) -> Option<End> {
    let Built::End { wire, end } = of else { return None };
    let wire = model.book.get(wire)?;
    Some(match end {
        WireEnd::From => wire.from,
        WireEnd::To => wire.to,
    })
}

fn end_cavity(model: &Model, of: Built) -> Option<&Cavity> {
    match end_of(model, of)? {
        End::Cavity(id) => model.book.get(id),
        _ => None,
    }
}

/// The cavity in large figures, and the face with that one marked.
fn place_of_work(model: &Model, pen: &mut Pen<'_>, hand: &AtHand) {
    let look = pen.look();
    let Some(step) = hand.step() else { return };
    // Nothing goes into a cavity yet, and beside all the figures there is room for a scrap of the face only.
    if matches!(hand.item, Item::Piece(piece) if piece.pass == plan::Pass::Crimp) {
        return;
    }
    let connector = match (end_cavity(model, step.step.of), step.step.of) {
        (Some(cavity), _) => cavity.connector,
        (None, Built::Connector(id)) => id,
        (None, of) => {
            elsewhere(model, pen, of);
            return;
        }
    };
    let cavity = end_cavity(model, step.step.of);
    let face = model.book.face_of(connector);
    let seen = if model.build.flipped {
        View::MatingSide
    } else {
        View::WireSide
    };
    let name = model.book.label_of(connector);
    pen.rule(0, &format!("{name} {}", side(seen)));
    let (width, height) = (pen.width(), pen.height());
    let mut left = 0;
    if let Some(cavity) = cavity {
        left = 20;
        let fits = height > large::HEIGHT + 2;
        if !(fits && large::put(pen, 1, 1, left, &cavity.number, look.accent())) {
            pen.put(1, 1, &format!("cavity {}", cavity.number), look.accent());
        }
        let words = face.whereabouts(&cavity.number, seen);
        let y = if fits { large::HEIGHT + 1 } else { 2 };
        pen.part(1, y, left.saturating_sub(1), height.saturating_sub(y))
            .paragraph(0, 0, &words, look.plain());
    }
    let none = std::collections::BTreeSet::new();
    draw_face(
        model,
        &mut pen.part(
            left + 1,
            1,
            width.saturating_sub(left + 2),
            height.saturating_sub(1),
        ),
        &Drawing {
            face: &face,
            seen,
            connector,
            cursor: cavity.map(|c| c.id),
            marks: &none,
            only: cavity.map(|c| c.id),
        },
    );
}

/// Steps that are not at a cavity: the stud or splice, or both ends.
fn elsewhere(model: &Model, pen: &mut Pen<'_>, of: Built) {
    let look = pen.look();
    match (end_of(model, of), of) {
        (Some(End::Junction(id)), _) | (None, Built::Junction(id)) => {
            let Some(junction) = model.book.get(id) else {
                return;
            };
            pen.rule(
                0,
                &format!(
                    "{} {}",
                    crate::screen::form::junction_words(junction.kind),
                    junction.label
                ),
            );
            let y = pen.paragraph(1, 1, &junction.place, look.strong());
            let wires = model.book.index().wires_at_junction.get(&id);
            let names: Vec<String> = wires
                .into_iter()
                .flatten()
                .map(|(w, _)| model.book.label_of(*w))
                .collect();
            pen.paragraph(1, y, &format!("with {}", names.join(" ")), look.plain());
        }
        (_, Built::Wire(id)) => {
            let Some(wire) = model.book.get(id) else { return };
            // Of a pair that is twisted, the header names one wire and the step may be the other's.
            pen.rule(0, &format!("both ends of {}", wire.label));
            for (y, end) in (1..).zip([wire.from, wire.to]) {
                let mut words = model.book.end_name(end);
                if let End::Cavity(cavity) = end
                    && let Some(cavity) = model.book.get(cavity)
                {
                    words = format!("{words}  {}", cavity.name);
                }
                pen.put(1, y, &words, look.strong());
            }
        }
        _ => {}
    }
}

fn next(model: &Model, pen: &mut Pen<'_>, hand: &AtHand) {
    let look = pen.look();
    let list = items(model);
    let next = next_open(model, list, hand.item).filter(|next| *next != hand.item);
    let words = match (next, next.map(Item::whole)) {
        (Some(item), Some(Item::Wire(id))) => {
            let wire = model.book.get(id);
            let pass = match item {
                Item::Piece(piece) => format!("{} ", piece.pass.words()),
                _ => String::new(),
            };
            wire.map_or_else(String::new, |w| {
                format!(
                    "then {pass}{}  {}  {}  {} → {}",
                    w.label,
                    w.colour.map(|c| c.to_string()).unwrap_or_default(),
                    size_shown(w),
                    model.book.end_name(w.from),
                    model.book.end_name(w.to)
                )
            })
        }
        (Some(item), _) => format!("then {} as a whole", label(&model.book, item)),
        _ => "then nothing is open in this list".to_owned(),
    };
    pen.put(1, 0, &words, look.plain());
}
