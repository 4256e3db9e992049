//! A connector, and with a new one its cavities.

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, make},
    model::{Connector, Id, Key, Plating, Unit, face::Face},
};

use super::{
    Field, Form, Start, Taken, Wrong, change,
    read::{labels, yes_or_no},
};
use crate::screen::{effect::Then, model::Model, text::count};

const FACE: &str = "rows 7 7 staggered, from lower left, mark at 1, seen from mating side";

pub fn fields(model: &Model, id: Option<Id<Connector>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Connector) -> &String| old.map(|c| pick(c).clone()).unwrap_or_default();
    let unit = old.map_or_else(|| likely_unit(book, start), |c| book.label_of(c.unit));
    let title = old.map_or_else(
        || "New connector".to_owned(),
        |c| format!("Connector {}", c.label),
    );
    let mut fields = vec![
        Field::new("unit", "unit", unit, "the unit it belongs to").one_of(labels::<Unit>(book)),
        Field::new("label", "short name", text(|c| &c.label), "MC-A"),
        Field::new("face", "face", text(|c| &c.face), FACE),
    ];
    if old.is_none() {
        fields.push(Field::new(
            "count",
            "or cavities",
            "",
            "how many, where the face is not known yet",
        ));
    }
    fields.extend([
        Field::new("name", "what it is", text(|c| &c.name), "35-way plug"),
        Field::new(
            "sealed",
            "sealed",
            yes_or_no(old.and_then(|c| c.sealed)),
            "yes or no; empty: not known",
        )
        .one_of(["yes", "no"]),
        Field::new(
            "plating",
            "unit's pins",
            old.and_then(|c| c.pin_plating).map_or("", Plating::words),
            "tin, silver, gold, nickel or bare",
        )
        .one_of(Plating::ALL.map(Plating::words)),
        Field::new(
            "keying",
            "keying",
            text(|c| &c.keying),
            "what keeps it out of a header of its shape: key B, black",
        ),
        Field::new(
            "single",
            "single steps",
            yes_or_no(old.map(|c| c.single_steps)),
            "yes: each wire is finished singly here",
        )
        .one_of(["yes", "no"]),
        Field::new("note", "note", text(|c| &c.note), ""),
    ]);
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Connector>>) -> Taken {
    let label = form.needed("label", "a short name")?;
    let unit = form
        .record(&model.book, "unit")?
        .ok_or_else(|| Wrong::at("unit", "a connector belongs to a unit: type its short name"))?;
    let line = form.text("face");
    let numbers: Vec<String> = if line.is_empty() {
        counted(form)?
    } else {
        let face = Face::parse(&line).map_err(|e| Wrong::at("face", e.to_string()))?;
        let said = counted(form)?.len();
        if said > 0 && said != face.len() {
            return Err(Wrong::at(
                "count",
                format!(
                    "the face has {}; leave this empty",
                    count(face.len(), "cavity", "cavities")
                ),
            ));
        }
        face.numbers().map(str::to_owned).collect()
    };
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let new = Connector {
        id: id.unwrap_or_else(|| model.ids.make()),
        unit,
        label: label.clone(),
        name: form.text("name"),
        sealed: form.yes_no("sealed"),
        face: line,
        pin_plating: form.plating("plating")?,
        keying: form.text("keying"),
        couples_to: old.as_ref().and_then(|c| c.couples_to),
        single_steps: form.yes_no("single").unwrap_or(false),
        note: form.text("note"),
    };
    let connector = new.id;
    let there: Vec<String> = model
        .book
        .cavities_of(connector)
        .iter()
        .map(|c| c.number.to_lowercase())
        .collect();
    if !numbers.is_empty()
        && let Some(lost) = there
            .iter()
            .find(|n| !numbers.iter().any(|m| m.eq_ignore_ascii_case(n)))
    {
        return Err(Wrong::at(
            "face",
            format!("this face has no place for cavity {lost}, which is in the workbook; remove it first"),
        ));
    }
    let made = old.is_none();
    let mut changes: Vec<Change> = change(old, new).into_iter().collect();
    for number in numbers.iter().filter(|n| !there.contains(&n.to_lowercase())) {
        let id = model.ids.make();
        changes.push(Change::make(make::cavity_row(id, connector, number)));
    }
    if changes.is_empty() {
        return Err(Wrong::unchanged());
    }
    let title = if made {
        format!(
            "connector {label} entered, {}",
            count(numbers.len(), "cavity", "cavities")
        )
    } else {
        format!("connector {label} changed")
    };
    let then = Then {
        close: true,
        go: Some(Key::of(connector)),
        advance: false,
    };
    Ok((Edit::design(title, changes), then))
}

/// The unit a new connector most likely belongs to: the one that has none yet, the one at hand, the only one.
fn likely_unit(book: &Book, start: &Start) -> String {
    let units: Vec<&Unit> = book.all::<Unit>().values().collect();
    let bare = |unit: &&&Unit| !book.all::<Connector>().values().any(|c| c.unit == unit.id);
    let bare: Vec<&&Unit> = units.iter().filter(bare).collect();
    match (bare.as_slice(), units.as_slice()) {
        ([one], _) => one.label.clone(),
        (_, [one]) if start.unit.is_empty() => one.label.clone(),
        _ => start.unit.clone(),
    }
}

fn counted(form: &Form) -> Result<Vec<String>, Wrong> {
    let text = form.text("count");
    if text.is_empty() {
        return Ok(Vec::new());
    }
    match text.parse::<usize>() {
        Ok(n) if (1..=crimpbook_workbook::model::face::MOST_CAVITIES).contains(&n) => {
            Ok((1..=n).map(|n| n.to_string()).collect())
        }
        _ => Err(Wrong::at(
            "count",
            "expected how many cavities there are, 1 to 400",
        )),
    }
}
