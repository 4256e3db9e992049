//! What there is to say of the cell under the cursor.

use crimpbook_core::network::Potential;
use crimpbook_workbook::{
    analysis::{
        Snapshot, StateResult,
        suppose::{fixed, reads},
    },
    model::{Cavity, State},
};

use crate::screen::{
    model::{
        Model,
        face::wire_at,
        sources::{comes_from, feeds},
        states::{cavity, ends_read, state, window, window_words},
    },
    pen::Pen,
    view::{card, protection::amps},
};

/// How the marks read.
const MARKS: &str = "● on  ○ off  ? not sure, or floats  n to battery negative";
const CAUTION: &str = "Computed, not measured; a passed check is not an approval.";

/// Beside the table: all of it.
pub fn draw(model: &Model, see: &Snapshot, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (Some(cavity), Some(of)) = (cavity(model), state(model)) else {
        return;
    };
    let mut y = pen.paragraph(0, 0, &title(model, cavity), look.strong());
    y = pen.paragraph(0, y, &state_words(model, of), look.plain());
    y += 1;
    let facts = facts(model, see, cavity, of);
    for (what, words) in &facts {
        pen.put(0, y, what, look.quiet());
        y = pen.paragraph(18, y, words, look.plain());
    }
    let wire = wire_at(model, cavity.id);
    if let Some(wire) = wire {
        y = pen.paragraph(
            0,
            y + 1,
            &format!("{} {}", wire.label, wire.signal),
            look.strong(),
        );
        for words in card::computed_of_wire(model, wire.id) {
            y = pen.paragraph(0, y, &words, look.plain());
        }
    }
    for (state, trouble) in see.unsolved() {
        let words = format!(
            "cannot compute {}: {}",
            model.book.label_of(*state),
            trouble.words(&model.book)
        );
        y = pen.paragraph(0, y + 1, &words, look.strong());
    }
    let bottom = pen.height().saturating_sub(4);
    if y < bottom {
        let after = pen.paragraph(0, bottom, MARKS, look.quiet());
        pen.paragraph(0, after, CAUTION, look.quiet());
    }
}

/// Below the table: what fits.
pub fn below(model: &Model, see: &Snapshot, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (Some(cavity), Some(of)) = (cavity(model), state(model)) else {
        return;
    };
    let facts = facts(model, see, cavity, of);
    if pen.height() < 4 {
        let expect = facts.first().map_or("", |(_, words)| words.as_str());
        let words = format!(
            "{} in {}: expect {expect}",
            model.book.cavity_name(cavity.id),
            model.book.label_of(of.state)
        );
        pen.put(1, 0, &words, look.strong());
        return;
    }
    let x = pen.put(1, 0, &state_words(model, of), look.plain());
    if !see.unsolved().is_empty() && x + 30 < pen.width() {
        let n = see.unsolved().len();
        pen.put(x + 2, 0, &format!("{n} without a solution"), look.strong());
    }
    let own = facts.iter().find(|(what, _)| *what == "own ground");
    let own = own.map(|(_, words)| words.clone());
    // What the lines have no room for: a figure that a table without windows shows itself, and grounds that are one.
    let told = |what: &str, words: &str| match what {
        "own ground" => super::has_windows(pen.width()),
        "battery negative" => own.as_deref() != Some(words),
        "unit's ground" => words != above_negative(0.0),
        _ => true,
    };
    let said: Vec<String> = facts
        .iter()
        .filter(|(what, words)| told(what, words))
        .map(|(what, words)| format!("{what} {words}"))
        .collect();
    pen.paragraph(
        1,
        1,
        &format!("{}: {}", title(model, cavity), said.join(", ")),
        look.strong(),
    );
    let width = pen.width();
    pen.part(0, 3, width, 1).clear();
    pen.put(1, 3, MARKS, look.quiet());
}

fn title(model: &Model, cavity: &Cavity) -> String {
    format!("{} {}", model.book.cavity_name(cavity.id), cavity.name)
        .trim_end()
        .to_owned()
}

fn state_words(model: &Model, of: &StateResult) -> String {
    let state: Option<&State> = model.book.get(of.state);
    let (label, words) = state
        .map(|s| (s.label.as_str(), s.words.as_str()))
        .unwrap_or_default();
    let trouble = of.operated.trouble.first();
    let trouble = trouble.map_or_else(String::new, |t| {
        format!(
            " NO STEADY POINT: {}; the figures are not to be trusted.",
            t.words(&model.book)
        )
    });
    format!("{label}: {words}{trouble}")
}

fn above_negative(v: f64) -> String {
    format!("{} V to battery negative", fixed(v, 3))
}

fn facts(model: &Model, see: &Snapshot, cavity: &Cavity, of: &StateResult) -> Vec<(&'static str, String)> {
    let volts = see.cavity_volts(of, cavity.id);
    let within = window(model, of, cavity);
    let expect = within
        .as_ref()
        .map_or_else(|| "checking …".to_owned(), window_words);
    let mut all = vec![("expect", expect)];
    let own = volts.own_words();
    let own = match own.as_str() {
        "-" => "none is wired to the unit".to_owned(),
        "floats" | "unsteady" => own,
        _ => format!("{own} V"),
    };
    all.push(("own ground", own));
    let negative = volts.negative_words();
    let unit = if volts.negative == Potential::Floating {
        ""
    } else {
        " V"
    };
    all.push(("battery negative", format!("{negative}{unit}")));
    if let Some(reads) = reads(&cavity.limits, volts.own_ground_v) {
        let ends = within.as_ref().and_then(|within| ends_read(cavity, within));
        all.push(match ends {
            Some((least, most)) if least != most => (
                "reads",
                format!(
                    "{}, but {} at the least and {} at the most",
                    reads.words(),
                    least.words(),
                    most.words()
                ),
            ),
            _ => ("reads", reads.words().to_owned()),
        });
    }
    let contacts = see.wiring().contacts.iter().position(|c| c.cavity == cavity.id);
    if let Some(at) = contacts {
        let current_a = of.operated.contact_a(at);
        let way = match current_a {
            a if a.abs() < 5e-6 => "",
            a if a > 0.0 => " out of the unit",
            _ => " into the unit",
        };
        all.push(("current", format!("{}{way}", amps(current_a.abs()))));
    }
    let ground = see
        .unit_of(cavity.id)
        .and_then(|unit| see.wiring().ground_of(unit));
    if let Some(v) = ground.and_then(|node| of.operated.volts(node).volts()) {
        all.push(("unit's ground", above_negative(v)));
    }
    let from = comes_from(model, cavity.id);
    if !from.is_empty() {
        all.push(("comes from", from.join(", ")));
    }
    let feeds = feeds(model, cavity.id);
    if !feeds.is_empty() {
        all.push(("feeds", feeds.join(", ")));
    }
    all
}
