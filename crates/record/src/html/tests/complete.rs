//! Every cavity, wire and fuse of the book stands in the record as it is.

use std::{collections::HashMap, sync::LazyLock};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::Report,
    model::{
        Cavity, Connector, Decision, End, FileNote, FirstRunStep, Fuse, Setting, StepDone, Trial, Unit, Wire,
    },
};

use roxmltree::Node;

use super::{by_id, cells, made, text, tree};
use crate::{json::read, sample};

const DEMO: &str = include_str!("../../../../../demo/marrowby-pipit.json");

/// The demonstration as it was made, and its record; made once, since its states take a second to compute without
/// optimising.
pub(super) static DEMONSTRATION: LazyLock<(Book, String)> = LazyLock::new(|| {
    let entries = read(DEMO).unwrap().into_entries(sample::stamp(0)).unwrap();
    let book = sample::replay(&entries);
    let page = made(&book, &entries, &Report::default());
    (book, page)
});

fn has(cell: &str, what: &str, of: &str) {
    assert!(cell.contains(what), "{of}: {cell:?} lacks {what:?}");
}

/// Holds a record against its book.
fn compare(book: &Book, page: &str) {
    let tree = tree(page);
    let ids: HashMap<&str, Node<'_, '_>> = tree
        .descendants()
        .filter_map(|n| Some((n.attribute("id")?, n)))
        .collect();
    let row = |id: String| {
        *ids.get(id.as_str())
            .unwrap_or_else(|| panic!("nothing has the id {id}"))
    };
    for cavity in book.all::<Cavity>().values() {
        let name = book.cavity_name(cavity.id);
        let row_of = row(format!("cavity-{}", cavity.id));
        let section = row_of
            .ancestors()
            .find(|n| n.attribute("class").is_some_and(|c| c.starts_with("connector")))
            .unwrap();
        assert_eq!(
            section.attribute("id"),
            Some(format!("connector-{}", cavity.connector).as_str())
        );
        let cells = cells(row_of);
        assert_eq!(cells["No."], cavity.number);
        assert_eq!(cells["Page"], cavity.page, "{name}");
        has(&cells["Function"], &cavity.name, &name);
        has(
            &cells["Function"],
            cavity.kind.map_or("kind not known", |k| k.words()),
            &name,
        );
        has(&cells["Decision and why"], cavity.decision.words(), &name);
        has(&cells["Decision and why"], &cavity.why, &name);
        if let Decision::Bridged { to } = cavity.decision {
            has(&cells["Decision and why"], &book.cavity_name(to), &name);
        }
        let mut wires: Vec<&Wire> = Vec::new();
        for wire in book.all::<Wire>().values() {
            for (near, far) in [(wire.from, wire.to), (wire.to, wire.from)] {
                if near == End::Cavity(cavity.id) {
                    wires.push(wire);
                    has(&cells["Far end"], &book.end_name(far), &name);
                }
            }
        }
        if wires.is_empty() {
            assert_eq!(cells["Wire"], "", "{name}");
        }
        for wire in wires {
            has(&cells["Wire"], &wire.label, &name);
            has(
                &cells["Colour"],
                &wire.colour.map(|c| c.to_string()).unwrap_or_default(),
                &name,
            );
            has(
                &cells["Size"],
                &wire.area_mm2.map(|a| format!("{a} mm²")).unwrap_or_default(),
                &name,
            );
        }
    }
    for wire in book.all::<Wire>().values() {
        let cells = cells(row(format!("wire-{}", wire.id)));
        assert_eq!(cells["Wire"], wire.label);
        has(&cells["Signal"], &wire.signal, &wire.label);
        assert_eq!(cells["From"], book.end_name(wire.from), "{}", wire.label);
        assert_eq!(cells["To"], book.end_name(wire.to), "{}", wire.label);
        assert_eq!(
            cells["Colour"].trim(),
            wire.colour.map(|c| c.to_string()).unwrap_or_default()
        );
        assert_eq!(
            cells["Length"],
            wire.length_m.map(|m| format!("{m} m")).unwrap_or_default()
        );
        assert_eq!(
            cells["Fuse meant"],
            wire.fuse.map(|id| book.label_of(id)).unwrap_or_default()
        );
    }
    for fuse in book.all::<Fuse>().values() {
        let cells = cells(row(format!("fuse-{}", fuse.id)));
        assert_eq!(cells["Fuse"], fuse.label);
        has(&cells["Rating"], &format!("{} A", fuse.rating_a), &fuse.label);
        has(&cells["Feeds"], &fuse.feeds, &fuse.label);
        // A wire that is meant and not traced is named as such, so that every meant one stands there.
        for wire in book.all::<Wire>().values().filter(|w| w.fuse == Some(fuse.id)) {
            has(&cells["Wires"], &wire.label, &fuse.label);
        }
    }
    for unit in book.all::<Unit>().values() {
        let cells = cells(row(format!("unit-{}", unit.id)));
        assert_eq!(
            (cells["Serial number"].as_str(), cells["Firmware"].as_str()),
            (&*unit.serial, &*unit.firmware)
        );
    }
    let everything = text(tree.root());
    for setting in book.all::<Setting>().values() {
        has(&everything, &setting.label, "settings");
        has(&everything, &setting.default_value, "what a setting comes with");
    }
    for trial in book.all::<Trial>().values() {
        for said in [
            &trial.place,
            &trial.conditions,
            &trial.changed,
            &trial.felt,
            &trial.next,
        ] {
            has(&everything, said, "trials");
        }
        for mark in &trial.marks {
            has(&everything, &format!("{} {}", mark.name, mark.mark), "marks");
        }
    }
    for step in FirstRunStep::ALL {
        has(&everything, step.caution(), "cautions of the first run");
    }
    for file in book.all::<FileNote>().values() {
        has(&everything, &file.name, "photos and files");
    }
}

#[test]
fn the_samples_record_is_complete() {
    let (book, entries) = sample::logged();
    compare(&book, &made(&book, &entries, &Report::default()));
}

#[test]
fn the_demos_record_is_complete() {
    let (book, page) = &*DEMONSTRATION;
    assert!(book.all::<Wire>().len() >= 90);
    compare(book, page);
}

#[test]
fn both_faces_of_every_connector_say_their_side_and_hold_every_number() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    for connector in book.all::<Connector>().values() {
        let section = by_id(&tree, &format!("connector-{}", connector.id));
        let faces: Vec<_> = section
            .descendants()
            .filter(|n| n.attribute("class") == Some("face"))
            .collect();
        assert_eq!(faces.len(), 2, "{}", connector.label);
        for (face, side) in faces.iter().zip(["wire side", "mating side"]) {
            assert_eq!(face.attribute("role"), Some("img"));
            let title = face
                .children()
                .find(|n| n.has_tag_name((face.tag_name().namespace().unwrap(), "title")))
                .unwrap();
            has(&text(title), &connector.label, "title");
            has(&text(title), side, "title");
            let drawn: Vec<String> = face
                .descendants()
                .filter(|n| n.attribute("font-weight") == Some("bold"))
                .map(text)
                .filter(|t| t != "?")
                .collect();
            for cavity in book.cavities_of(connector.id) {
                assert!(
                    drawn.contains(&cavity.number),
                    "{} {side}: {}",
                    connector.label,
                    cavity.number
                );
            }
            let caption = face
                .parent()
                .unwrap()
                .children()
                .find(|n| n.has_tag_name("figcaption"))
                .unwrap();
            has(&text(caption), side, "caption");
        }
    }
}

#[test]
fn the_wire_side_is_the_mirror_image() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let connector = book.index().labelled::<Connector>("MC-A").unwrap();
    let section = by_id(&tree, &format!("connector-{connector}"));
    let places = |face: roxmltree::Node<'_, '_>| {
        let width: f64 = face.attribute("width").unwrap().parse().unwrap();
        let holes = face.children().filter_map(|n| {
            let place = n
                .attribute("transform")?
                .strip_prefix("translate(")?
                .trim_end_matches(')')
                .to_owned();
            let (x, y) = place.split_once(' ')?;
            let number = n
                .descendants()
                .find(|n| n.attribute("font-weight") == Some("bold"))?;
            Some((text(number), x.parse::<f64>().unwrap(), y.parse::<f64>().unwrap()))
        });
        (width, holes.collect::<Vec<_>>())
    };
    let faces: Vec<_> = section
        .descendants()
        .filter(|n| n.attribute("class") == Some("face"))
        .collect();
    let ((width, wire), (_, mating)) = (places(faces[0]), places(faces[1]));
    assert_eq!((wire.len(), mating.len()), (35, 35));
    for ((number, x, y), (other, mirrored, same)) in wire.iter().zip(&mating) {
        assert_eq!(number, other);
        assert!(
            (x + mirrored - width).abs() < 1.0 && (y - same).abs() < 0.1,
            "{number}"
        );
    }
    // As the plan says: from the lower left, seen from the mating side.
    let one = mating.iter().find(|(number, _, _)| number == "1").unwrap();
    assert!(mating.iter().all(|(_, x, y)| one.1 <= *x && one.2 >= *y));
}

#[test]
fn build_and_changes_are_told_with_who_and_when() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &Report::default());
    let tree = tree(&page);
    let build = text(by_id(&tree, "build"));
    assert_eq!(book.all::<StepDone>().len(), 3);
    for told in [
        "0 of 6 wires complete; 1 of ",
        "1 failed, 1 to be redone",
        "✓ cut A. Nether, 2031-05-04",
        "✗ failed: crimp at MC-A1. strand outside the barrel A. Nether, 2031-05-04",
        "○ label both ends; strip, crimp, insert at PB-A1; seal on, strip, insert at MC-A1; continuity, not shorted",
        "W240 of 11\n○ not begun",
        "✗ to be redone: insert at MC-A3. W44: size changed from 0.75 to 0.5 mm²",
        "11.92 V",
        "no longer counts: W44: size changed from 0.35 to 0.1 mm²",
        "2.2 W lamp",
    ] {
        has(&build, told, "build");
    }
    let log = text(by_id(&tree, "log"));
    has(&log, "W44: size 0.35 → 0.5 mm²F6 is too big for 0.35", "log");
    has(&log, "Revision A. ", "log");
    let cover = text(tree.descendants().find(|n| n.has_tag_name("header")).unwrap());
    has(&cover, "revision A, with 1 change after it", "cover");
    has(&cover, "Sleeps 90 s after the key is off.", "cover");
    has(&cover, "60 V DC", "cover");
}

/// What the demonstration's own page says: keep-alive is live with key off, the key rail is not.
#[test]
fn fuses_say_whether_they_are_live_with_key_off() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    for (label, live) in [
        ("F1", "● live"),
        ("F6", "● live"),
        ("F2", "○ dead"),
        ("F3", "○ dead"),
        ("F0", "● live"),
    ] {
        let fuse = book.index().labelled::<Fuse>(label).unwrap();
        let cells = cells(by_id(&tree, &format!("fuse-{fuse}")));
        assert_eq!(cells["Live in OFF"], live, "{label}");
    }
}

#[test]
fn volts_are_those_that_are_computed() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let see = Snapshot::of(book);
    let (mut compared, mut apart) = (0, 0);
    for table in tree
        .descendants()
        .filter(|n| n.attribute("class") == Some("volts"))
    {
        let caption = text(table.children().find(|n| n.has_tag_name("caption")).unwrap());
        let connector = book
            .index()
            .labelled::<Connector>(
                caption
                    .strip_prefix("Volts at ")
                    .and_then(|c| c.split(", ").next())
                    .unwrap(),
            )
            .unwrap();
        let body = table.children().find(|n| n.has_tag_name("tbody")).unwrap();
        for row in body.children().filter(Node::is_element) {
            let cells = cells(row);
            let cavity = book
                .cavities_of(connector)
                .into_iter()
                .find(|c| c.number == cells["No."])
                .unwrap();
            for state in see.states() {
                let Some(cell) = cells.get(&book.label_of(state.state)) else {
                    continue;
                };
                let told = cell.split_once("read ").map_or(cell.as_str(), |(told, _)| told);
                let (told, good) = told.split_once("good ").unwrap_or((told, ""));
                let told = told.trim();
                let volts = see.cavity_volts(state, cavity.id);
                match volts.own_ground_v {
                    Some(own) => {
                        let told: f64 = told.parse().unwrap();
                        assert!((told - own).abs() <= 0.005 + 1e-9, "{caption} {}", cavity.number);
                        let (least, most) = good.split_once(" to ").unwrap();
                        let [least, most]: [f64; 2] = [least, most].map(|v| v.parse().unwrap());
                        assert!((least..=most).contains(&own), "{own} in {good}");
                        apart += usize::from(most - least > 2.0);
                    }
                    None => assert!(
                        told == "floats" || told.ends_with('†') || told.contains(" to "),
                        "{told}"
                    ),
                }
                compared += 1;
            }
        }
    }
    let joined = book
        .all::<Cavity>()
        .values()
        .filter(|c| crate::volts::is_joined(&see, c))
        .count();
    assert_eq!(compared, joined * see.states().len());
    assert!(compared > 1000 && apart > 100, "{compared}, {apart} apart");
}
