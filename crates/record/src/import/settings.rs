//! Rows of settings of the units' own software.

use std::collections::HashMap;

use crimpbook_workbook::model::{Cavity, Id, Setting, SettingRole, Unit};

use super::{
    Field,
    cells::Cells,
    number::short,
    taking::{Taking, set, set_text},
};

/// Takes every row.
pub fn take(taking: &mut Taking<'_>, rows: &[Cells]) {
    let mut seen: HashMap<(Id<Unit>, String), u64> = HashMap::new();
    for cells in rows {
        let Some(label) = cells.get(Field::Setting) else {
            taking.row_problem(cells.line, "names no setting; the row is left out");
            continue;
        };
        let Some(unit) = unit(taking, cells, label) else {
            continue;
        };
        if let Some(first) = seen.insert((unit, label.to_lowercase()), cells.line) {
            let sentence = format!(
                "{} stands on line {first} already; this one is left out",
                short(label)
            );
            taking.row_problem(cells.line, sentence);
            continue;
        }
        let before = called(taking, label).find(|s| s.unit == unit).cloned();
        let (role, cavities) = (role(taking, cells), cavities(taking, cells));
        let least = taking.number(cells, Field::Least);
        let most = taking.number(cells, Field::Most);
        let mut setting = match &before {
            Some(setting) => setting.clone(),
            None => Setting {
                id: taking.ids.make(),
                unit,
                label: label.to_owned(),
                value: String::new(),
                measure: String::new(),
                role: None,
                least: None,
                most: None,
                default_value: String::new(),
                page: String::new(),
                cavities: Vec::new(),
                note: String::new(),
            },
        };
        for (field, slot) in [
            (Field::Value, &mut setting.value),
            (Field::Measure, &mut setting.measure),
            (Field::Default, &mut setting.default_value),
            (Field::Page, &mut setting.page),
            (Field::Note, &mut setting.note),
        ] {
            set_text(cells, field, slot);
        }
        set(cells, Field::Role, &mut setting.role, role);
        set(cells, Field::Least, &mut setting.least, least);
        set(cells, Field::Most, &mut setting.most, most);
        match cavities {
            Some(cavities) => setting.cavities = cavities,
            None if cells.clears(Field::Cavities) => setting.cavities.clear(),
            None => {}
        }
        taking.draft.put(before, setting, cells.line);
    }
}

fn called<'a>(taking: &Taking<'a>, label: &str) -> impl Iterator<Item = &'a Setting> {
    let all = taking.book.all::<Setting>().values();
    all.filter(move |s| s.label.eq_ignore_ascii_case(label))
}

/// The unit a row names, else the only one that has a setting called so; what is wrong is named.
fn unit(taking: &mut Taking<'_>, cells: &Cells, label: &str) -> Option<Id<Unit>> {
    if cells.get(Field::Unit).is_some() {
        let unit = taking.labelled::<Unit>(cells, Field::Unit);
        if unit.is_none() {
            taking.row_problem(cells.line, "its unit is not known; the row is left out");
        }
        return unit;
    }
    let mut units: Vec<Id<Unit>> = called(taking, label).map(|s| s.unit).collect();
    units.dedup();
    if let [one] = units.as_slice() {
        return Some(*one);
    }
    let sentence = format!("says not of which unit {} is; the row is left out", short(label));
    taking.row_problem(cells.line, sentence);
    None
}

fn role(taking: &mut Taking<'_>, cells: &Cells) -> Option<SettingRole> {
    taking.read(cells, Field::Role, |text| {
        let mut known = SettingRole::ALL.iter().copied();
        known
            .find(|role| role.words().eq_ignore_ascii_case(text))
            .ok_or_else(|| {
                let all: Vec<&str> = SettingRole::ALL.iter().map(|role| role.words()).collect();
                format!(
                    "{} is nothing that is read here; known are {}",
                    short(text),
                    all.join(", ")
                )
            })
    })
}

fn cavities(taking: &mut Taking<'_>, cells: &Cells) -> Option<Vec<Id<Cavity>>> {
    let book = taking.book;
    taking.read(cells, Field::Cavities, |text| {
        text.split([',', ';'])
            .map(str::trim)
            .filter(|name| !name.is_empty())
            .map(|name| {
                book.find_cavity(name)
                    .ok_or_else(|| format!("no cavity is called {}; write it as in MC-A16", short(name)))
            })
            .collect()
    })
}
