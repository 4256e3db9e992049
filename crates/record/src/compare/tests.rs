//! Comparing points and workbooks.

use crimpbook_workbook::{
    Book,
    edit::{Change, Edit},
    log::{Entry, Hash},
    merge::{Choices, Outcome, Side, merge},
    model::{Cavity, Wire, WireColour},
};

use super::{compare, differences, net, rewound, steps};
use crate::{part_file, sample};

#[test]
fn a_book_is_rewound_to_any_point_of_its_log() {
    let entries = crate::demo::entries().unwrap();
    let book = sample::replay(&entries);
    for at in [0, 1, entries.len() / 2, entries.len() - 1, entries.len()] {
        let then = sample::replay(&entries[..at]);
        assert!(
            rewound(&book, &entries[at..]).tables() == then.tables(),
            "before entry {at}"
        );
    }
}

#[test]
fn two_points_of_a_log_are_told_with_their_whys() {
    let (_, entries) = sample::logged();
    let book = sample::replay(&entries[..5]);
    let at_release = rewound(&book, &entries[4..5]);
    let told = compare(("revision A", &at_release), ("now", &book), &entries[4..5]);
    assert_eq!(told.counts(), "1 wire");
    assert_eq!(
        told.lines(),
        [
            "wire W44",
            "    area (mm²): 0.35 → 0.5",
            "    why: F6 is too big for 0.35 (A. Nether, 2031-04-26)",
        ]
    );
    assert!(compare(("a", &book), ("b", &book), &[]).changed.is_empty());
}

#[test]
fn a_why_that_is_only_the_beginning_of_another_is_told() {
    let cavity = sample::book().all::<Cavity>().values().next().unwrap().clone();
    let told = |why: &str| {
        let after = Cavity {
            why: why.to_owned(),
            note: "seen".to_owned(),
            ..cavity.clone()
        };
        let mut entry = sample::logged().1[1].clone();
        entry.changes = vec![Change::replace(cavity.clone(), after)];
        entry.why = "no reverse in this vehicle".to_owned();
        entry.merged = None;
        let told = steps(&sample::book(), &[entry], true);
        told.changed[0].fields.iter().any(|line| line.field == "why")
    };
    assert!(told("no reverse"));
    assert!(!told("no reverse in this vehicle"));
}

#[test]
fn workbooks_that_were_never_one_are_compared_by_names() {
    // The same records under other ids.
    let text = crate::json::write(&sample::book(), &[])
        .replace("\"w44\"", "\"zz44\"")
        .replace("\"mca3\"", "\"zz3\"");
    let other = crate::json::read(&text)
        .unwrap()
        .into_entries(sample::stamp(0))
        .unwrap();
    let other = sample::replay(&other);
    assert_eq!(
        compare(("one", &sample::book()), ("other", &other), &[]).changed,
        []
    );
    let relay = part_file::read(part_file::generic()[0].text).unwrap();
    let edit = part_file::adopt(
        &other,
        &mut crimpbook_workbook::model::IdMaker::new(4),
        &relay,
        Some("K9"),
    )
    .unwrap();
    let with = after(&other, edit);
    let told = compare(("one", &sample::book()), ("other", &with), &[]);
    assert_eq!(told.counts(), "1 unit, 1 connector, 5 cavities, 2 inside parts");
    assert!(
        told.lines().contains(&"unit K9 new".to_owned()),
        "{:?}",
        told.lines()
    );
    let back = compare(("other", &with), ("one", &sample::book()), &[]);
    assert!(
        back.lines().contains(&"cavity K9-A1 removed".to_owned()),
        "{:?}",
        back.lines()
    );
}

#[test]
fn every_change_of_the_demo_stands_on_the_page_and_nothing_in_it_acts() {
    let book = sample::book();
    let wire = book
        .get(book.index().labelled::<Wire>("W44").unwrap())
        .unwrap()
        .clone();
    let mut hostile = wire.clone();
    hostile.note = "<script>x</script>\u{202e}".to_owned();
    hostile.colour = Some(WireColour::plain(crimpbook_workbook::model::Colour::Red));
    let edit = Edit::design("t", vec![Change::replace(wire, hostile)]);
    let changes = edit.changes.clone();
    let with = after(&book, edit);
    let page = compare(("A", &book), ("B", &with), &[]).html("Pipit <1>");
    let document = roxmltree::Document::parse(page.trim_start_matches("<!DOCTYPE html>\n")).unwrap();
    let texts: String = document
        .descendants()
        .filter(|n| n.is_text())
        .filter_map(|n| n.text())
        .collect();
    assert!(
        texts.contains("wire W44") && texts.contains("RD") && texts.contains("⟨U+202E⟩"),
        "{texts}"
    );
    assert!(!document.descendants().any(|n| n.has_tag_name("script")));
    // The same by the changes alone.
    let fields: Vec<String> = differences(&with, &changes)
        .into_iter()
        .map(|d| d.field)
        .collect();
    assert_eq!(fields, ["colour", "note"]);
}

#[test]
fn what_is_taken_back_is_no_change() {
    let (_, entries) = sample::logged();
    assert_eq!(net(&entries[1..3], false), []);
    assert_eq!(net(&entries[1..2], false).len(), 1);
}

/// Two copies of one workbook, each with a change of its own, come together; what the merge brought in keeps its why.
#[test]
fn a_merged_log_tells_the_whys_of_both_copies() {
    let made = crate::json::read(sample::BOOK)
        .unwrap()
        .into_entries(sample::stamp(0))
        .unwrap();
    let changed = |n: u128, why: &str, alter: fn(&mut Wire)| {
        let mut log = made.clone();
        let mut book = sample::replay(&log);
        let wire = book
            .get(book.index().labelled::<Wire>("W44").unwrap())
            .unwrap()
            .clone();
        let mut after = wire.clone();
        alter(&mut after);
        let edit = Edit::design("W44 changed", vec![Change::replace(wire, after)]).because(why);
        let entry = book.prepare(edit, sample::stamp(n)).unwrap();
        book.apply(&entry).unwrap();
        log.push(entry);
        (book, log)
    };
    let (ours, mut log) = changed(10, "F6 is too big for it", |w| w.area_mm2 = Some(0.5));
    let (theirs, their_log) = changed(20, "measured along the sill", |w| w.length_m = Some(2.4));
    let with_texts = |log: &[Entry]| log.iter().map(|e| (e.clone(), e.canonical())).collect::<Vec<_>>();
    let (our_texts, their_texts) = (with_texts(&log), with_texts(&their_log));
    let outcome = merge(
        &Side {
            book: &ours,
            log: &our_texts,
            head: Hash::default(),
        },
        &Side {
            book: &theirs,
            log: &their_texts,
            head: Hash::default(),
        },
        &Choices::new(),
    );
    let Ok(Outcome::Ready(edit)) = outcome else {
        panic!("{outcome:?}");
    };
    let mut book = ours;
    let entry = book.prepare(*edit, sample::stamp(30)).unwrap();
    book.apply(&entry).unwrap();
    log.push(entry);
    let later = &log[made.len()..];
    let old = rewound(&book, later);
    assert!(old.tables() == sample::replay(&made).tables());
    for told in [
        compare(("made", &old), ("now", &book), later),
        steps(&book, later, false),
    ] {
        let lines = told.lines().join("\n");
        for part in [
            "wire W44",
            "0.35 → 0.5",
            "→ 2.4",
            "why: F6 is too big for it (A. Nether",
            "why: measured along the sill (A. Nether",
        ] {
            assert!(lines.contains(part), "{part}: {lines}");
        }
    }
}

fn after(book: &Book, edit: Edit) -> Book {
    let mut book = book.clone();
    let entry = book.prepare(edit, sample::stamp(70)).unwrap();
    book.apply(&entry).unwrap();
    book
}

#[test]
fn what_is_gone_is_named_as_it_was() {
    let book = sample::book();
    let wire = book
        .get::<Wire>(book.index().labelled("W44").unwrap())
        .unwrap()
        .clone();
    let cavity = book.get(book.find_cavity("MC-A5").unwrap()).unwrap().clone();
    let connector = book.get(cavity.connector).unwrap().clone();
    let moved = Wire {
        to: crimpbook_workbook::model::End::Cavity(cavity.id),
        ..wire.clone()
    };
    let mut tables = book.tables().clone();
    tables.remove(crimpbook_workbook::model::Key::of(cavity.id));
    tables.remove(crimpbook_workbook::model::Key::of(connector.id));
    let changes = vec![
        Change::replace(moved, wire),
        Change::remove(cavity),
        Change::remove(connector),
    ];
    let told = differences(&Book::from_tables(tables, None), &changes);
    let named: Vec<&str> = told
        .iter()
        .map(|d| d.record.as_str())
        .filter(|r| !r.is_empty())
        .collect();
    assert_eq!(named, ["wire W44", "cavity MC-A5", "connector MC-A"]);
    assert_eq!(told[0].was, "cavity MC-A5");
}
