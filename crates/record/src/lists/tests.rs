use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    edit::{Change, Edit},
    model::{Connector, Drum, Id, StockLine, Wire},
};

use super::*;
use crate::sample;

fn column(sheet: &crate::csv::Sheet, head: &str) -> Vec<String> {
    let at = sheet.columns.iter().position(|c| c.head == head).unwrap();
    sheet.rows.iter().map(|row| row[at].shown()).collect()
}

#[test]
fn the_cut_list_has_every_wire_once_and_the_sum_of_each_drum() {
    let book = sample::book();
    let list = cuts(&book, 10.0);
    let wires = column(&list, "wire");
    let (lengths, from) = (column(&list, "length_mm"), column(&list, "from"));
    let mut sum = 0.0;
    let mut seen = 0;
    for ((wire, length), from) in wires.iter().zip(&lengths).zip(&from) {
        let length: f64 = length.parse().unwrap_or(0.0);
        if wire.ends_with(" in all") {
            assert_eq!(length, sum, "{wire}");
            if sum > 0.0 {
                let draw: f64 = from.split(' ').next().unwrap().parse().unwrap();
                assert!((draw * 1000.0 / sum - 1.1).abs() < 0.01, "{from} for {sum} mm");
            }
            sum = 0.0;
        } else {
            sum += length;
            seen += 1;
        }
    }
    assert_eq!(seen, book.tables().wires.len());
}

#[test]
fn labels_say_as_much_as_fits_and_never_less_than_the_wire() {
    let book = sample::book();
    for width in [LEAST_WIDTH, 12, 40] {
        let list = labels(&book, width);
        assert_eq!(list.rows.len(), 2 * book.tables().wires.len());
        for (text, wire) in column(&list, "text").iter().zip(column(&list, "wire")) {
            assert!(text.chars().count() <= width && text.starts_with(&wire), "{text}");
        }
    }
    let texts = column(&labels(&book, 40), "text");
    assert!(
        texts.iter().any(|t| t == "W44 SP7 > MC-A3") && texts.iter().any(|t| t == "W44 MC-A3 > SP7"),
        "{texts:?}"
    );
    assert!(column(&labels(&book, 9), "text").iter().any(|t| t == "W44 > SP7"));
}

#[test]
fn contacts_are_counted_end_by_end() {
    let book = sample::book();
    let list = parts(&book, 0.0);
    let of = |what: &str| -> f64 {
        let parts = column(&list, "part").into_iter().zip(column(&list, "needed"));
        parts
            .filter(|(part, _)| part == what)
            .map(|(_, many)| many.parse::<f64>().unwrap())
            .sum()
    };
    let ends: usize = book.index().wires_at_cavity.values().map(Vec::len).sum();
    assert_eq!(of("contact"), ends as f64);
    assert_eq!(of("fuse"), book.tables().fuses.len() as f64);
    let metres = book.tables().wires.values();
    let metres: f64 = metres
        .filter_map(|w| crimpbook_workbook::plan::cut_m(&book, w))
        .sum();
    assert!((of("wire") - metres).abs() < 0.05, "{} {metres}", of("wire"));
}

#[test]
fn the_legend_names_every_fuse() {
    let book = sample::book();
    let see = Snapshot::of(&book);
    let mut named = column(&fuses(&see), "fuse");
    named.sort();
    let mut all: Vec<String> = book.tables().fuses.values().map(|f| f.label.clone()).collect();
    all.sort();
    assert_eq!(named, all);
}

#[test]
fn a_packet_shows_what_is_done_and_runs_are_read_back() {
    let book = sample::book();
    let connector = book.index().labelled::<Connector>("MC-A").unwrap();
    let list = packet(&book, connector);
    assert!(
        list.lines()
            .iter()
            .any(|line| line.contains("W44") && line.contains("[!]")),
        "{:#?}",
        list.lines()
    );
    let numbers = |typed: &str| -> Vec<String> {
        let ids = runs(&book, connector, typed).unwrap();
        ids.iter()
            .map(|id| book.get(*id).unwrap().number.clone())
            .collect()
    };
    assert_eq!(numbers("1-3,2"), ["1", "2", "3"]);
    assert_eq!(numbers("3, 1"), ["3", "1"]);
    assert!(
        runs(&book, connector, "3-1")
            .unwrap_err()
            .to_string()
            .contains("backwards")
    );
    assert!(
        runs(&book, connector, "1-99")
            .unwrap_err()
            .to_string()
            .contains("no cavity \"99\"")
    );
}

/// The sample with a drum for W44's wire, contacts that were counted, and a line that the plan does not have.
fn stocked() -> Book {
    let mut book = sample::book();
    let wire = book.index().labelled::<Wire>("W44").unwrap();
    let wire = book.get(wire).unwrap().clone();
    let contacts = needs(&book, 0.0)
        .into_iter()
        .find(|n| n.part == "contact")
        .unwrap();
    let line = |n: u128, label: &str, have, ordered, here| {
        Change::make(StockLine {
            id: Id::from_bits(7000 + n),
            label: label.to_owned(),
            have,
            ordered,
            here,
            note: String::new(),
        })
    };
    let edit = Edit::progress(
        "stock",
        vec![
            Change::make(Drum {
                id: Id::from_bits(7000),
                label: "D1".to_owned(),
                area_mm2: wire.area_mm2.unwrap(),
                size_written: String::new(),
                insulation_class_c: Some(155.0),
                colour: wire.colour,
                stock_m: wire.length_m.unwrap() * 1.1 + 0.5,
                note: String::new(),
            }),
            line(1, &contacts.label(), 1.0, 100.0, 40.0),
            line(2, "sleeve, 6 mm", 2.0, 0.0, 0.0),
        ],
    );
    let entry = book.prepare(edit, sample::stamp(90)).unwrap();
    book.apply(&entry).unwrap();
    book
}

#[test]
fn a_drum_is_named_with_what_is_left_on_it() {
    let book = stocked();
    let list = cuts(&book, 10.0);
    let (wires, drums, to) = (column(&list, "wire"), column(&list, "drum"), column(&list, "to"));
    let at = wires.iter().position(|w| w == "W44").unwrap();
    assert_eq!(drums[at], "D1");
    assert_eq!(to[at + 1], "0.5 m left", "{to:?}");
    assert!(to.iter().any(|t| t == "no drum in stock holds it"), "{to:?}");
    assert!(
        column(&cuts(&sample::book(), 10.0), "to")
            .iter()
            .all(|t| !t.contains("drum"))
    );
}

#[test]
fn what_is_counted_is_told_apart_from_what_was_never_counted() {
    let book = stocked();
    let list = parts(&book, 10.0);
    let rows: Vec<Vec<String>> = ["part", "needed", "have", "to_buy", "ordered", "here"]
        .iter()
        .map(|head| column(&list, head))
        .collect();
    let row = |at: usize| rows.iter().map(|column| column[at].as_str()).collect::<Vec<_>>();
    let contact = rows[0].iter().position(|p| p == "contact").unwrap();
    assert_eq!(row(contact)[2..], ["1", "0", "100", "40"]);
    let other = rows[0].iter().position(|p| p == "not in the plan").unwrap();
    assert_eq!(row(other)[1..], ["0", "2", "0", "0", "0"]);
    let fuse = rows[0].iter().position(|p| p == "fuse").unwrap();
    assert_eq!(row(fuse)[2..], ["[ ]"; 4]);
    // The drum holds all that W44 needs.
    let wire = (0..rows[0].len()).find(|at| rows[0][*at] == "wire" && rows[2][*at] != "[ ]");
    assert_eq!(row(wire.unwrap())[3], "0");
}

#[test]
fn to_buy_is_what_neither_lies_here_nor_is_ordered() {
    let mut need = Need {
        part: "contact",
        which: "M, 0.5 mm²".to_owned(),
        needed: 48.0,
        unit: "",
        places: Vec::new(),
        drums_m: None,
    };
    let line = |have, ordered| StockLine {
        id: Id::from_bits(1),
        label: String::new(),
        have,
        ordered,
        here: 0.0,
        note: String::new(),
    };
    assert_eq!(need.to_buy(None), None);
    assert_eq!(need.to_buy(Some(&line(10.0, 20.0))), Some(18.0));
    assert_eq!(need.to_buy(Some(&line(40.0, 20.0))), Some(0.0));
    need.drums_m = Some((25.0, 3.0));
    assert_eq!(
        (need.to_buy(None), need.to_buy(Some(&line(0.0, 2.0)))),
        (Some(3.0), Some(1.0))
    );
}
