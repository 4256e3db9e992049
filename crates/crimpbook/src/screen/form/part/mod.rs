//! An inside part: what it is, what its ends are joined to, its figures, and what moves it.

mod figures;
mod moves;

use std::sync::Arc;

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::{
    Book,
    book::natural,
    edit::make,
    model::{Cavity, Connector, Id, Junction, Key, Part, PartKind, Terminal, Unit},
};

use super::{
    Field, Form, Purpose, Start, Taken, Wrong, made,
    read::{labels, shown},
};
use crate::screen::model::Model;
pub use moves::read as read_condition;

/// Names of the fields of its ends.
const ENDS: [&str; 3] = ["end1", "end2", "end3"];
/// How many fields stand above those that hang on the kind.
const HEAD: usize = 3;

pub fn fields(model: &Model, id: Option<Id<Part>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(
        || "New inside part".to_owned(),
        |p| format!("Inside part {}", p.label),
    );
    let unit = old.map_or_else(|| start.unit.clone(), |p| book.label_of(p.unit));
    let kind = old.map(|p| p.kind.words()).unwrap_or_default();
    let mut fields = vec![
        Field::new("unit", "unit", unit, "the unit it is inside").one_of(labels::<Unit>(book)),
        Field::new("kind", "what it is", kind, "electrically, as its manual gives it")
            .one_of(figures::BLANK.iter().map(|blank| blank().words())),
        Field::new(
            "label",
            "name",
            old.map(|p| p.label.clone()).unwrap_or_default(),
            "K1 coil",
        ),
    ];
    if let Some(old) = old {
        fields.extend(of_kind(book, &old.kind, Some(old)));
    }
    (title, fields)
}

/// The fields that hang on the kind, and the note.
fn of_kind(book: &Book, kind: &PartKind, old: Option<&Part>) -> Vec<Field> {
    let mut fields = Vec::new();
    for (at, (name, role)) in ENDS.into_iter().zip(kind.roles()).enumerate() {
        let end = old.and_then(|p| p.ends.get(at));
        let end = end.map(|end| book.terminal_name(end)).unwrap_or_default();
        fields.push(
            Field::new(
                name,
                role,
                end,
                "MC-A2, G3, or a name of your own for a place inside",
            )
            .offered(terminals(book, old.map(|p| p.unit))),
        );
    }
    fields.extend(moves::fields(book, kind));
    fields.extend(figures::fields(kind));
    if has_feed(kind) {
        let limit_v = old.and_then(|p| p.drop_limit_v);
        fields.push(Field::new(
            "drop_limit",
            "may drop",
            shown(limit_v, "V"),
            "feed and return together; empty: 1 V",
        ));
    }
    fields.push(Field::new(
        "note",
        "note",
        old.map(|p| p.note.clone()).unwrap_or_default(),
        "",
    ));
    fields
}

/// Whether its feed and return are held against a limit.
fn has_feed(kind: &PartKind) -> bool {
    matches!(kind, PartKind::Load { .. } | PartKind::Lamp { .. })
}

/// Puts in the fields of the kind that was chosen; what is typed in those that stay is kept.
pub fn reshape(model: &Model, form: &mut Form) {
    let chosen = form.text("kind");
    let Some(blank) = figures::BLANK
        .iter()
        .map(|blank| blank())
        .find(|k| k.words() == chosen)
    else {
        return;
    };
    let old = match form.purpose {
        Purpose::Part(Some(id)) => model.book.get(id),
        _ => None,
    };
    let (kind, old) = match old {
        Some(part) if part.kind.words() == chosen => (part.kind.clone(), Some(part)),
        _ => (blank, None),
    };
    let mut fields = of_kind(&model.book, &kind, old);
    if fields
        .iter()
        .map(|f| (f.name, f.label))
        .eq(form.fields.iter().skip(HEAD).map(|f| (f.name, f.label)))
    {
        return;
    }
    for field in &mut fields {
        if let Some(typed) = form.fields.iter().find(|f| f.name == field.name && f.typed()) {
            field.editor = typed.editor.clone();
        }
    }
    form.fields.truncate(HEAD);
    form.fields.extend(fields);
}

/// What an end can be joined to: cavities and inner places of the unit, all studs.
fn terminals(book: &Book, unit: Option<Id<Unit>>) -> Vec<String> {
    let own = |id: Id<Unit>| unit.is_none_or(|unit| unit == id);
    let cavities = book.all::<Cavity>().values();
    let cavities = cavities.filter(|c| book.get(c.connector).is_some_and(|c: &Connector| own(c.unit)));
    let mut all: Vec<String> = cavities.map(|c| book.cavity_name(c.id)).collect();
    all.extend(book.all::<Junction>().values().map(|j| j.label.clone()));
    let ends = book
        .all::<Part>()
        .values()
        .filter(|p| own(p.unit))
        .flat_map(|p| &p.ends);
    let inner = ends.filter(|end| matches!(end, Terminal::Inner { .. }));
    all.extend(inner.map(|end| book.terminal_name(end)));
    all.sort_by_cached_key(|name| natural(name));
    all.dedup();
    all
}

/// An end as typed: a cavity, a stud, or a place inside the unit.
fn terminal(book: &Book, form: &Form, name: &'static str, unit: Id<Unit>) -> Result<Terminal, Wrong> {
    let text = form.needed(name, "what this end is joined to")?;
    if let Some(id) = book.find_cavity(&text) {
        return Ok(Terminal::Cavity(id));
    }
    if let Some(id) = book.index().labelled::<Junction>(&text) {
        return Ok(Terminal::Junction(id));
    }
    let own = format!("{} ", book.label_of(unit));
    let node = text.strip_prefix(&own).unwrap_or(&text);
    Ok(Terminal::Inner {
        unit,
        node: node.trim().to_owned(),
    })
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Part>>) -> Taken {
    let book = Arc::clone(&model.book);
    let old = id.and_then(|id| book.get(id)).cloned();
    let unit = form
        .record::<Unit>(&book, "unit")?
        .ok_or_else(|| Wrong::at("unit", "an inside part is inside a unit: type its short name"))?;
    let chosen = form.needed("kind", "what it is")?;
    let same = old
        .as_ref()
        .filter(|p| p.kind.words() == chosen)
        .map(|p| p.kind.clone());
    let blank = || {
        figures::BLANK
            .iter()
            .map(|blank| blank())
            .find(|k| k.words() == chosen)
    };
    let kind = same.or_else(blank).ok_or_else(|| {
        Wrong::at(
            "kind",
            match chosen.starts_with("fuse") {
                true => "a fuse's way is entered with its fuse",
                false => "it is one of those listed here",
            },
        )
    })?;
    let kind = moves::taken(&book, form, figures::taken(form, kind)?)?;
    let ends = ENDS.into_iter().zip(kind.roles());
    let ends = ends.map(|(name, _)| terminal(&book, form, name, unit));
    let drop_limit_v = match has_feed(&kind) {
        true => form.amount("drop_limit", Quantity::Voltage)?,
        false => None,
    };
    let new = Part {
        id: id.unwrap_or_else(|| model.ids.make()),
        unit,
        label: form.needed("label", "a name")?,
        ends: ends.collect::<Result<_, _>>()?,
        kind,
        drop_limit_v,
        note: form.text("note"),
    };
    let edit = match old {
        None => make::add_part(&book, new),
        Some(_) => make::change_part(&book, new),
    };
    made(id.map(Key::of), edit)
}
