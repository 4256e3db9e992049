//! Units as part files: one is saved, one is used.

use crimpbook_record::{
    part_file::{self, PartFile},
    text::shown,
};
use crimpbook_workbook::{
    edit::make::next_labels,
    model::{Id, Key, Kind, Unit},
};

use super::line::wrong;
use crate::screen::{
    action::Do,
    effect::{Effect, Then},
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        part_files::unit_here,
    },
    text::count,
};

/// Asks which part is to be used, or where one is to be saved.
pub fn open(model: &mut Model, act: Do) {
    match act {
        Do::SavePart => open_save(model),
        _ => open_use(model),
    }
}

/// Asks which part is to be used.
fn open_use(model: &mut Model) {
    let names = (1..).zip(part_file::generic());
    let names: Vec<String> = names.map(|(n, part)| format!("{n} {}", part.name)).collect();
    let title = format!(
        "Use which part? {}. Type a number, a name or the path of a part file.",
        names.join(", ")
    );
    model.over.push(Over::Line(Line::new(title, Purpose::UsePart)));
}

/// Asks where the unit here is to be saved; what cannot be saved is said at once.
fn open_save(model: &mut Model) {
    let Some(unit) = unit_here(model) else { return };
    match part_file::save(&model.book, unit, "") {
        Err(error) => model.complain(error.to_string()),
        Ok(file) => {
            let label = model.book.label_of(unit);
            let stays = stays_behind(&file);
            let title = format!(
                "Save {label} ({}) as a part file; under which name?{stays}",
                file.title
            );
            let name: String = label
                .chars()
                .map(|c| if c.is_alphanumeric() { c } else { '-' })
                .collect();
            model.over.push(Over::Line(
                Line::new(title, Purpose::SavePart(unit)).offered(format!("{name}.json")),
            ));
        }
    }
}

/// Takes the name of a part: a generic one, or the path of a file.
pub fn take_use(model: &mut Model, text: &str) -> Vec<Effect> {
    if text.is_empty() {
        return wrong(model, "type a number, a name or a path, or press Esc");
    }
    let all = part_file::generic();
    let numbered = text
        .parse::<usize>()
        .ok()
        .and_then(|n| all.get(n.checked_sub(1)?));
    let low = text.to_lowercase().replace(' ', "-");
    let named = || {
        let mut begin = all.iter().filter(|part| part.name.starts_with(&low));
        begin.next().filter(|_| begin.next().is_none())
    };
    match numbered.or_else(named) {
        Some(part) => came(model, part.name, part.text),
        None => return vec![Effect::ReadPart(text.to_owned())],
    }
    Vec::new()
}

/// A part file was read: asks what its unit is called here.
pub fn came(model: &mut Model, name: &str, text: &str) {
    let file = match part_file::read(text) {
        Ok(file) => file,
        Err(error) => {
            let _ = wrong(model, format!("{name}: {error}"));
            return;
        }
    };
    if matches!(model.over.last(), Some(Over::Line(line)) if matches!(line.purpose, Purpose::UsePart)) {
        model.over.pop();
    }
    let Some(label) = file.records.units.first().map(|unit| unit.label.clone()) else {
        return;
    };
    let free = match model.book.index().key_labelled(Kind::Unit, &label) {
        None => label,
        Some(_) => next_labels::<Unit>(&model.book, &label, 1).pop().unwrap_or(label),
    };
    let records = &file.records;
    let title = format!(
        "{}: {}, {}, {}. What is the unit called here?{}",
        shown(&file.title),
        count(records.connectors.len(), "connector", "connectors"),
        count(records.cavities.len(), "cavity", "cavities"),
        count(records.parts.len(), "inside part", "inside parts"),
        stays_behind(&file),
    );
    model.over.push(Over::Line(
        Line::new(title, Purpose::NamePart(Box::new(file))).started(free),
    ));
}

/// What the unit had and the file has not, in a sentence.
fn stays_behind(file: &PartFile) -> String {
    match file.left_out.as_slice() {
        [] => String::new(),
        [one] => format!(" Stays behind: {}.", shown(one)),
        [one, more @ ..] => format!(" Stays behind: {}; and {} more.", shown(one), more.len()),
    }
}

/// Takes the unit's label, and puts the unit in.
pub fn take_name(model: &mut Model, file: &PartFile, label: &str) -> Vec<Effect> {
    if label.is_empty() {
        return wrong(model, "a unit needs a label");
    }
    let book = std::sync::Arc::clone(&model.book);
    match part_file::adopt(&book, &mut model.ids, file, Some(label)) {
        Err(error) => wrong(model, error.to_string()),
        Ok(edit) => {
            let made = |kind: Kind| {
                edit.changes
                    .iter()
                    .filter_map(|c| c.key())
                    .find(|key| key.kind == kind)
            };
            let go: Option<Key> = made(Kind::Connector).or_else(|| made(Kind::Unit));
            let then = Then {
                close: true,
                go,
                ..Then::default()
            };
            vec![Effect::Commit(Box::new(edit), then)]
        }
    }
}

/// Takes the name of the file, and asks where the figures come from.
pub fn take_path(model: &mut Model, unit: Id<Unit>, path: String) -> Vec<Effect> {
    if path.is_empty() {
        return wrong(model, "type a name for the file, or press Esc");
    }
    // The line with the name stays beneath, for one that turns out to be taken.
    model.over.push(Over::Line(Line::new(
        format!(
            "{path}: where do its figures come from? Manual, page, what to look out for; may stay empty."
        ),
        Purpose::AboutPart(unit, path),
    )));
    Vec::new()
}

/// Takes what is said about the part, and has it written.
pub fn take_about(model: &mut Model, unit: Id<Unit>, path: String, about: &str) -> Vec<Effect> {
    match part_file::save(&model.book, unit, about) {
        Err(error) => wrong(model, error.to_string()),
        Ok(file) => vec![Effect::WritePart(path, file.text())],
    }
}

/// A part file was written.
pub fn wrote(model: &mut Model, path: &str) {
    let asks = |over: Option<&Over>| {
        matches!(over, Some(Over::Line(line))
            if matches!(line.purpose, Purpose::SavePart(_) | Purpose::AboutPart(..)))
    };
    while asks(model.over.last()) {
        model.over.pop();
    }
    model.say(format!("wrote {}", shown(path)));
}

/// A part file could not be read or written: said at the line that asks for it.
pub fn failed(model: &mut Model, sentence: String) {
    let _ = wrong(model, sentence);
}
