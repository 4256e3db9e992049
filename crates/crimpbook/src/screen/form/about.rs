//! The workbook's own page: the vehicle, its supply, and what holds for every wire that says nothing else.

use crimpbook_core::{quantity::Kind as Quantity, tables::insulation::insulations};
use crimpbook_workbook::model::{About, Id, Junction, ServiceNotes, SizeTable, Supply};

use super::{
    Field, Form, Taken, Wrong, edit_one,
    read::{labels, shown},
};
use crate::screen::model::Model;

const TABLES: [(&str, SizeTable); 3] = [
    ("thin-wall vehicle wire", SizeTable::Iso6722),
    ("IEC 60228 class 5", SizeTable::Iec60228Class5),
    ("AWG", SizeTable::Awg),
];

/// A note of the service page: name and label of its field, what is meant, where it stands.
type Note = (
    &'static str,
    &'static str,
    &'static str,
    fn(&mut ServiceNotes) -> &mut String,
);

const SERVICE: [Note; 7] = [
    (
        "disconnect",
        "disconnect at",
        "where the 12 V battery is parted, the service plug; where orange cables run",
        |s| &mut s.disconnect,
    ),
    (
        "towing",
        "to tow",
        "gear in neutral, on its rear wheels not at all",
        |s| &mut s.towing,
    ),
    (
        "flat",
        "12 V flat",
        "how it is opened and fed with a flat 12 V battery",
        |s| &mut s.flat,
    ),
    ("lamps", "lamps mean", "red: stop now; amber: charge soon", |s| {
        &mut s.lamps
    }),
    (
        "spares",
        "spares",
        "fuses, relays, contacts, extraction tool, and where they lie",
        |s| &mut s.spares,
    ),
    (
        "quirks",
        "quirks",
        "what it does that looks like a fault and is none",
        |s| &mut s.quirks,
    ),
    (
        "papers",
        "papers",
        "approval, inspection, insurance, and where they are",
        |s| &mut s.papers,
    ),
];

pub fn fields(model: &Model, id: Id<About>) -> (String, Vec<Field>) {
    let book = &model.book;
    let Some(old) = book.get(id) else {
        return ("This workbook".to_owned(), Vec::new());
    };
    let supply = old.supply;
    let volts = |name, label, value, hint| Field::new(name, label, shown(Some(value), "V"), hint);
    let table = TABLES.iter().find(|(_, table)| *table == old.size_table);
    let reference = old.reference.map(|id| book.label_of(id)).unwrap_or_default();
    let fields = vec![
        Field::new("vehicle", "vehicle", old.vehicle.clone(), "as people call it"),
        Field::new(
            "purpose",
            "what for",
            old.purpose.clone(),
            "what the harness is for",
        ),
        volts(
            "least",
            "supply at least",
            supply.least_v,
            "at which everything must still work, 9 V",
        ),
        volts("nominal", "usual supply", supply.nominal_v, "12.6 V"),
        volts("most", "supply at most", supply.most_v, "15.5 V"),
        Field::new(
            "reference",
            "battery negative",
            reference,
            "the stud that all voltages are counted from",
        )
        .one_of(labels::<Junction>(book)),
        Field::new(
            "class",
            "insulation class",
            shown(old.insulation_class_c, "°C"),
            "of wires that name none, 105 °C",
        ),
        Field::new(
            "insulation",
            "insulation",
            old.insulation.clone(),
            "material of wires that name none",
        )
        .one_of(materials()),
        Field::new(
            "table",
            "sizes after",
            table.map_or("", |t| t.0),
            "table of wires that name none",
        )
        .one_of(TABLES.map(|t| t.0)),
        Field::new(
            "custom",
            "colour custom",
            old.colour_custom.clone(),
            "black ground, red permanent",
        ),
        Field::new(
            "service",
            "for service",
            old.service_note.clone(),
            "how it wakes, sleeps and is made safe",
        ),
    ];
    let notes = SERVICE.map(|(name, label, hint, note)| {
        let mut notes = old.service.clone();
        Field::new(name, label, note(&mut notes).clone(), hint)
    });
    (old.vehicle.clone(), fields.into_iter().chain(notes).collect())
}

pub fn take(model: &mut Model, form: &Form, id: Id<About>) -> Taken {
    let Some(old) = model.book.get(id).cloned() else {
        return Err(Wrong::whole("this page is gone; Esc leaves the form"));
    };
    let volts = |name| {
        form.amount(name, Quantity::Voltage)?
            .ok_or_else(|| Wrong::at(name, "a voltage is needed, as in 12 V"))
    };
    let table = form.text("table");
    let mut service = ServiceNotes::default();
    for (name, _, _, note) in SERVICE {
        *note(&mut service) = form.text(name);
    }
    let new = About {
        vehicle: form.needed("vehicle", "a name")?,
        purpose: form.text("purpose"),
        supply: Supply {
            least_v: volts("least")?,
            nominal_v: volts("nominal")?,
            most_v: volts("most")?,
        },
        reference: form.record(&model.book, "reference")?,
        insulation_class_c: form.amount("class", Quantity::Temperature)?,
        insulation: form.text("insulation"),
        size_table: TABLES
            .iter()
            .find(|(words, _)| *words == table)
            .map_or(old.size_table, |t| t.1),
        colour_custom: form.text("custom"),
        service_note: form.text("service"),
        service,
        ..old.clone()
    };
    edit_one(Some(old), new)
}

/// What insulations are made of, each once, as people write it.
fn materials() -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for row in insulations() {
        let material = row.name.split('-').next().unwrap_or_default();
        let written = if material.len() <= 4 {
            material.to_uppercase()
        } else {
            material.to_owned()
        };
        if !all.contains(&written) {
            all.push(written);
        }
    }
    all
}
