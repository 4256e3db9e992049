//! A fuse.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{Fuse, FuseKind, Id, Zone};

use super::{
    Field, Form, Taken, Wrong, edit_one,
    read::{labels, shown},
};
use crate::screen::model::Model;

const KINDS: [(&str, FuseKind); 4] = [
    ("blade", FuseKind::Blade),
    ("high-current blade", FuseKind::HighCurrentBlade),
    ("cartridge", FuseKind::Cartridge),
    ("bolt-in", FuseKind::BoltIn),
];

/// In words.
pub fn words(kind: FuseKind) -> &'static str {
    KINDS.iter().find(|(_, k)| *k == kind).map_or("", |k| k.0)
}

pub fn fields(model: &Model, id: Option<Id<Fuse>>) -> (String, Vec<Field>) {
    let book = &model.book;
    let old = id.and_then(|id| book.get(id));
    let text = |pick: fn(&Fuse) -> &String| old.map(|f| pick(f).clone()).unwrap_or_default();
    let title = old.map_or_else(|| "New fuse".to_owned(), |f| format!("Fuse {}", f.label));
    let fields = vec![
        Field::new("label", "short name", text(|f| &f.label), "F6"),
        Field::new("rating", "rating", shown(old.map(|f| f.rating_a), "A"), "7.5 A"),
        Field::new(
            "kind",
            "kind",
            old.map_or("blade", |f| words(f.kind)),
            "blade, cartridge, bolt-in …",
        )
        .one_of(KINDS.map(|k| k.0)),
        Field::new("feeds", "feeds", text(|f| &f.feeds), "brake lamps"),
        Field::new("holder", "holder", text(|f| &f.holder), "where it is"),
        Field::new(
            "zone",
            "zone",
            old.and_then(|f| f.zone)
                .map(|z| book.label_of(z))
                .unwrap_or_default(),
            "of the holder",
        )
        .one_of(labels::<Zone>(book)),
        Field::new(
            "melting",
            "melting",
            shown(old.and_then(|f| f.melting_a2s), "A²s"),
            "I²t of its data sheet, 340 A²s",
        ),
        Field::new(
            "cold",
            "cold",
            shown(old.and_then(|f| f.cold_ohm), "Ω"),
            "ohms when cold, 7 mΩ",
        ),
        Field::new(
            "rated",
            "rated volts",
            shown(old.and_then(|f| f.rated_v), "V"),
            "32 V",
        ),
        Field::new(
            "breaking",
            "breaks at most",
            shown(old.and_then(|f| f.breaking_a), "A"),
            "1000 A",
        ),
        Field::new(
            "ambient",
            "left when warm",
            old.and_then(|f| f.ambient_factor)
                .map(|f| format!("{} %", crate::screen::figures::number(f * 100.0)))
                .unwrap_or_default(),
            "share of the rating at its ambient, 90 %",
        ),
        Field::new("note", "note", text(|f| &f.note), ""),
    ];
    (title, fields)
}

pub fn take(model: &mut Model, form: &Form, id: Option<Id<Fuse>>) -> Taken {
    let old = id.and_then(|id| model.book.get(id)).cloned();
    let kind = form.text("kind");
    let rating_a = form
        .amount("rating", Quantity::Current)?
        .ok_or_else(|| Wrong::at("rating", "a fuse has a rating, as in 7.5 A"))?;
    let new = Fuse {
        id: id.unwrap_or_else(|| model.ids.make()),
        label: form.needed("label", "a short name")?,
        rating_a,
        kind: KINDS
            .iter()
            .find(|(words, _)| words.eq_ignore_ascii_case(&kind))
            .map_or(FuseKind::Blade, |k| k.1),
        feeds: form.text("feeds"),
        holder: form.text("holder"),
        zone: form.record(&model.book, "zone")?,
        melting_a2s: form.amount("melting", Quantity::MeltingIntegral)?,
        cold_ohm: form.amount("cold", Quantity::Resistance)?,
        rated_v: form.amount("rated", Quantity::Voltage)?,
        breaking_a: form.amount("breaking", Quantity::Current)?,
        ambient_factor: form
            .amount("ambient", Quantity::Share)?
            .map(|percent| percent / 100.0),
        note: form.text("note"),
    };
    edit_one(old, new)
}
