//! The vehicle, its zones, bundles and units.

use crimpbook_workbook::{
    Book,
    model::{About, Bundle, Unit, Zone},
};

use super::{Cell, Sheet};
use crate::{order::by_label, words};

pub(super) fn about(book: &Book) -> Sheet {
    Sheet::of(
        "vehicle",
        "The vehicle and the defaults of its workbook",
        book,
        book.all::<About>().values(),
        &[
            ("vehicle", "What people call it", |_, a| Cell::text(&a.vehicle)),
            ("purpose", "What the harness is for", |_, a| {
                Cell::text(&a.purpose)
            }),
            (
                "revision",
                "Last revision released for building; empty: none yet",
                |book, _| Cell::text(book.revision().unwrap_or_default()),
            ),
            (
                "supply_least_v",
                "Lowest supply at which everything must still work, V",
                |_, a| Cell::Number(a.supply.least_v),
            ),
            ("supply_nominal_v", "Usual supply, V", |_, a| {
                Cell::Number(a.supply.nominal_v)
            }),
            ("supply_most_v", "Highest supply, V", |_, a| {
                Cell::Number(a.supply.most_v)
            }),
            ("reference", "The stud that is battery negative", |book, a| {
                a.reference
                    .map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            (
                "size_table",
                "Table of wire sizes where a wire names none",
                |_, a| Cell::text(words::size_table(a.size_table)),
            ),
            (
                "insulation_class_c",
                "Insulation class of wires that name none, °C",
                |_, a| a.insulation_class_c.into(),
            ),
            (
                "insulation",
                "Insulation material of wires that name none",
                |_, a| Cell::text(&a.insulation),
            ),
            ("colour_custom", "The house custom for wire colours", |_, a| {
                Cell::text(&a.colour_custom)
            }),
            ("service_note", "How it wakes, sleeps and is made safe", |_, a| {
                Cell::text(&a.service_note)
            }),
            (
                "disconnect",
                "Where the 12 V and traction batteries are parted from the vehicle",
                |_, a| Cell::text(&a.service.disconnect),
            ),
            ("towing", "How it is towed or pushed", |_, a| {
                Cell::text(&a.service.towing)
            }),
            ("flat", "What to do when the 12 V battery is flat", |_, a| {
                Cell::text(&a.service.flat)
            }),
            ("lamps", "What each warning lamp means", |_, a| {
                Cell::text(&a.service.lamps)
            }),
            ("spares", "Spares that are carried or that it needs", |_, a| {
                Cell::text(&a.service.spares)
            }),
            ("quirks", "What looks like a fault and is none", |_, a| {
                Cell::text(&a.service.quirks)
            }),
            (
                "papers",
                "Papers of approval, inspection and insurance",
                |_, a| Cell::text(&a.service.papers),
            ),
        ],
    )
}

pub(super) fn zones(book: &Book) -> Sheet {
    Sheet::of(
        "zones",
        "Places in the vehicle that share heat and wet",
        book,
        by_label::<Zone>(book),
        &[
            ("zone", "Name", |_, z| Cell::text(&z.label)),
            ("ambient_c", "Hottest ambient, °C", |_, z| z.ambient_c.into()),
            ("wet", "Whether water reaches it", |_, z| Cell::Flag(z.wet)),
            (
                "from_front_pct",
                "Where its middle lies along the vehicle, %: 0 is the front",
                |_, z| z.plan.map(|p| p.from_front_pct).into(),
            ),
            (
                "from_left_pct",
                "Where its middle lies across the vehicle, %: 0 is the left side as the driver sits",
                |_, z| z.plan.map(|p| p.from_left_pct).into(),
            ),
            ("note", "Anything else", |_, z| Cell::text(&z.note)),
        ],
    )
}

pub(super) fn bundles(book: &Book) -> Sheet {
    Sheet::of(
        "bundles",
        "Wires that lie together",
        book,
        by_label::<Bundle>(book),
        &[
            ("bundle", "Name", |_, b| Cell::text(&b.label)),
            (
                "factor",
                "Factor on the current a wire may carry, where the builder decided one",
                |_, b| b.factor.into(),
            ),
            (
                "traction_m",
                "Least way to traction cables along its run, m",
                |_, b| b.traction_m.into(),
            ),
            ("note", "Anything else", |_, b| Cell::text(&b.note)),
        ],
    )
}

pub(super) fn units(book: &Book) -> Sheet {
    Sheet::of(
        "units",
        "Things with electrical connections",
        book,
        by_label::<Unit>(book),
        &[
            ("unit", "Short name", |_, u| Cell::text(&u.label)),
            ("name", "What it is", |_, u| Cell::text(&u.name)),
            ("zone", "Where it sits", |book, u| {
                u.zone.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("manual", "Title of its manual", |_, u| {
                u.manual.as_ref().map_or(Cell::Nothing, |m| Cell::text(&m.title))
            }),
            ("manual_revision", "Revision or date of the manual", |_, u| {
                u.manual
                    .as_ref()
                    .map_or(Cell::Nothing, |m| Cell::text(&m.revision))
            }),
            ("serial", "Serial number of the one in hand", |_, u| {
                Cell::text(&u.serial)
            }),
            ("firmware", "Firmware it runs", |_, u| Cell::text(&u.firmware)),
            ("supply", "Where its supply comes from", |_, u| {
                Cell::text(&u.supply_note)
            }),
            ("note", "Anything else", |_, u| Cell::text(&u.note)),
        ],
    )
}
