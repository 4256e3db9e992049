//! A cavity: what its manual says of it.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::{
    edit::Edit,
    model::{Cavity, ContactFamily, Id, Limits, Pull, PullTo, SignalKind},
};

use super::{
    Field, Form, Taken, Wrong, change,
    read::{labels, shown},
};
use crate::screen::{effect::Then, model::Model};

const PULLS: [(&str, PullTo); 4] = [
    ("ground", PullTo::Ground),
    ("5 V", PullTo::FiveVolts),
    ("supply", PullTo::Supply),
    ("nothing", PullTo::Nothing),
];

pub fn fields(model: &Model, id: Id<Cavity>) -> (String, Vec<Field>) {
    let book = &model.book;
    let Some(cavity) = book.get(id) else {
        return ("Cavity".to_owned(), Vec::new());
    };
    let l = &cavity.limits;
    let contact = cavity.contact.map(|c| book.label_of(c)).unwrap_or_default();
    let pull = l
        .pull
        .and_then(|p| PULLS.iter().find(|(_, to)| *to == p.to))
        .map_or("", |p| p.0);
    let title = format!("Cavity {}", book.cavity_name(id));
    let fields = vec![
        Field::new("name", "function", cavity.name.clone(), "as the manual names it"),
        Field::new(
            "kind",
            "kind",
            cavity.kind.map_or("", SignalKind::words),
            "what it is, electrically",
        )
        .one_of(SignalKind::ALL.iter().map(|k| k.words())),
        Field::new(
            "page",
            "manual page",
            cavity.page.clone(),
            "page its figures come from",
        ),
        Field::new("contact", "contact", contact, "contact family it takes")
            .one_of(labels::<ContactFamily>(book)),
        Field::new(
            "most_a",
            "current at most",
            shown(l.most_a, "A"),
            "drawn or given, 0.35 A",
        ),
        Field::new(
            "on_above",
            "on above",
            shown(l.on_above_v, "V"),
            "input: on above, 5.5 V",
        ),
        Field::new(
            "off_below",
            "off below",
            shown(l.off_below_v, "V"),
            "input: off below, 2 V",
        ),
        Field::new(
            "on_below",
            "on below",
            shown(l.on_below_v, "V"),
            "active at ground: on below, 1.5 V",
        ),
        Field::new(
            "off_above",
            "off above",
            shown(l.off_above_v, "V"),
            "active at ground: off above, 4 V",
        ),
        Field::new(
            "most_v",
            "never above",
            shown(l.most_v, "V"),
            "limit of the input, 16 V",
        ),
        Field::new("pull", "pull inside", pull, "where the unit pulls it to").one_of(PULLS.map(|p| p.0)),
        Field::new("pull_ohm", "pull", shown(l.pull.and_then(|p| p.ohm), "Ω"), "10k"),
        Field::new("peak_a", "peak current", shown(l.peak_a, "A"), "short peak, 6 A"),
        Field::new("peak_s", "peak lasts", shown(l.peak_s, "s"), "0.2 s"),
        Field::new(
            "least_a",
            "least current",
            shown(l.least_a, "A"),
            "a contact needs to stay clean, 0.005 A",
        ),
        Field::new(
            "release_s",
            "stays on for",
            shown(l.release_s, "s"),
            "after it is switched off, 90 s",
        ),
        Field::new("rest_v", "at rest", shown(l.rest_v, "V"), "analogue, 0.75 V"),
        Field::new("full_v", "at full", shown(l.full_v, "V"), "analogue, 4.25 V"),
        Field::new(
            "sensor_ohm",
            "sensor",
            shown(l.sensor_ohm, "Ω"),
            "a temperature sensor's ohms at 25 °C, 1k",
        ),
        Field::new(
            "sensor_at_c",
            "sensor at",
            shown(l.sensor_at_c, "°C"),
            "where its ohms hold, if not at 25 °C",
        ),
        Field::new(
            "sensor_tolerance_pct",
            "sensor's ±",
            shown(l.sensor_tolerance_pct, "%"),
            "how far it may be off there, 3 %",
        ),
        Field::new(
            "sensor_pct_per_k",
            "a kelvin",
            shown(l.sensor_pct_per_k, "%"),
            "what a kelvin changes: 0.8 %, -4.5 % where it falls",
        ),
        Field::new(
            "plug",
            "sealing plug",
            if cavity.plug { "yes" } else { "no" },
            "listed for it: yes or no",
        )
        .one_of(["yes", "no"]),
        Field::new(
            "unit_number",
            "unit's number",
            cavity.unit_number.clone(),
            "where it differs from the plug's",
        ),
        Field::new("note", "note", cavity.note.clone(), ""),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Id<Cavity>) -> Taken {
    let Some(old) = model.book.get(id).cloned() else {
        return Err(Wrong::whole(
            "this cavity is not in the workbook any more; leave the form",
        ));
    };
    let kind_words = form.text("kind");
    let (volts, amps, seconds) = (Quantity::Voltage, Quantity::Current, Quantity::Time);
    let to = form.text("pull");
    let pull_ohm = form.amount("pull_ohm", Quantity::Resistance)?;
    let pull = PULLS
        .iter()
        .find(|(words, _)| words.eq_ignore_ascii_case(&to))
        .map(|(_, to)| Pull {
            to: *to,
            ohm: pull_ohm,
        });
    if pull.is_none() && pull_ohm.is_some() {
        return Err(Wrong::at(
            "pull",
            "a pull with ohms leads somewhere: ground, 5 V or supply",
        ));
    }
    let new = Cavity {
        name: form.text("name"),
        kind: SignalKind::ALL
            .iter()
            .copied()
            .find(|k| k.words().eq_ignore_ascii_case(&kind_words)),
        page: form.text("page"),
        contact: form.record(&model.book, "contact")?,
        limits: Limits {
            most_a: form.amount("most_a", amps)?,
            on_above_v: form.amount("on_above", volts)?,
            off_below_v: form.amount("off_below", volts)?,
            on_below_v: form.amount("on_below", volts)?,
            off_above_v: form.amount("off_above", volts)?,
            most_v: form.amount("most_v", volts)?,
            pull,
            peak_a: form.amount("peak_a", amps)?,
            peak_s: form.amount("peak_s", seconds)?,
            least_a: form.amount("least_a", amps)?,
            release_s: form.amount("release_s", seconds)?,
            rest_v: form.amount("rest_v", volts)?,
            full_v: form.amount("full_v", volts)?,
            sensor_ohm: form.amount("sensor_ohm", Quantity::Resistance)?,
            sensor_at_c: form.amount("sensor_at_c", Quantity::Temperature)?,
            sensor_tolerance_pct: form.amount("sensor_tolerance_pct", Quantity::Share)?,
            sensor_pct_per_k: form.amount("sensor_pct_per_k", Quantity::Share)?,
        },
        plug: form.yes_no("plug").unwrap_or(false),
        unit_number: form.text("unit_number"),
        note: form.text("note"),
        ..old.clone()
    };
    let title = format!("{} described", model.book.cavity_name(id));
    match change(Some(old), new) {
        None => Err(Wrong::unchanged()),
        Some(change) => Ok((
            Edit::design(title, vec![change]),
            Then {
                close: true,
                go: None,
                advance: true,
            },
        )),
    }
}
