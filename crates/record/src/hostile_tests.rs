//! Hostile text through every way out but the record: lists, labels, packets, netlists, bundle, JSON, part files.

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{Connector, Fuse, Row as _, Unit, Wire},
};

use crate::{
    bundle,
    csv::{Sheet, begins_formula},
    json, lists, netlist, part_file,
    sample::{self, spoiled},
    text::{acts_unseen, shown},
};

fn all_lists(book: &Book) -> Vec<Sheet> {
    let see = Snapshot::of(book);
    let packets = book.all::<Connector>().keys().map(|id| lists::packet(book, *id));
    [
        lists::cuts(book, 10.0),
        lists::labels(book, 40),
        lists::labels(book, 10_000),
        lists::parts(book, 10.0),
        lists::fuses(&see),
    ]
    .into_iter()
    .chain(packets)
    .collect()
}

/// The cells of a column of a CSV, as one gets them by taking the apostrophe away.
fn column(sheet: &Sheet, head: &str) -> Vec<String> {
    let bytes = sheet.bytes();
    let mut reader = csv::Reader::from_reader(&bytes[..]);
    let at = reader.headers().unwrap().iter().position(|h| h == head).unwrap();
    reader
        .records()
        .map(|row| row.unwrap()[at].to_owned())
        .map(|cell| cell.strip_prefix('\'').unwrap_or(&cell).to_owned())
        .collect()
}

#[test]
fn lists_labels_and_packets_show_it_line_by_line() {
    let (book, _) = spoiled();
    for list in all_lists(&book) {
        let lines = list.lines();
        assert_eq!(lines.len(), 2 + list.rows.len(), "{}", list.name);
        for line in lines {
            assert!(!line.chars().any(|c| acts_unseen(c) || c == '\n'), "{line:?}");
        }
        for row in csv::Reader::from_reader(&list.bytes()[..]).records() {
            for cell in &row.unwrap() {
                assert!(
                    !cell.chars().any(|c| acts_unseen(c) && c != '\n' && c != '\t'),
                    "{cell:?}"
                );
                assert!(cell.parse::<f64>().is_ok() || !begins_formula(cell), "{cell:?}");
            }
        }
    }
    let labels = column(&lists::labels(&book, 40), "wire");
    for wire in book.all::<Wire>().values() {
        assert!(labels.contains(&shown(&wire.label)), "{}", wire.label);
    }
    let feeds = column(&lists::fuses(&Snapshot::of(&book)), "feeds");
    for fuse in book.all::<Fuse>().values() {
        assert!(feeds.contains(&shown(&fuse.feeds)), "{}", fuse.feeds);
    }
}

#[test]
fn formulas_in_lists_are_texts_and_come_back() {
    for formula in ["=1+1", "+cmd|' /C x'!A0", "-A1", "@SUM(A1)", "'=1"] {
        let mut tables = sample::book().tables().clone();
        for fuse in tables.fuses.clone().values() {
            let mut fuse = fuse.clone();
            formula.clone_into(&mut fuse.feeds);
            tables.put(fuse.into_record());
        }
        let book = Book::from_tables(tables, None);
        let list = lists::fuses(&Snapshot::of(&book));
        assert!(column(&list, "feeds").iter().all(|feeds| feeds == formula));
        for row in csv::Reader::from_reader(&list.bytes()[..]).records() {
            assert!(row.unwrap().iter().all(|cell| !begins_formula(cell)), "{formula}");
        }
    }
}

#[test]
fn ten_kilobytes_lengthen_their_own_line_only() {
    let long = "x".repeat(10_000);
    let mut tables = sample::book().tables().clone();
    let mut fuse = tables.fuses.values().next().unwrap().clone();
    fuse.feeds.clone_from(&long);
    tables.put(fuse.into_record());
    let book = Book::from_tables(tables, None);
    let list = lists::fuses(&Snapshot::of(&book));
    assert!(column(&list, "feeds").contains(&long));
    let lines = list.lines();
    assert_eq!(lines.iter().filter(|line| line.contains(&long)).count(), 1);
    let widest = lines.iter().filter(|line| !line.contains(&long));
    assert!(lines.len() > 3 && widest.map(|line| line.chars().count()).max() < Some(300));
}

#[test]
fn a_netlist_holds_no_line_that_a_text_made() {
    let mut tables = spoiled().0.tables().clone();
    let about = tables.about.values().next().unwrap().clone();
    let break_out = "\n.include /etc/passwd\r.shell rm\u{2028}R1 0 1 1";
    let mut spoilt = about;
    spoilt.vehicle.push_str(break_out);
    tables.put(spoilt.into_record());
    for state in tables.states.clone().values() {
        let mut state = state.clone();
        state.label.push_str(break_out);
        tables.put(state.into_record());
    }
    for part in tables.parts.clone().values() {
        let mut part = part.clone();
        part.label.push_str(break_out);
        tables.put(part.into_record());
    }
    let see = Snapshot::of(&Book::from_tables(tables, None));
    let mut decks = 0;
    for of in see.states() {
        let Ok(deck) = netlist::write(&see, of) else {
            continue;
        };
        decks += 1;
        assert!(!deck.chars().any(|c| acts_unseen(c) && c != '\n'), "{deck:?}");
        for line in deck.lines().filter(|l| !l.is_empty() && !l.starts_with('*')) {
            assert!(line.is_ascii(), "{line}");
            let command = line.starts_with('.');
            let known = [".options ", ".op", ".end", ".model "];
            assert!(
                !command || known.iter().any(|known| line.starts_with(known)),
                "{line}"
            );
            assert!(command || line.starts_with(char::is_alphabetic), "{line}");
            assert!(!line.contains("passwd\n"), "{line}");
        }
    }
    assert!(decks > 0);
}

#[test]
fn bundle_json_and_part_files_give_it_back_unchanged() {
    let (book, _) = spoiled();
    let rows = |records: crimpbook_workbook::model::RecordLists| {
        let mut tables = crimpbook_workbook::model::Tables::default();
        records.into_records().into_iter().for_each(|row| tables.put(row));
        tables
    };
    let document = json::write(&book, &[]);
    assert!(!document.chars().any(|c| c.is_control() && c != '\n'));
    assert!(rows(json::read(&document).unwrap().records) == *book.tables());
    let files = bundle::write(&book, &[]).into_iter().collect();
    assert!(rows(bundle::read(&files).unwrap().records) == *book.tables());
    let mut saved = 0;
    for unit in book.all::<Unit>().values() {
        let Ok(file) = part_file::save(&book, unit.id, "</script>\u{202e}\u{1b}[2J") else {
            continue;
        };
        let text = file.text();
        assert!(!text.chars().any(|c| c.is_control() && c != '\n'));
        assert_eq!(part_file::read(&text).unwrap(), file);
        saved += 1;
    }
    assert!(saved > 0);
}
