//! The page as a whole: well-formed, self-contained, every link leads somewhere.

use std::collections::HashSet;

use chrono::DateTime;
use crimpbook_workbook::{
    Book,
    check::{Accepted, CannotCheck, Figure, Finding, Level, Mend, Report},
    edit::{Change, Edit},
    model::{Cavity, Decision, End, Id, Key, Terminal, TerminalNumber, Wire},
};

use super::{by_id, cells, made, text, tree};
use crate::sample;

fn report(book: &Book) -> Report {
    let wire = book.index().labelled::<Wire>("W44").unwrap();
    let mut accepted = Finding::new("drop", Level::Warning, wire, "W44 drops 0.62 V");
    accepted.accepted = Some(Accepted {
        id: Id::from_bits(1),
        why: "the pump does not mind".to_owned(),
        who: "B. Vale".to_owned(),
        at: DateTime::UNIX_EPOCH,
        lapsed: None,
    });
    Report {
        findings: vec![
            Finding::new(
                "fuse-above-wire",
                Level::Stop,
                wire,
                "W44 is thinner than F6 protects",
            )
            .figure(Figure::against("fuse", 10.0, 5.0, "A"))
            .matters("the wire burns before the fuse opens")
            .mend(Mend::words("F6 to 5 A")),
            accepted,
        ],
        notes: vec![Finding::new(
            "colour-reused",
            Level::Note,
            wire,
            "GN/BU is there twice",
        )],
        cannot_check: vec![CannotCheck {
            checks: vec!["sleep-current"],
            place: Key::of(wire),
            missing: "current asleep".to_owned(),
            asks: Vec::new(),
        }],
        unproven: 0,
    }
}

#[test]
fn it_loads_nothing_and_runs_nothing() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &report(&book));
    let tree = tree(&page);
    for node in tree.descendants().filter(roxmltree::Node::is_element) {
        let name = node.tag_name().name();
        let allowed = !matches!(
            name,
            "script" | "link" | "img" | "iframe" | "object" | "use" | "image" | "form"
        );
        assert!(allowed, "{name}");
        for attribute in node.attributes() {
            assert!(!attribute.name().starts_with("on"), "{}", attribute.name());
            assert!(!matches!(attribute.name(), "src" | "srcset" | "action"));
        }
    }
    let style = include_str!("../style.css");
    assert!(!style.contains("url(") && !style.contains("@import"));
    assert!(page.contains("Content-Security-Policy"));
}

#[test]
fn every_link_leads_somewhere_and_no_id_stands_twice() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &report(&book));
    let tree = tree(&page);
    let mut ids = HashSet::new();
    for id in tree.descendants().filter_map(|n| n.attribute("id")) {
        assert!(ids.insert(id), "{id} stands twice");
    }
    let mut links = 0;
    for node in tree.descendants() {
        if let Some(to) = node.attribute("href") {
            assert!(ids.contains(to.strip_prefix('#').unwrap()), "{to}");
            links += 1;
        }
        for named in node
            .attribute("aria-labelledby")
            .into_iter()
            .flat_map(str::split_whitespace)
        {
            assert!(ids.contains(named), "{named}");
        }
    }
    assert!(links > 50);
}

#[test]
fn findings_of_every_level_stand_there_accepted_ones_too() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &report(&book));
    let tree = tree(&page);
    let told = text(by_id(&tree, "findings"));
    for part in [
        "■ stop",
        "W44 is thinner than F6 protects",
        "fuse 10 A, limit 5 A",
        "Mend: F6 to 5 A",
        "the wire burns before the fuse opens",
        "Accepted: the pump does not mind (B. Vale, 1970-01-01).",
        "○ note",
        "current asleep",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    let cover = text(tree.descendants().find(|n| n.has_tag_name("header")).unwrap());
    assert!(
        cover.contains("Open: 1 stops, 0 warnings and 1 accepted, 1 notes"),
        "{cover}"
    );
    assert!(cover.contains("W44 is thinner than F6 protects"));
}

#[test]
fn an_empty_book_gives_a_whole_page() {
    let page = made(&Book::default(), &[], &Report::default());
    let tree = tree(&page);
    assert!(text(tree.root()).contains("Nobody has written this yet"));
}

#[test]
fn the_same_book_gives_the_same_page() {
    let (book, entries) = sample::logged();
    assert_eq!(
        made(&book, &entries, &report(&book)),
        made(&book, &entries, &report(&book))
    );
}

/// A terminal number given to one end of a wire stands at every cavity of its net, and at no other.
#[test]
fn terminal_numbers_stand_at_every_cavity_of_their_net() {
    let (book, entries) = sample::logged();
    let ends = |wire: &Wire| match (wire.from, wire.to) {
        (End::Cavity(from), End::Cavity(to)) => Some((from, to)),
        _ => None,
    };
    let (from, to) = book.all::<Wire>().values().find_map(ends).unwrap();
    let apart = book.all::<Cavity>().values().find(|c| {
        let wires = book.index().wires_at_cavity.of(&c.id);
        wires.is_empty() && c.id != from && c.id != to && !matches!(c.decision, Decision::Bridged { .. })
    });
    let apart = apart.unwrap().id;
    let given = TerminalNumber {
        id: Id::from_bits(77),
        at: Terminal::Cavity(from),
        number: "87a".to_owned(),
        note: String::new(),
    };
    let (mut numbered, mut entries) = (book.clone(), entries);
    let mut edit = Edit::design("a terminal number", vec![Change::make(given)]);
    edit.why = "found by it".to_owned();
    let entry = numbered.prepare(edit, sample::stamp(9_000)).unwrap();
    numbered.apply(&entry).unwrap();
    let before = made(&book, &entries, &Report::default());
    entries.push(entry);
    let page = made(&numbered, &entries, &Report::default());
    let said = |page: &str, cavity: Id<Cavity>| {
        let page = tree(page);
        let row = by_id(&page, &format!("cavity-{cavity}"));
        cells(row)["Function"].contains("terminal 87a (DIN 72552)")
    };
    assert!(said(&page, from) && said(&page, to));
    assert!(!said(&page, apart));
    assert!(!said(&before, from) && !said(&before, to));
}
