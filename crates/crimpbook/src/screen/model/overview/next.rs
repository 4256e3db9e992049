//! What to do next.

use crimpbook_workbook::{
    book::natural,
    model::{Cavity, Connector, Decision, End, Key, Wire},
};

use super::{Part, Row, To, progress::last_step};
use crate::screen::{model::Model, text::count};

/// What to do next, the nearest first.
pub fn next(model: &Model, rows: &mut Vec<Row>) {
    let book = &model.book;
    let mut push = |name: &str, words: String, to: To| {
        rows.push(Row {
            part: Part::Next,
            name: name.to_owned(),
            words,
            to,
            progress: None,
            finding: None,
            missing: false,
        });
    };
    if book.all::<crimpbook_workbook::model::Unit>().is_empty() {
        push("start", "enter the first unit".to_owned(), To::NewUnit);
        return;
    }
    if book.all::<Connector>().is_empty() {
        push(
            "connect",
            "enter the first connector: its face, and the cavities come with it".to_owned(),
            To::NewConnector,
        );
    }
    // Its words tell how long ago that was, so they are made when it is drawn.
    if last_step(model).is_some() {
        push("go on", String::new(), To::Build);
    }
    let mut open: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.decision == Decision::Undecided)
        .collect();
    open.sort_by_cached_key(|c| natural(&book.cavity_name(c.id)));
    if let Some(first) = open.first() {
        let names: Vec<String> = open.iter().take(3).map(|c| book.cavity_name(c.id)).collect();
        let more = if open.len() > 3 { " …" } else { "" };
        push(
            "decide",
            format!(
                "{}: {}{more}",
                count(open.len(), "cavity is undecided", "cavities are undecided"),
                names.join(", ")
            ),
            To::Record(Key::of(first.id)),
        );
    }
    let bare: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.decision == Decision::Wired && !book.index().wires_at_cavity.contains_key(&c.id))
        .collect();
    if let Some(first) = bare.iter().min_by_key(|c| natural(&book.cavity_name(c.id))) {
        push(
            "wire",
            format!(
                "{} but no wire, {} first",
                count(
                    bare.len(),
                    "cavity is decided wired",
                    "cavities are decided wired"
                ),
                book.cavity_name(first.id)
            ),
            To::Record(Key::of(first.id)),
        );
    }
    // Known once the nets are; the worker sees to that.
    let unsourced = model
        .signals_known()
        .map(|_| model.unsourced())
        .unwrap_or_default();
    if let Some(first) = unsourced.first() {
        push(
            "source",
            format!(
                "{} no source, {} first",
                count(unsourced.len(), "input has", "inputs have"),
                book.cavity_name(first.cavity)
            ),
            To::OpenSources,
        );
    }
    let mut unfinished: Vec<&Wire> = book
        .all::<Wire>()
        .values()
        .filter(|w| {
            w.area_mm2.is_none()
                || w.length_m.is_none()
                || w.colour.is_none()
                || w.from == End::Free
                || w.to == End::Free
        })
        .collect();
    unfinished.sort_by_cached_key(|w| natural(&w.label));
    if let Some(first) = unfinished.first() {
        push(
            "complete",
            format!(
                "{} an end, a size, a colour or a length, {} first",
                count(unfinished.len(), "wire lacks", "wires lack"),
                first.label
            ),
            To::Record(Key::of(first.id)),
        );
    }
}
