//! A setting of a unit's own software, and the short form that turns only its value.

use crimpbook_workbook::{
    edit::make,
    model::{Cavity, Id, Row as _, Setting, SettingRole, Unit},
};

use super::{
    Field, Form, Start, Taken, Wrong,
    read::{ends, labels},
};
use crate::screen::{effect::Then, figures::number, model::Model};

fn why() -> Field {
    Field::new(
        "why",
        "why",
        "",
        "every change of a setting keeps its why: the passenger complained",
    )
}

pub fn fields(model: &Model, id: Option<Id<Setting>>, start: &Start) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Setting) -> &String| old.map(|s| pick(s).clone()).unwrap_or_default();
    let limit = |pick: fn(&Setting) -> Option<f64>| old.and_then(pick).map_or_else(String::new, number);
    let title = old.map_or_else(
        || "New setting".to_owned(),
        |s| format!("Setting {} of {}", s.label, book.label_of(s.unit)),
    );
    let cavities: Vec<String> = old
        .map(|s| s.cavities.iter().map(|id| book.cavity_name(*id)).collect())
        .unwrap_or_default();
    let role = old.and_then(|s| s.role).map_or("", SettingRole::words);
    let fields = vec![
        Field::new(
            "unit",
            "unit",
            old.map_or_else(|| start.unit.clone(), |s| book.label_of(s.unit)),
            "whose software it is",
        )
        .one_of(labels::<Unit>(book)),
        Field::new(
            "label",
            "its name",
            text(|s| &s.label),
            "as the unit's software calls it",
        ),
        Field::new(
            "value",
            "value",
            text(|s| &s.value),
            "as the unit shows it: 18, active-high",
        ),
        Field::new("measure", "in", text(|s| &s.measure), "%, V, A, s, ms, rpm, km/h"),
        why(),
        Field::new("least", "least", limit(|s| s.least), "by the manual, or your own"),
        Field::new("most", "most", limit(|s| s.most), "by the manual, or your own"),
        Field::new(
            "default",
            "comes with",
            text(|s| &s.default_value),
            "the value the unit comes with",
        ),
        Field::new("page", "page", text(|s| &s.page), "of the unit's manual"),
        Field::new(
            "cavities",
            "cavities",
            cavities.join(", "),
            "it belongs to: MC-A10, MC-A11",
        )
        .offered(ends(book)),
        Field::new("role", "what it sets", role, "where a check reads it")
            .one_of(SettingRole::ALL.iter().map(|role| role.words())),
        Field::new("note", "note", text(|s| &s.note), "what was measured"),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Setting>>) -> Taken {
    let book = std::sync::Arc::clone(&model.book);
    let unit = form
        .record::<Unit>(&book, "unit")?
        .ok_or_else(|| Wrong::at("unit", "a setting is one of a unit; say which"))?;
    let role = form.text("role");
    let row = Setting {
        id: id.unwrap_or_else(|| model.ids.make()),
        unit,
        label: form.needed("label", "a name")?,
        value: form.needed("value", "a value")?,
        measure: form.text("measure"),
        role: SettingRole::ALL
            .iter()
            .copied()
            .find(|r| r.words().eq_ignore_ascii_case(&role)),
        least: figure(form, "least")?,
        most: figure(form, "most")?,
        default_value: form.text("default"),
        page: form.text("page"),
        cavities: cavities(model, form)?,
        note: form.text("note"),
    };
    kept(model, form, row)
}

/// A limit, which may be below nothing.
fn figure(form: &Form, name: &'static str) -> Result<Option<f64>, Wrong> {
    let text = form.text(name).replace(',', ".");
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Some(value)),
        _ => Err(Wrong::at(
            name,
            "expected a number in the unit of the value, as in 40",
        )),
    }
}

fn cavities(model: &Model, form: &Form) -> Result<Vec<Id<Cavity>>, Wrong> {
    let text = form.text("cavities");
    let names = text
        .split([',', ';'])
        .map(str::trim)
        .filter(|name| !name.is_empty());
    names
        .map(|name| {
            model.book.find_cavity(name).ok_or_else(|| {
                Wrong::at(
                    "cavities",
                    format!("no cavity is called {name}; write them as in MC-A10, MC-A11"),
                )
            })
        })
        .collect()
}

/// The edit with its why.
fn kept(model: &Model, form: &Form, row: Setting) -> Taken {
    if (row.least.is_some() || row.most.is_some()) && row.figure().is_none() {
        let limits = super::super::model::settings::limits(&row);
        return Err(Wrong::at(
            "value",
            format!("\"{}\" is no figure; it has limits, {limits}", row.value),
        ));
    }
    let made = model.book.get(row.id).is_none();
    let key = crimpbook_workbook::model::Key::of(row.id());
    let edit = make::put_setting(&model.book, row).map_err(|_| Wrong::unchanged())?;
    let why = form.needed(
        "why",
        "a why; a few words will do: without it nobody knows later what it was turned for, so it",
    )?;
    let then = Then {
        close: true,
        go: made.then_some(key),
        advance: false,
    };
    Ok((edit.because(why), then))
}

pub fn turning(model: &Model, id: Id<Setting>) -> (String, Vec<Field>) {
    let book = &model.book;
    let Some(setting) = book.get(id) else {
        return ("Setting".to_owned(), Vec::new());
    };
    let limits = super::super::model::settings::limits(setting);
    let limits = if limits.is_empty() {
        String::new()
    } else {
        format!(", may be {limits}")
    };
    let title = format!(
        "Turn {} of {}: {}{limits}",
        setting.label,
        book.label_of(setting.unit),
        setting.shown()
    );
    let fields = vec![
        Field::new("value", "value", setting.value.clone(), "as the unit shows it"),
        why(),
    ];
    (title, fields)
}

pub fn turned(model: &mut Model, form: &Form, id: Id<Setting>) -> Taken {
    let Some(row) = model.book.get(id).cloned() else {
        return Err(Wrong::whole(
            "it is not in the workbook any more; leave this and look again",
        ));
    };
    let row = Setting {
        value: form.needed("value", "a value")?,
        ..row
    };
    kept(model, form, row)
}
