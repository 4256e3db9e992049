//! Draws the first frame: the Overview, as far as it is known without the records.

use crimpbook_workbook::book::natural;
use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
};

use super::Reading;
use crate::screen::{
    action::{Do, Facts, Where, key_of},
    figures,
    model::overview::{Part, changed},
    pen::Pen,
    view::{FRAME, LEAST, at_right, hints, names, overview},
};

/// Draws it. The terminal's own cursor belongs nowhere.
pub fn draw(reading: &Reading, area: Rect, buffer: &mut Buffer) -> Option<Position> {
    let look = reading.look;
    let mut pen = Pen::new(buffer, area, look);
    let (width, height) = (pen.width(), pen.height());
    if width < LEAST.0 || height < LEAST.1 {
        pen.put(0, 0, &format!("{} quits.", key_of(Do::Quit)), look.plain());
        pen.put(0, 1, "reading", look.plain());
    } else {
        names(Where::Overview, &mut pen);
        pen.rule(1, "");
        let vehicle = format!("reading · {}", reading.glance.vehicle);
        at_right(&mut pen, 0, &vehicle, look.quiet());
        page(reading, &mut pen.part(0, 2, width, height - FRAME));
        pen.put(1, height - 2, "›", look.accent());
        pen.put(3, height - 2, &waiting(reading.typed.len()), look.plain());
        let keys = &mut pen.part(0, height - 1, width, 1);
        hints::draw(Where::Overview, &Facts::default(), keys);
    }
    look.finish(buffer);
    None
}

fn waiting(typed: usize) -> String {
    match typed {
        0 => "reading the workbook; keys wait until it is read".to_owned(),
        1 => "reading the workbook; 1 key waits until it is read".to_owned(),
        n => format!("reading the workbook; {n} keys wait until it is read"),
    }
}

fn page(reading: &Reading, pen: &mut Pen<'_>) {
    let look = pen.look();
    let glance = &reading.glance;
    let mut connectors: Vec<_> = glance.connectors.iter().collect();
    connectors.sort_by_cached_key(|connector| natural(&connector.label));
    let sum = |of: fn(&crimpbook_store::ConnectorGlance) -> usize| glance.connectors.iter().map(of).sum();
    overview::total(
        pen,
        0,
        "cavities decided",
        Some(sum(|c| c.decided)),
        sum(|c| c.cavities),
    );
    overview::total(pen, 1, "wires done", None, glance.wires);
    pen.put(1, 2, "findings", look.plain());
    pen.put(20, 2, "reading", look.quiet());
    let height = pen.height();
    let foot = height.saturating_sub(u16::from(height > 10));
    let mut rows = vec![
        (Part::Next.words().to_owned(), None),
        (String::new(), Some("reading".to_owned())),
    ];
    if !connectors.is_empty() {
        rows.push((String::new(), None));
        rows.push((Part::Connectors.words().to_owned(), None));
    }
    rows.extend(connectors.into_iter().map(|c| {
        let words = format!("{} of {} decided", c.decided, c.cavities);
        (c.label.clone(), Some(words))
    }));
    rows.push((String::new(), None));
    rows.push((Part::Changes.words().to_owned(), None));
    rows.extend(
        glance
            .changes
            .iter()
            .map(|head| (figures::day(head.at, reading.offset), Some(changed(head)))),
    );
    for (y, (name, words)) in (4..foot).zip(rows) {
        match words {
            None => {
                pen.put(1, y, &name, look.accent());
            }
            Some(words) => {
                let quiet = name.is_empty();
                pen.put_most(2, y, 12, &name, look.strong());
                let style = if quiet { look.quiet() } else { look.plain() };
                pen.put(overview::WORDS, y, &words, style);
            }
        }
    }
    if foot < height {
        pen.put(1, foot, overview::CAUTION, look.quiet());
    }
}
