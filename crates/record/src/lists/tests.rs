use crimpbook_workbook::{analysis::Snapshot, model::Connector};

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
    let metres: f64 = book.tables().wires.values().filter_map(|w| w.length_m).sum();
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
