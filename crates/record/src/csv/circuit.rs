//! Wires, junctions, chassis, fuses, inside parts.

use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, StateResult},
    model::{ChassisPath, Fuse, Junction, Part, Wire},
};

use super::{Cell, Column, Sheet};
use crate::{fuse, order::by_label, words};

pub(super) fn wires(book: &Book) -> Sheet {
    Sheet::of(
        "wires",
        "Conductors from one end to another",
        book,
        by_label::<Wire>(book),
        &[
            ("wire", "Short name", |_, w| Cell::text(&w.label)),
            ("signal", "What it carries", |_, w| Cell::text(&w.signal)),
            ("from", "Where it comes from", |book, w| {
                Cell::text(book.end_name(w.from))
            }),
            ("to", "Where it goes", |book, w| Cell::text(book.end_name(w.to))),
            ("area_mm2", "Conductor area, mm²", |_, w| w.area_mm2.into()),
            (
                "size_written",
                "The size as written, where it is not in mm²",
                |_, w| Cell::text(&w.size_written),
            ),
            (
                "size_table",
                "Table its size is read from, where not the workbook's",
                |_, w| {
                    w.size_table
                        .map_or(Cell::Nothing, |t| Cell::text(words::size_table(t)))
                },
            ),
            (
                "insulation_class_c",
                "Insulation class where not the workbook's, °C",
                |_, w| w.insulation_class_c.into(),
            ),
            ("colour", "Colour and tracer, letters of IEC 60757", |_, w| {
                w.colour.map_or(Cell::Nothing, |c| Cell::text(c.to_string()))
            }),
            ("colour_words", "The same in words", |_, w| {
                w.colour.map_or(Cell::Nothing, |c| Cell::text(c.words()))
            }),
            ("length_m", "Length, m", |_, w| w.length_m.into()),
            ("bundle", "Bundle it lies in", |book, w| {
                w.bundle.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("pair", "Twisted or shielded pair it belongs to", |_, w| {
                Cell::text(&w.pair)
            }),
            ("fuse_meant", "Fuse the builder means to protect it", |book, w| {
                w.fuse.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("inline_fuse", "A fuse in line with it", |book, w| {
                w.inline_fuse
                    .map_or(Cell::Nothing, |f| Cell::text(book.label_of(f.fuse)))
            }),
            (
                "inline_fuse_from_end_m",
                "Its distance from the `from` end, m",
                |_, w| w.inline_fuse.map(|f| f.from_end_m).into(),
            ),
            ("nominal_v", "Usual voltage, V", |_, w| w.nominal_v.into()),
            ("typical_a", "Usual current as planned, A", |_, w| {
                w.typical_a.into()
            }),
            ("peak_a", "Highest short current as planned, A", |_, w| {
                w.peak_a.into()
            }),
            (
                "drop_limit_v",
                "How much the wire alone may drop at its running current, V",
                |_, w| w.drop_limit_v.into(),
            ),
            ("note", "Anything else", |_, w| Cell::text(&w.note)),
        ],
    )
}

pub(super) fn junctions(book: &Book) -> Sheet {
    Sheet::of(
        "splices_and_studs",
        "Where several wires meet",
        book,
        by_label::<Junction>(book),
        &[
            ("label", "Short name", |_, j| Cell::text(&j.label)),
            ("is", "Splice, stud or ground stud", |_, j| {
                Cell::text(words::junction(j.kind))
            }),
            ("wires", "Wires that meet there", |book, j| {
                let ends = book.index().wires_at_junction.get(&j.id);
                let labels: Vec<String> = ends
                    .into_iter()
                    .flatten()
                    .map(|(wire, _)| book.label_of(*wire))
                    .collect();
                Cell::text(labels.join(", "))
            }),
            ("place", "Where to find it", |_, j| Cell::text(&j.place)),
            ("zone", "Zone", |book, j| {
                j.zone.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("unit", "The unit it belongs to", |book, j| {
                j.unit.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("joint_ohm", "Resistance of one wire's joint, Ω", |_, j| {
                j.joint_ohm.into()
            }),
            (
                "sleeve_least_mm2",
                "Least area of conductors a splice's sleeve holds, added up, mm²",
                |_, j| j.sleeve_least_mm2.into(),
            ),
            (
                "sleeve_most_mm2",
                "Most area of conductors a splice's sleeve holds, added up, mm²",
                |_, j| j.sleeve_most_mm2.into(),
            ),
            (
                "clear_m",
                "Way from a splice to the next branch or splice, m",
                |_, j| j.clear_m.into(),
            ),
            (
                "sealed",
                "Whether a splice is sealed; empty: not known",
                |_, j| j.sealed.into(),
            ),
            (
                "flexes",
                "Whether it lies where the loom moves; empty: not known",
                |_, j| j.flexes.into(),
            ),
            ("torque_nm", "Torque of a stud's nut or bolt, N·m", |_, j| {
                j.torque_nm.into()
            }),
            ("note", "Anything else", |_, j| Cell::text(&j.note)),
        ],
    )
}

pub(super) fn chassis_paths(book: &Book) -> Sheet {
    Sheet::of(
        "chassis_paths",
        "Chassis metal or a strap between two ground points",
        book,
        book.all::<ChassisPath>().values(),
        &[
            ("from", "One end", |book, p| {
                Cell::text(book.terminal_name(&p.from))
            }),
            ("to", "The other", |book, p| Cell::text(book.terminal_name(&p.to))),
            ("resistance_ohm", "Resistance, Ω", |_, p| {
                Cell::Number(p.resistance_ohm)
            }),
            ("note", "Anything else", |_, p| Cell::text(&p.note)),
        ],
    )
}

pub(super) fn fuses(see: &Snapshot) -> Sheet {
    let book = see.book();
    let mut sheet = Sheet::of(
        "fuses",
        "Fuses",
        book,
        by_label::<Fuse>(book),
        &[
            ("fuse", "Short name", |_, f| Cell::text(&f.label)),
            ("rating_a", "Rating, A", |_, f| Cell::Number(f.rating_a)),
            ("kind", "Kind, which gives its time gates", |_, f| {
                Cell::text(words::fuse_kind(f.kind))
            }),
            ("feeds", "What it feeds", |_, f| Cell::text(&f.feeds)),
            ("holder", "Where the holder is", |_, f| Cell::text(&f.holder)),
            (
                "wires_meant",
                "Wires that the builder means it to protect",
                |book, f| Cell::text(fuse::wires_meant(book, f.id).join(", ")),
            ),
            ("zone", "Zone of the holder", |book, f| {
                f.zone.map_or(Cell::Nothing, |id| Cell::text(book.label_of(id)))
            }),
            ("melting_a2s", "Melting I²t from its data sheet, A²s", |_, f| {
                f.melting_a2s.into()
            }),
            ("cold_ohm", "Resistance when cold, Ω", |_, f| f.cold_ohm.into()),
            ("rated_v", "Rated volts, V", |_, f| f.rated_v.into()),
            ("breaking_a", "Breaking capacity, A", |_, f| f.breaking_a.into()),
            (
                "ambient_factor",
                "Share of the rating left at its ambient",
                |_, f| f.ambient_factor.into(),
            ),
            ("note", "Anything else", |_, f| Cell::text(&f.note)),
        ],
    );
    sheet.add(
        "wires_traced",
        "Wires it protects as traced, down to the next fuse; empty: no source reaches it",
        by_label::<Fuse>(book)
            .iter()
            .map(|f| Cell::text(fuse::wires_traced(see, f.id).unwrap_or_default().join(", "))),
    );
    sheet
}

pub(super) fn fuse_states(see: &Snapshot) -> Sheet {
    let book = see.book();
    let row = |f: &Fuse, state: &StateResult| {
        let zone = see.protection().zone(f.id);
        vec![
            Cell::text(&f.label),
            Cell::text(book.label_of(state.state)),
            zone.map_or(Cell::Nothing, |zone| Cell::measured(zone.current_a(state))),
            fuse::is_live(see, f.id, state).into(),
        ]
    };
    Sheet {
        name: "fuse_states",
        about: "Fuses in each operating state, computed",
        columns: Column::list(&[
            ("fuse", "Short name"),
            ("state", "The state"),
            ("current_a", "Current through it, A; empty: no source reaches it"),
            ("live", "Whether its load side has volts"),
        ]),
        rows: by_label::<Fuse>(book)
            .into_iter()
            .flat_map(|f| see.states().iter().map(move |state| (f, state)))
            .map(|(f, state)| row(f, state))
            .collect(),
    }
}

pub(super) fn parts(book: &Book) -> Sheet {
    Sheet::of(
        "inside_parts",
        "Electrical elements inside units",
        book,
        by_label::<Part>(book),
        &[
            ("part", "Short name", |_, p| Cell::text(&p.label)),
            ("unit", "The unit it is inside", |book, p| {
                Cell::text(book.label_of(p.unit))
            }),
            ("is", "What it is", |_, p| Cell::text(p.kind.words())),
            ("figures", "Its figures", |book, p| {
                Cell::text(words::part(book, p))
            }),
            ("ends", "What its ends are joined to", |book, p| {
                let roles = p.kind.roles().iter().copied().chain(std::iter::repeat("end"));
                let ends: Vec<String> = roles
                    .zip(&p.ends)
                    .map(|(role, end)| format!("{role} {}", book.terminal_name(end)))
                    .collect();
                Cell::text(ends.join("; "))
            }),
            (
                "drop_limit_v",
                "What feed and return of a load may drop together, where not the usual, V",
                |_, p| p.drop_limit_v.into(),
            ),
            ("note", "Anything else", |_, p| Cell::text(&p.note)),
        ],
    )
}
