//! Rows of cavities.

use std::collections::HashMap;

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    edit::make::{WireDraft, cavity_row},
    model::{Cavity, Connector, Decision, End, Id, Limits},
};

use super::{
    Field, Named,
    cell::yes_no,
    cells::Cells,
    kind,
    number::{numbers, short},
    taking::{Taking, set},
};

/// Takes every row.
pub fn take(taking: &mut Taking<'_>, connector: Option<Id<Connector>>, rows: &[Cells]) {
    // The row that spoke of a cavity first.
    let mut seen: HashMap<Id<Cavity>, &Cells> = HashMap::new();
    let mut known: HashMap<(Id<Connector>, String), Id<Cavity>> = taking
        .book
        .all::<Cavity>()
        .values()
        .map(|c| ((c.connector, c.number.to_lowercase()), c.id))
        .collect();
    for cells in rows {
        let Some(connector) = connector_of(taking, connector, cells) else {
            continue;
        };
        let Some(text) = cells.get(Field::Number) else {
            taking.row_problem(cells.line, "no cavity number stands here; the row is left out");
            continue;
        };
        let is_known = |number: &str| known.contains_key(&(connector, number.to_lowercase()));
        let named = match numbers(text, is_known) {
            Ok(named) => named,
            Err(sentence) => {
                taking.row_problem(cells.line, format!("{sentence}; the row is left out"));
                continue;
            }
        };
        let mut targets = Vec::new();
        for number in &named {
            let place = (connector, number.to_lowercase());
            let id = match known.get(&place) {
                Some(id) => *id,
                None if has_face(taking, connector) => {
                    let label = taking.book.label_of(connector);
                    taking.row_problem(
                        cells.line,
                        format!(
                            "{label} has no cavity {}, as its face is described; it is left out",
                            short(number)
                        ),
                    );
                    continue;
                }
                None => {
                    let row = cavity_row(taking.ids.make(), connector, number);
                    let id = row.id;
                    taking.draft.make_cavity(row, cells.line);
                    known.insert(place, id);
                    id
                }
            };
            match seen.get(&id) {
                Some(first) if first.says_the_same(cells) => {}
                Some(first) => {
                    let first = first.line;
                    taking.row_problem(
                        cells.line,
                        format!("cavity {number} stands on line {first} already, with other words; this one is left out"),
                    );
                }
                None => {
                    seen.insert(id, cells);
                    targets.push(id);
                }
            }
        }
        if !targets.is_empty() {
            row(taking, connector, cells, &targets);
        }
    }
}

/// The connector of a row. `told`: the one that the table is for.
fn connector_of(
    taking: &mut Taking<'_>,
    told: Option<Id<Connector>>,
    cells: &Cells,
) -> Option<Id<Connector>> {
    let Some(text) = cells.get(Field::Connector) else {
        if told.is_none() {
            taking.row_problem(cells.line, "no connector stands here; the row is left out");
        }
        return told;
    };
    let known = taking.book.index().labelled::<Connector>(text);
    if known.is_some() && (told.is_none() || told == known) {
        return known;
    }
    let place = text.to_lowercase();
    let goes = taking.options.rows.get(&place).copied().flatten();
    let named = taking.named.entry(place).or_insert_with(|| Named {
        name: text.to_owned(),
        known,
        goes,
        lines: Vec::new(),
    });
    named.lines.push(cells.line);
    if goes.is_none() {
        let sentence = match (known, told) {
            (Some(_), Some(told)) => {
                let label = taking.book.label_of(told);
                format!("is of {}, not of {label}; the row is left out", short(text))
            }
            _ => format!("no connector is called {}; the row is left out", short(text)),
        };
        taking.row_problem(cells.line, sentence);
    }
    goes
}

/// Whether the connector's face says which cavities there are.
fn has_face(taking: &Taking<'_>, connector: Id<Connector>) -> bool {
    let described = taking
        .book
        .get(connector)
        .is_some_and(|c| !c.face.trim().is_empty());
    described && !taking.book.cavities_of(connector).is_empty()
}

/// What a row says of each of its cavities.
fn row(taking: &mut Taking<'_>, connector: Id<Connector>, cells: &Cells, targets: &[Id<Cavity>]) {
    let text = |field| cells.get(field).map(str::to_owned);
    let function = text(Field::Function);
    let kind = taking.read(cells, Field::Kind, kind::find).or_else(|| {
        let told = function.as_deref().filter(|_| !cells.clears(Field::Kind));
        told.and_then(kind::of_function)
    });
    let contact = taking.contact(cells);
    let plug = taking.read(cells, Field::Plug, |text| {
        yes_no(text).ok_or_else(|| format!("{} is neither yes nor no", short(text)))
    });
    let book = taking.book;
    let decision = taking.read(cells, Field::Decision, |text| decided(book, connector, text));
    let volts = |taking: &mut Taking<'_>, field| taking.figure(cells, field, Kind::Voltage);
    let limits = Limits {
        on_above_v: volts(taking, Field::OnAbove),
        off_below_v: volts(taking, Field::OffBelow),
        on_below_v: volts(taking, Field::OnBelow),
        off_above_v: volts(taking, Field::OffAbove),
        most_v: volts(taking, Field::HighestVoltage),
        most_a: taking.figure(cells, Field::Current, Kind::Current),
        peak_a: taking.figure(cells, Field::Peak, Kind::Current),
        least_a: taking.figure(cells, Field::LeastCurrent, Kind::Current),
        release_s: taking.figure(cells, Field::Release, Kind::Time),
        rest_v: volts(taking, Field::Rest),
        full_v: volts(taking, Field::Full),
        sensor_ohm: taking.figure(cells, Field::SensorOhm, Kind::Resistance),
        sensor_tolerance_pct: taking.figure(cells, Field::SensorOff, Kind::Share),
        sensor_pct_per_k: taking.figure(cells, Field::SensorPerK, Kind::Share),
        ..Limits::default()
    };
    let sealed = book.get(connector).is_some_and(|c| c.sealed == Some(true));
    for id in targets {
        let Some(cavity) = taking.draft.cavity(*id, cells.line) else {
            continue;
        };
        for (slot, field, text) in [
            (&mut cavity.name, Field::Function, function.clone()),
            (
                &mut cavity.unit_number,
                Field::UnitNumber,
                text(Field::UnitNumber),
            ),
            (&mut cavity.page, Field::Page, text(Field::Page)),
            (&mut cavity.why, Field::Why, text(Field::Why)),
            (&mut cavity.note, Field::Note, text(Field::Note)),
        ] {
            if cells.clears(field) {
                slot.clear();
            }
            if let Some(text) = text {
                *slot = text;
            }
        }
        set(cells, Field::Kind, &mut cavity.kind, kind);
        set(cells, Field::Contact, &mut cavity.contact, contact);
        merge(cells, &mut cavity.limits, &limits);
        if let Some(decision) = decision {
            cavity.decision = decision;
            match decision {
                Decision::Blank | Decision::Reserved if sealed => cavity.plug = true,
                Decision::Wired => cavity.plug = false,
                _ => {}
            }
        }
        cavity.plug = plug.unwrap_or(cavity.plug);
    }
    wire(taking, cells, targets, function.as_deref());
}

fn merge(cells: &Cells, into: &mut Limits, from: &Limits) {
    let put = |field, slot: &mut Option<f64>, value| set(cells, field, slot, value);
    put(Field::OnAbove, &mut into.on_above_v, from.on_above_v);
    put(Field::OffBelow, &mut into.off_below_v, from.off_below_v);
    put(Field::OnBelow, &mut into.on_below_v, from.on_below_v);
    put(Field::OffAbove, &mut into.off_above_v, from.off_above_v);
    put(Field::HighestVoltage, &mut into.most_v, from.most_v);
    put(Field::Current, &mut into.most_a, from.most_a);
    put(Field::Peak, &mut into.peak_a, from.peak_a);
    put(Field::LeastCurrent, &mut into.least_a, from.least_a);
    put(Field::Release, &mut into.release_s, from.release_s);
    put(Field::Rest, &mut into.rest_v, from.rest_v);
    put(Field::Full, &mut into.full_v, from.full_v);
    put(Field::SensorOhm, &mut into.sensor_ohm, from.sensor_ohm);
    put(
        Field::SensorOff,
        &mut into.sensor_tolerance_pct,
        from.sensor_tolerance_pct,
    );
    put(
        Field::SensorPerK,
        &mut into.sensor_pct_per_k,
        from.sensor_pct_per_k,
    );
}

fn decided(
    book: &crimpbook_workbook::Book,
    connector: Id<Connector>,
    text: &str,
) -> Result<Decision, String> {
    let lower = text.to_lowercase();
    for head in ["bridged to ", "bridge to ", "looped to "] {
        let Some(to) = lower.strip_prefix(head) else {
            continue;
        };
        let cavities = book.cavities_of(connector);
        let number = cavities
            .iter()
            .find(|c| c.number.eq_ignore_ascii_case(to.trim()))
            .map(|c| c.id);
        return number
            .or_else(|| book.find_cavity(to))
            .map(|to| Decision::Bridged { to })
            .ok_or_else(|| format!("there is no cavity {} to bridge to", short(to)));
    }
    match lower.as_str() {
        "wired" | "used" => Ok(Decision::Wired),
        "blank" | "open" | "left open" | "empty" => Ok(Decision::Blank),
        "reserved" | "kept" | "for later" => Ok(Decision::Reserved),
        "not ours" => Ok(Decision::NotOurs),
        "undecided" => Ok(Decision::Undecided),
        _ => Err(format!(
            "{} is no decision; write wired, blank, reserved, not ours, undecided or bridged to N",
            short(text)
        )),
    }
}

/// What a row says of the wire in its cavity: the one it names, else the only one that ends there. A label that is not
/// there yet makes a wire to this cavity; the same label at a second cavity is its other end.
fn wire(taking: &mut Taking<'_>, cells: &Cells, targets: &[Id<Cavity>], function: Option<&str>) {
    let fields = taking.wire_fields(cells, false);
    let label = cells.get(Field::Wire);
    let [cavity] = targets else {
        if label.is_some() || !fields.is_empty() {
            taking.cell_problem(
                cells.line,
                Field::Wire,
                "one row for several cavities says nothing of a wire; left out",
            );
        }
        return;
    };
    let Some(label) = label else {
        match (taking.draft.wire_at(*cavity), fields.is_empty()) {
            (None, true) => {}
            (Some(_), true) if !fields.clears() => {}
            (Some(id), _) => {
                if let Some(wire) = taking.draft.wire(id, cells.line) {
                    fields.put(wire);
                }
            }
            (None, false) => taking.cell_problem(
                cells.line,
                Field::Wire,
                "colour, size or length are of a wire, but the row names none and not just one ends there; left out",
            ),
        }
        return;
    };
    let end = End::Cavity(*cavity);
    match taking.draft.wire_labelled(label) {
        Some(id) => {
            let here = |wire: &mut crimpbook_workbook::model::Wire| [wire.from, wire.to].contains(&end);
            let ends_here = taking.draft.wire(id, cells.line).is_some_and(here);
            if !ends_here && !taking.draft.end_here(id, end, cells.line) {
                taking.cell_problem(
                    cells.line,
                    Field::Wire,
                    format!("wire {} has two other ends already; left out", short(label)),
                );
            } else if let Some(wire) = taking.draft.wire(id, cells.line) {
                fields.put(wire);
            }
        }
        None => {
            let draft = WireDraft {
                label: label.to_owned(),
                signal: function.unwrap_or_default().to_owned(),
                to: end,
                ..WireDraft::default()
            };
            let mut wire = draft.row(taking.ids.make(), label.to_owned());
            fields.put(&mut wire);
            taking.draft.make_wire(wire, cells.line);
        }
    }
}
