//! A splice or stud.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{Id, Junction, JunctionKind, Unit, Zone};

use super::{
    Field, Form, Taken, edit_one,
    read::{labels, shown, yes_or_no},
};
use crate::screen::model::Model;

const KINDS: [(&str, JunctionKind); 3] = [
    ("splice", JunctionKind::Splice),
    ("stud", JunctionKind::Stud),
    ("ground stud", JunctionKind::GroundStud),
];

/// In words.
pub fn words(kind: JunctionKind) -> &'static str {
    KINDS.iter().find(|(_, k)| *k == kind).map_or("", |k| k.0)
}

pub fn fields(model: &Model, id: Option<Id<Junction>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Junction) -> &String| old.map(|j| pick(j).clone()).unwrap_or_default();
    let title = old.map_or_else(
        || "New splice or stud".to_owned(),
        |j| format!("Splice or stud {}", j.label),
    );
    let fields = vec![
        Field::new("label", "short name", text(|j| &j.label), "SP7 or G2"),
        Field::new(
            "kind",
            "kind",
            old.map_or("splice", |j| words(j.kind)),
            "splice, stud or ground stud",
        )
        .one_of(KINDS.map(|k| k.0)),
        Field::new(
            "unit",
            "unit",
            old.and_then(|j| j.unit)
                .map(|u| book.label_of(u))
                .unwrap_or_default(),
            "where a stud belongs to one",
        )
        .one_of(labels::<Unit>(book)),
        Field::new(
            "zone",
            "zone",
            old.and_then(|j| j.zone)
                .map(|z| book.label_of(z))
                .unwrap_or_default(),
            "",
        )
        .one_of(labels::<Zone>(book)),
        Field::new("place", "where", text(|j| &j.place), "front cross-member, left"),
        Field::new(
            "joint",
            "joint",
            shown(old.and_then(|j| j.joint_ohm), "Ω"),
            "ohms of one wire's joint, 0.5 mΩ",
        ),
        Field::new(
            "sleeve_least",
            "sleeve from",
            shown(old.and_then(|j| j.sleeve_least_mm2), "mm²"),
            "of a splice: all conductors together, 1.5",
        ),
        Field::new(
            "sleeve_most",
            "sleeve to",
            shown(old.and_then(|j| j.sleeve_most_mm2), "mm²"),
            "of a splice: all conductors together, 4",
        ),
        Field::new(
            "clear",
            "to a branch",
            shown(old.and_then(|j| j.clear_m), "m"),
            "of a splice: way to the next branch or splice, 80 mm",
        ),
        Field::new(
            "sealed",
            "sealed",
            yes_or_no(old.and_then(|j| j.sealed)),
            "of a splice, yes or no; empty: not known",
        )
        .one_of(["yes", "no"]),
        Field::new(
            "flexes",
            "loom moves",
            yes_or_no(old.and_then(|j| j.flexes)),
            "of a splice: in a door or lid, yes or no",
        )
        .one_of(["yes", "no"]),
        Field::new(
            "torque",
            "torque",
            shown(old.and_then(|j| j.torque_nm), "N·m"),
            "of a stud, as its unit's manual or its sheet says, 9 N·m",
        ),
        Field::new("note", "note", text(|j| &j.note), ""),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Junction>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let kind = form.text("kind");
    let new = Junction {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a short name")?,
        kind: KINDS
            .iter()
            .find(|(words, _)| words.eq_ignore_ascii_case(&kind))
            .map_or(JunctionKind::Splice, |k| k.1),
        unit: form.record(&model.book, "unit")?,
        zone: form.record(&model.book, "zone")?,
        joint_ohm: form.amount("joint", Quantity::Resistance)?,
        sleeve_least_mm2: form.plain_number("sleeve_least", "mm²")?,
        sleeve_most_mm2: form.plain_number("sleeve_most", "mm²")?,
        clear_m: form.amount("clear", Quantity::Length)?,
        sealed: form.yes_no("sealed"),
        flexes: form.yes_no("flexes"),
        torque_nm: form.plain_number("torque", "N·m")?,
        place: form.text("place"),
        note: form.text("note"),
    };
    edit_one(old, new)
}
