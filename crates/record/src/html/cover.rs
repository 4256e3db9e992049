//! The first page: what it is, how to be safe, how it stands.

use chrono::SecondsFormat;
use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    Book,
    check::{Finding, Level},
    log::EntryKind,
    model::{About, Cavity, Connector, Decision, Junction, JunctionKind, Part, TemporaryLink, Unit, Wire},
};

use super::{RecordInput, page::lines};
use crate::markup::{Element, el};

const CAUTIONS: &[&str] = &[
    "This record covers control wiring up to 60 V DC and nothing else. Traction wiring, insulation and mains wiring are for people who are licensed for them where you are.",
    "A check that found nothing is not an approval: it knows what was entered and no more. Road approval, inspection and insurance are matters of local rules.",
    "The makers' manuals, local codes and licensed practice win over everything that is written here.",
    "Never disable or bypass a safety system: stop chain, interlocks, inertia switch, brakes, airbags, steering lock.",
    "Before work: key off, make it safe as written below, then disconnect the 12 V battery. Measure before you touch.",
];

/// What people call the vehicle.
pub(super) fn vehicle(book: &Book) -> String {
    let about = book.all::<About>().values().next();
    about
        .map(|a| a.vehicle.trim().to_owned())
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| "Unnamed vehicle".to_owned())
}

/// The revision in words.
pub(super) fn revision(book: &Book) -> String {
    book.revision().map_or_else(
        || "not released yet".to_owned(),
        |letter| format!("revision {letter}"),
    )
}

pub(super) fn cover(input: &RecordInput<'_>) -> Element {
    let about = input.book().all::<About>().values().next();
    let purpose = about.map(|a| a.purpose.as_str()).filter(|p| !p.is_empty());
    el("header")
        .child(el("p").class("kind").text("Build record of a control harness"))
        .child(el("h1").text(vehicle(input.book())))
        .children(purpose.map(lines))
        .child(facts(input))
        .children(temporary(input.book()))
        .child(cautions())
        .child(service(about))
        .children(supply(input))
        .child(standing(input))
}

fn facts(input: &RecordInput<'_>) -> Element {
    let fact = |name: &str, value: Element| [el("dt").text(name), value];
    let hash = input.head.to_string();
    let groups: Vec<String> = hash
        .as_bytes()
        .chunks(8)
        .map(|group| String::from_utf8_lossy(group).into_owned())
        .collect();
    let made = input
        .made_at
        .to_rfc3339_opts(SecondsFormat::Secs, true)
        .replace('T', " ")
        .replace('Z', " UTC");
    let changed = since_release(input);
    el("dl")
        .class("facts")
        .children(fact("Revision", el("dd").text(format!("{}{changed}", revision(input.book())))))
        .children(fact("Made", el("dd").text(format!("{made} by {}", input.program))))
        .children(fact(
            "Verification code",
            el("dd")
                .child(el("code").text(groups.join(" ")))
                .child(el("br"))
                .text("Hash of the last entry of the change log. A copy of the workbook that shows the same code is this one, unaltered."),
        ))
}

/// Whether the plan changed after its last release.
fn since_release(input: &RecordInput<'_>) -> String {
    let design = |kind| {
        matches!(
            kind,
            EntryKind::Design | EntryKind::Import | EntryKind::Undo | EntryKind::Redo | EntryKind::Merge
        )
    };
    let mut after = None;
    for head in input.heads {
        match head.kind {
            EntryKind::Release => after = Some(0),
            kind if design(kind) => after = after.map(|n: usize| n + 1),
            _ => {}
        }
    }
    match after {
        None | Some(0) => String::new(),
        Some(1) => ", with 1 change after it".to_owned(),
        Some(n) => format!(", with {n} changes after it"),
    }
}

fn cautions() -> Element {
    el("section")
        .class("box caution")
        .child(el("h2").text("Cautions"))
        .child(el("ul").children(CAUTIONS.iter().map(|caution| el("li").text(caution))))
}

/// What was put in for a test and is still in.
fn temporary(book: &Book) -> Option<Element> {
    let links = book.all::<TemporaryLink>();
    if links.is_empty() {
        return None;
    }
    let told = links.values().map(|link| {
        el("li").text(format!(
            "{} from {} to {}, put in {}: {}",
            link.words,
            book.end_name(link.from),
            book.end_name(link.to),
            link.at.format("%Y-%m-%d"),
            link.why
        ))
    });
    Some(
        el("section")
            .class("box caution")
            .child(el("h2").text("Temporary links are in: neither released nor driven before they are out"))
            .child(el("ul").children(told)),
    )
}

fn service(about: Option<&About>) -> Element {
    let note = about
        .map(|a| a.service_note.trim())
        .filter(|note| !note.is_empty());
    el("section")
        .class("box")
        .child(el("h2").text("How it wakes, sleeps and is made safe"))
        .child(match note {
            Some(note) => lines(note),
            None => el("p").text("Nobody has written this yet. Ask the builder before you touch anything."),
        })
        .child(el("h2").text("Where it is disconnected"))
        .child(match about.map(|a| a.service.disconnect.trim()) {
            Some(place) if !place.is_empty() => lines(place),
            _ => el("p").text("not written: where to disconnect it"),
        })
}

/// Where the 12 V supply is parted from the loom, and what it passes first: for who must cut it without knowing the vehicle.
fn supply(input: &RecordInput<'_>) -> Option<Element> {
    let (see, book) = (input.snapshot, input.book());
    let placed = |unit: &Unit| {
        unit.zone
            .map_or_else(String::new, |zone| format!(", in {}", book.label_of(zone)))
    };
    let mut told: Vec<String> = Vec::new();
    for zone in see.protection().zones.iter().filter(|zone| zone.above.is_none()) {
        let source = see.wiring().parts.get(zone.source);
        let unit = source
            .and_then(|run| book.get::<Part>(run.part))
            .and_then(|part| book.get(part.unit));
        let (Some(fuse), Some(unit)) = (book.get(zone.fuse), unit) else {
            continue;
        };
        let holder = match fuse.holder.as_str() {
            "" => String::new(),
            place => format!(" ({place})"),
        };
        let first = format!(
            "{} {}{}: first fuse {}, {}{holder}",
            unit.label,
            unit.name,
            placed(unit),
            fuse.label,
            Kind::Current.print(fuse.rating_a)
        );
        told.push(first);
    }
    let studs = book.all::<Junction>().values();
    for stud in studs.filter(|j| j.kind == JunctionKind::Stud) {
        let place = if stud.place.is_empty() {
            "place not told"
        } else {
            &stud.place
        };
        told.push(format!("{}: {place}", stud.label));
    }
    if told.is_empty() {
        return None;
    }
    Some(
        el("section")
            .class("box")
            .child(el("h2").text("Where the 12 V supply begins"))
            .child(el("ul").children(told.into_iter().map(|line| el("li").text(line))))
            .child(el("p").text(
                "Orange cables carry traction voltage; they and what they lead to are for people licensed for it. Units with a \
                 supply of their own can be live with the 12 V battery off.",
            )),
    )
}

fn standing(input: &RecordInput<'_>) -> Element {
    let book = input.book();
    let decided =
        |is: fn(&Decision) -> bool| book.all::<Cavity>().values().filter(|c| is(&c.decision)).count();
    let undecided = decided(|d| *d == Decision::Undecided);
    let cavities = book.all::<Cavity>().len();
    let plan = format!(
        "{} connectors with {cavities} cavities: {} decided, {undecided} undecided. {} wires.",
        book.all::<Connector>().len(),
        cavities - undecided,
        book.all::<Wire>().len(),
    );
    el("section")
        .class("box")
        .child(el("h2").text("How it stands"))
        .child(
            el("dl")
                .class("facts")
                .children([el("dt").text("Plan"), el("dd").text(plan)])
                .children([el("dt").text("Build"), el("dd").text(super::build::summary(book))])
                .children([el("dt").text("Checks"), el("dd").text(checks(input))]),
        )
        .children(open_stops(input))
}

fn checks(input: &RecordInput<'_>) -> String {
    let count = |level: Level, accepted: bool| {
        let is = |f: &&Finding| f.level == level && f.is_accepted() == accepted;
        input.report.all().filter(is).count()
    };
    let levels = [Level::Stop, Level::Warning, Level::Note].map(|level| {
        let accepted = match count(level, true) {
            0 => String::new(),
            n => format!(" and {n} accepted"),
        };
        format!("{} {}{accepted}", count(level, false), plural(level))
    });
    format!(
        "Open: {}. {} facts are missing for other checks.",
        levels.join(", "),
        input.report.cannot_check.len()
    )
}

fn plural(level: Level) -> &'static str {
    match level {
        Level::Stop => "stops",
        Level::Warning => "warnings",
        Level::Note => "notes",
    }
}

/// Stops by name: who reads no further than the first page must see them.
fn open_stops(input: &RecordInput<'_>) -> Option<Element> {
    let stops: Vec<Element> = input
        .report
        .all()
        .filter(|f| f.level == Level::Stop && !f.is_accepted())
        .map(|f| {
            el("li")
                .child(super::findings::mark(Level::Stop))
                .text(format!(" {}", f.sentence))
        })
        .collect();
    (!stops.is_empty()).then(|| el("ul").class("stops").children(stops))
}
