//! A switch, a lead that is in or out, or a condition inside a unit.

use crimpbook_workbook::{
    edit::make::{self, SwitchDraft},
    model::{Id, Key, Switch, SwitchKind, Unit},
};

use super::{Field, Form, Taken, Wrong, made, read::labels};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Switch>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let title = old.map_or_else(|| "New switch".to_owned(), |s| format!("Switch {}", s.label));
    let kind = old.map_or(SwitchKind::Switch, |s| s.kind).words();
    let unit = old.and_then(|s| s.unit).map(|u| book.label_of(u));
    let fields = vec![
        Field::new(
            "label",
            "name",
            old.map(|s| s.label.clone()).unwrap_or_default(),
            "the fact, as rules name it: charge_lead",
        ),
        Field::new(
            "kind",
            "what it is",
            kind,
            "lead: in or out; condition: inside a unit, no wire shows it",
        )
        .one_of(SwitchKind::ALL.map(SwitchKind::words)),
        Field::new(
            "positions",
            "positions",
            old.map(|s| s.positions.join(", ")).unwrap_or_default(),
            "the one at rest first: neutral, forward, reverse",
        ),
        Field::new("unit", "unit", unit.unwrap_or_default(), "the unit it is part of")
            .one_of(labels::<Unit>(book)),
        Field::new(
            "note",
            "note",
            old.map(|s| s.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Switch>>) -> Taken {
    let kind = form.text("kind");
    let positions = form.needed("positions", "two positions at least, the one at rest first")?;
    let draft = SwitchDraft {
        label: form.needed("label", "a name")?,
        kind: SwitchKind::ALL
            .into_iter()
            .find(|k| k.words() == kind)
            .ok_or_else(|| Wrong::at("kind", "say what it is: switch, lead or condition"))?,
        positions: positions.split(',').map(|p| p.trim().to_owned()).collect(),
        unit: form.record(&model.book, "unit")?,
        note: form.text("note"),
    };
    let edit = match id {
        Some(id) => make::change_switch(&model.book, id, draft),
        None => make::add_switch(&model.book, &mut model.ids, draft),
    };
    made(id.map(Key::of), edit)
}
