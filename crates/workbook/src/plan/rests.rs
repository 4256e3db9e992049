//! What a build step rests on: the facts of the plan that, when they change, send it back to be redone.

use super::StepOf;
use crimpbook_core::quantity::rounded;

use super::steps::needs_plug;
use crate::{
    Book,
    model::{
        About, Built, Cavity, Connector, End, Id, Junction, Key, Rest, SizeTable, Step, Wire, WireEnd,
        face::Face,
    },
};

/// A fact of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The record, the group of its fields and the value as people read it.
    pub rest: Rest,
    /// What is compared: a renamed contact family is still the same one.
    pub(crate) same: String,
}

/// A fact that is compared as it is told.
pub(crate) fn fact(on: Key, group: &str, value: String) -> Fact {
    Fact {
        same: value.clone(),
        rest: Rest {
            on,
            group: group.to_owned(),
            value,
        },
    }
}

/// What a step rests on, to be kept with the tick.
pub fn rests(book: &Book, step: StepOf) -> Vec<Rest> {
    facts(book, step).into_iter().map(|fact| fact.rest).collect()
}

/// What a step rests on.
pub fn facts(book: &Book, step: StepOf) -> Vec<Fact> {
    match step.of {
        Built::Wire(id) => match book.get(id) {
            Some(wire) => whole_wire(book, wire, step.step),
            None => Vec::new(),
        },
        Built::End { wire, end } => match book.get(wire) {
            Some(wire) => one_end(book, wire, end, step.step),
            None => Vec::new(),
        },
        Built::Connector(id) => whole_connector(book, id, step.step),
        Built::Junction(id) => whole_junction(book, id),
    }
}

/// The facts of a step that differ, each in words (`W44: size changed from 0.35 to 0.5 mm²`).
///
/// What was not stated of a contact, a sealing or a face before is nothing the step rested on.
pub fn changed_facts(before: &Book, after: &Book, step: StepOf) -> Vec<String> {
    let new = facts(after, step);
    let mut changed = Vec::new();
    for old in facts(before, step) {
        let same_fact = |f: &&Fact| f.rest.on == old.rest.on && f.rest.group == old.rest.group;
        match new.iter().find(same_fact) {
            Some(now) if now.same != old.same => changed.push(told(before, &old.rest, &now.rest)),
            Some(_) => {}
            // Its place is another record now (another cavity, another contact family): told by the end that moved.
            None => {}
        }
    }
    changed
}

/// The facts of a step that differ from what it rested on when it was ticked, each in words.
pub fn differs_from(book: &Book, step: StepOf, rested_on: &[Rest]) -> Vec<String> {
    let now = facts(book, step);
    let mut differs = Vec::new();
    for old in rested_on {
        let same_fact = |f: &&Fact| f.rest.on == old.on && f.rest.group == old.group;
        let now = now.iter().find(same_fact);
        differs.extend(
            now.filter(|now| now.rest.value != old.value)
                .map(|now| told(book, old, &now.rest)),
        );
    }
    differs
}

/// How a fact changed, in words.
pub(crate) fn told(book: &Book, old: &Rest, new: &Rest) -> String {
    let name = match old.on.as_id::<Wire>() {
        Some(wire) => book.label_of(wire),
        None => match old.on.as_id::<Cavity>() {
            Some(cavity) => book.cavity_name(cavity),
            None => book
                .tables()
                .get(old.on)
                .map_or_else(String::new, |r| r.label().to_owned()),
        },
    };
    match old.group.as_str() {
        "from" | "to" => format!("{name}: moved from {} to {}", old.value, new.value),
        // A list says no more than that, and the wire that changed says the rest; so does a whole face.
        "wires" | "empty cavities" | "face" => format!("{name}: {} changed", old.group),
        group => {
            // `0.35 to 0.5 mm²` reads better than the unit twice.
            let unit = UNITS.iter().find(|unit| new.value.ends_with(*unit));
            let from = unit.and_then(|unit| old.value.strip_suffix(unit));
            format!(
                "{name}: {group} changed from {} to {}",
                from.unwrap_or(&old.value),
                new.value
            )
        }
    }
}

/// As they follow a figure.
const UNITS: &[&str] = &[" mm²", " mm", " m", " °C"];

/// What a wire is and where it goes.
pub(crate) fn wire_facts(book: &Book, wire: &Wire) -> Vec<Fact> {
    let mut facts = stuff(book, wire);
    facts.extend([place(book, wire, WireEnd::From), place(book, wire, WireEnd::To)]);
    facts
}

fn stuff(book: &Book, wire: &Wire) -> Vec<Fact> {
    let on = Key::of(wire.id);
    let page = book.all::<About>().values().next();
    let table = wire.size_table.or(page.map(|a| a.size_table)).unwrap_or_default();
    let class = wire
        .insulation_class_c
        .or(page.and_then(|a| a.insulation_class_c));
    vec![
        figure(on, "size", wire.area_mm2, "mm²"),
        fact(on, "size table", table_words(table).to_owned()),
        fact(
            on,
            "colour",
            wire.colour.map_or_else(not_given, |c| c.to_string()),
        ),
        figure(on, "insulation class", class, "°C"),
        figure(on, "length", wire.length_m, "m"),
    ]
}

fn whole_wire(book: &Book, wire: &Wire, step: Step) -> Vec<Fact> {
    let on = Key::of(wire.id);
    let mut facts = stuff(book, wire);
    match step {
        Step::Cut | Step::JacketBack | Step::Drain | Step::ShieldEnd => {}
        Step::Twist => facts.push(fact(on, "pair", wire.pair.clone())),
        // The text on the label: the wire and where it goes, by name.
        Step::Label => {
            facts.push(fact(on, "label", wire.label.clone()));
            facts.push(fact(on, "from", book.end_name(wire.from)));
            facts.push(fact(on, "to", book.end_name(wire.to)));
        }
        _ => return wire_facts(book, wire),
    }
    facts
}

fn one_end(book: &Book, wire: &Wire, end: WireEnd, step: Step) -> Vec<Fact> {
    let mut facts = stuff(book, wire);
    facts.push(place(book, wire, end));
    let End::Cavity(id) = end_of(wire, end) else {
        return facts;
    };
    let Some(cavity) = book.get(id) else { return facts };
    if let Some(family) = cavity.contact.and_then(|c| book.get(c)) {
        let mut contact = fact(Key::of(id), "contact", family.label.clone());
        contact.same = family.id.to_string();
        facts.push(contact);
        if step != Step::Seal && family.strip_mm.is_some() {
            facts.push(figure(
                Key::of(family.id),
                "length to strip",
                family.strip_mm,
                "mm",
            ));
        }
    }
    if let Some(connector) = book.get(cavity.connector) {
        if let Some(sealed) = connector.sealed {
            let words = if sealed { "sealed" } else { "unsealed" };
            facts.push(fact(Key::of(connector.id), "sealing", words.to_owned()));
        }
        if step == Step::Insert {
            facts.push(fact(Key::of(id), "number", cavity.number.clone()));
            if let Ok(face) = Face::parse(&connector.face) {
                facts.push(fact(Key::of(connector.id), "face", face.to_string()));
            }
        }
    }
    facts
}

/// Where an end goes; the same as long as it is the same record, whatever its name.
fn place(book: &Book, wire: &Wire, end: WireEnd) -> Fact {
    let at = end_of(wire, end);
    let group = match end {
        WireEnd::From => "from",
        WireEnd::To => "to",
    };
    let mut fact = fact(Key::of(wire.id), group, book.end_name(at));
    fact.same = match at {
        End::Cavity(id) => format!("cavity {id}"),
        End::Junction(id) => format!("junction {id}"),
        End::Free => "free".to_owned(),
    };
    fact
}

fn end_of(wire: &Wire, end: WireEnd) -> End {
    match end {
        WireEnd::From => wire.from,
        WireEnd::To => wire.to,
    }
}

fn whole_connector(book: &Book, id: Id<Connector>, step: Step) -> Vec<Fact> {
    let cavities = book.cavities_of(id);
    if step == Step::Plugs {
        let empty = cavities.iter().filter(|c| needs_plug(book, c));
        let numbers: Vec<&str> = empty.map(|c| c.number.as_str()).collect();
        return vec![fact(Key::of(id), "empty cavities", numbers.join(" "))];
    }
    let mut wires = Vec::new();
    for cavity in cavities {
        for (wire, _) in book.index().wires_at_cavity.of(&cavity.id) {
            wires.push((cavity.number.clone(), *wire));
        }
    }
    let words = wires
        .iter()
        .map(|(number, wire)| format!("{number} {}", in_words(book, *wire)));
    let mut told = fact(Key::of(id), "wires", words.collect::<Vec<_>>().join("; "));
    // A wire that is made anew comes out and goes in again.
    told.same = wires
        .iter()
        .map(|(number, wire)| format!("{number} {wire} {}", stuff_of(book, *wire)))
        .collect();
    vec![told]
}

fn whole_junction(book: &Book, id: Id<Junction>) -> Vec<Fact> {
    let ends = book.index().wires_at_junction.of(&id);
    let words: Vec<String> = ends.iter().map(|(wire, _)| in_words(book, *wire)).collect();
    let mut told = fact(Key::of(id), "wires", words.join("; "));
    told.same = ends
        .iter()
        .map(|(wire, _)| format!("{wire} {}", stuff_of(book, *wire)))
        .collect();
    vec![told]
}

/// A wire with what it is made of, so that a wire made anew is told from the one that was built.
fn in_words(book: &Book, wire: Id<Wire>) -> String {
    let facts = book.get(wire).map(|w| stuff(book, w)).unwrap_or_default();
    let mut words = book.label_of(wire);
    for fact in facts {
        words.push_str(", ");
        words.push_str(&fact.rest.value);
    }
    words
}

fn stuff_of(book: &Book, wire: Id<Wire>) -> String {
    let facts = book.get(wire).map(|w| stuff(book, w)).unwrap_or_default();
    facts.iter().map(|f| format!("{};", f.same)).collect()
}

/// A figure: told rounded (half an inch is 12.7 mm, not 12.699999999999998), compared as it is.
pub(crate) fn figure(on: Key, group: &str, value: Option<f64>, unit: &str) -> Fact {
    let told = |v: f64| format!("{} {unit}", rounded(v));
    let mut fact = fact(on, group, value.map_or_else(not_given, told));
    fact.same = format!("{value:?}");
    fact
}

fn not_given() -> String {
    "not given".to_owned()
}

fn table_words(table: SizeTable) -> &'static str {
    match table {
        SizeTable::Iso6722 => "ISO 6722",
        SizeTable::Iec60228Class5 => "IEC 60228 class 5",
        SizeTable::Awg => "AWG",
    }
}
