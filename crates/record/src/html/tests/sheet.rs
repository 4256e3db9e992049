//! The glovebox sheet: what stands on it is what the workbook holds.

use crimpbook_workbook::{
    Book,
    model::{About, Cavity, Connector, Decision, End, Fuse, Id, Row as _, Wire},
};
use roxmltree::Node;

use super::{by_id, cells, complete::DEMONSTRATION, sheet_of, text, tree};
use crate::sample;

fn compare(book: &Book) {
    let page = sheet_of(book);
    let tree = tree(&page);
    for fuse in book.all::<Fuse>().values() {
        let cells = cells(by_id(&tree, &format!("fuse-{}", fuse.id)));
        assert_eq!(cells["Fuse"], fuse.label);
        assert_eq!(cells["Rating"], format!("{} A", fuse.rating_a));
        assert_eq!(cells["Feeds"], fuse.feeds);
    }
    let most = book
        .all::<Connector>()
        .keys()
        .map(|id| book.cavities_of(*id).len())
        .max()
        .unwrap();
    let shown: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| page.contains(&format!("cavity-{}", c.id)))
        .collect();
    assert_eq!(shown.len(), most);
    for cavity in shown {
        let cells = cells(by_id(&tree, &format!("cavity-{}", cavity.id)));
        assert_eq!(
            (&cells["No."], &cells["Function"]),
            (&cavity.number, &cavity.name)
        );
        let at = |w: &&Wire| [w.from, w.to].contains(&End::Cavity(cavity.id));
        for wire in book.all::<Wire>().values().filter(at) {
            assert!(cells["Wire"].contains(&wire.label), "{}", cavity.number);
        }
        if matches!(cavity.decision, Decision::Blank | Decision::Undecided) {
            assert_eq!(cells["Wire"], cavity.decision.words());
        }
    }
    for about in book.all::<About>().values() {
        assert!(text(tree.root()).contains(&about.service_note));
    }
}

#[test]
fn fuses_and_the_largest_plug_stand_on_it() {
    compare(&DEMONSTRATION.0);
    compare(&sample::book());
}

#[test]
fn it_has_cautions_its_code_and_nothing_that_runs() {
    let page = sheet_of(&sample::book());
    let tree = tree(&page);
    let told = text(tree.root());
    assert!(told.contains("Orange cables") && told.contains("manuals"));
    assert!(told.contains("verification code begins"));
    let names: Vec<&str> = tree
        .descendants()
        .filter(Node::is_element)
        .map(|n| n.tag_name().name())
        .collect();
    assert!(
        !names
            .iter()
            .any(|n| matches!(*n, "script" | "link" | "img" | "a"))
    );
    assert_eq!(names.iter().filter(|n| **n == "section").count(), 2);
    let empty = sheet_of(&Book::default());
    assert!(empty.contains("Nobody has written this yet"));
}

/// A book as large as they come: 1,000 wires in plugs of 100 cavities, 60 fuses, long texts everywhere.
fn large() -> Book {
    let long = "What the builder wrote about it at some length, sentence after sentence. ".repeat(12);
    let mut tables = sample::book().tables().clone();
    let (about, connector, cavity, wire, fuse) = (
        tables.about.values().next().unwrap().clone(),
        tables.connectors.values().next().unwrap().clone(),
        tables.cavities.values().next().unwrap().clone(),
        tables.wires.values().next().unwrap().clone(),
        tables.fuses.values().next().unwrap().clone(),
    );
    let mut told = about;
    told.service_note.clone_from(&long);
    for note in [
        &mut told.service.disconnect,
        &mut told.service.towing,
        &mut told.service.flat,
        &mut told.service.lamps,
    ] {
        note.clone_from(&long);
    }
    told.vehicle = "A vehicle with a name that is longer than any sheet is wide".to_owned();
    tables.put(told.into_record());
    for n in 0..10u128 {
        let mut plug = connector.clone();
        plug.id = Id::from_bits(900_000 + n);
        plug.label = format!("LONG-PLUG-{n}");
        plug.face = "rows 20 20 20 20 20, from lower left, mark at 1, seen from mating side".to_owned();
        for k in 0..100u128 {
            let mut hole = cavity.clone();
            hole.id = Id::from_bits(1_000_000 + 1000 * n + k);
            (hole.connector, hole.number, hole.unit_number) = (plug.id, (k + 1).to_string(), String::new());
            hole.name = format!("SIGNAL {k} WITH A LONG NAME");
            hole.decision = if k % 10 == 0 {
                Decision::Blank
            } else {
                Decision::Wired
            };
            let mut run = wire.clone();
            run.id = Id::from_bits(2_000_000 + 1000 * n + k);
            run.label = format!("W{}", 1000 + 100 * n + k);
            (run.from, run.to) = (End::Cavity(hole.id), End::Free);
            (run.inline_fuse, run.bundle, run.pair) = (None, None, String::new());
            tables.put(hole.into_record());
            tables.put(run.into_record());
        }
        tables.put(plug.into_record());
    }
    for n in 0..60u128 {
        let mut more = fuse.clone();
        more.id = Id::from_bits(3_000_000 + n);
        more.label = format!("F{}", 100 + n);
        more.feeds.clone_from(&long);
        tables.put(more.into_record());
    }
    Book::from_tables(tables, None)
}

/// Lines of 11 pt that an element takes, from its text alone and by letters that are wide on average; a page of A5 has 41.
fn lines(text: &str, letters: usize) -> usize {
    text.lines()
        .map(|line| line.chars().count().div_ceil(letters))
        .sum()
}

#[test]
fn a_large_vehicle_keeps_to_two_pages_and_says_that_the_record_has_more() {
    let page = sheet_of(&large());
    let tree = tree(&page);
    let (first, second) = (by_id(&tree, "first"), by_id(&tree, "second"));
    for side in [first, second] {
        let paragraphs = side
            .descendants()
            .filter(|n| n.has_tag_name("p") || n.has_tag_name("li"));
        let mut taken: usize = paragraphs.map(|n| lines(&text(n), 62)).sum();
        let columns = side.descendants().filter(|n| n.has_tag_name("table"));
        let rows = |table: Node<'_, '_>| table.descendants().filter(|n| n.has_tag_name("tr")).count();
        // Two tables stand beside each other; every row has one line.
        taken += columns.map(rows).max().unwrap();
        // Headings take two lines each, the face thirteen.
        taken += 2 * side
            .children()
            .filter(|n| n.tag_name().name().starts_with('h'))
            .count();
        taken += 13 * side.descendants().filter(|n| n.has_tag_name("figure")).count();
        assert!(taken <= 43, "{taken} lines: {}", text(side));
        assert!(taken > 30, "{taken} lines leave the page empty");
    }
    let (first, second) = (text(first), text(second));
    assert!(first.contains("more in the record"), "{first}");
    assert!(
        first.contains("more fuses: see the fuse legend in the record"),
        "{first}"
    );
    assert!(
        second.contains("more cavities: see LONG-PLUG-0 in the record"),
        "{second}"
    );
    assert!(first.contains("Orange cables") && first.contains("Disconnect:") && first.contains("Tow:"));
}
