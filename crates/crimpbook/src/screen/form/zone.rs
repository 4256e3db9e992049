//! A zone.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{Id, PlanPlace, Zone};

use super::{Field, Form, Taken, Wrong, edit_one, read::shown};
use crate::screen::model::Model;

pub fn fields(model: &Model, id: Option<Id<Zone>>) -> (String, Vec<Field>) {
    let old = id.and_then(|id| model.book.get(id));
    let title = old.map_or_else(|| "New zone".to_owned(), |z| format!("Zone {}", z.label));
    let wet = old.map_or("no", |z| if z.wet { "yes" } else { "no" });
    let fields = vec![
        Field::new(
            "label",
            "name",
            old.map(|z| z.label.clone()).unwrap_or_default(),
            "cabin",
        ),
        Field::new(
            "ambient",
            "hottest",
            shown(old.and_then(|z| z.ambient_c), "°C"),
            "ambient, 60 °C",
        ),
        Field::new("wet", "wet", wet, "whether water reaches it: yes or no").one_of(["yes", "no"]),
        Field::new(
            "along",
            "from the front",
            shown(old.and_then(|z| z.plan).map(|p| p.from_front_pct), "%"),
            "where its middle lies: 0 % the front, 100 % the rear; for the loom map",
        ),
        Field::new(
            "across",
            "from the left",
            shown(old.and_then(|z| z.plan).map(|p| p.from_left_pct), "%"),
            "0 % the left side, 100 % the right, as the driver sits",
        ),
        Field::new(
            "note",
            "note",
            old.map(|z| z.note.clone()).unwrap_or_default(),
            "",
        ),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Zone>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let new = Zone {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a name")?,
        ambient_c: form.amount("ambient", Quantity::Temperature)?,
        wet: form.yes_no("wet").unwrap_or(false),
        plan: place(form)?,
        note: form.text("note"),
    };
    edit_one(old, new)
}

/// Where it lies; a place is told along and across, or not at all.
fn place(form: &Form) -> Result<Option<PlanPlace>, Wrong> {
    let share = |name| match form.amount(name, Quantity::Share)? {
        Some(pct) if !(0.0..=100.0).contains(&pct) => Err(Wrong::at(
            name,
            "a place on the vehicle is 0 to 100 %, as in 35 %",
        )),
        pct => Ok(pct),
    };
    match (share("along")?, share("across")?) {
        (Some(from_front_pct), Some(from_left_pct)) => Ok(Some(PlanPlace {
            from_front_pct,
            from_left_pct,
        })),
        (None, None) => Ok(None),
        (None, Some(_)) => Err(Wrong::at(
            "along",
            "the other half of its place: how far from the front, 35 %",
        )),
        (Some(_), None) => Err(Wrong::at(
            "across",
            "the other half of its place: how far from the left, 50 %",
        )),
    }
}
