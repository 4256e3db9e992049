//! Tables that are as they should be.

use crimpbook_workbook::model::{Cavity, Decision, SignalKind, Wire};

use super::{after, cavities, wires, with_empty_connector};
use crate::{
    import::{Field, Options},
    sample,
};

/// A pin table of 121 rows, as copied from a spreadsheet.
fn pin_table() -> String {
    let mut text = "Pin\tSignal name\tType\tI max [mA]\tPage\tWire\tColour\tmm²\n".to_owned();
    for n in 1..=121 {
        let kind = [
            "digital input, active at supply",
            "GND",
            "low-side output",
            "n.c.",
        ][n % 4];
        let wire = if n % 4 == 3 {
            String::new()
        } else {
            format!("W{}\tGN/BU\t0,5", 100 + n)
        };
        text.push_str(&format!(
            "{n}\tSIG {n}\t{kind}\t{}\t{}\t{wire}\n",
            n * 10,
            20 + n / 30
        ));
    }
    text
}

#[test]
fn a_table_of_121_rows_lands_in_one_edit() {
    let (book, connector) = with_empty_connector();
    let plan = cavities(&book, "MC-X", &pin_table(), &Options::default()).unwrap();
    assert_eq!(
        (plan.rows, plan.problems.as_slice(), plan.asks.as_slice()),
        (121, [].as_slice(), [].as_slice())
    );
    let edit = plan.edit.as_ref().unwrap();
    assert_eq!(edit.title, "MC-X: 121 cavities and 91 wires from a pasted table");
    let after = after(&book, &plan);
    let rows = after.cavities_of(connector);
    assert_eq!(rows.len(), 121);
    let fifth = rows.iter().find(|c| c.number == "5").unwrap();
    assert_eq!(
        (fifth.name.as_str(), fifth.page.as_str(), fifth.decision),
        ("SIG 5", "20", Decision::Wired)
    );
    assert_eq!(
        (fifth.kind, fifth.limits.most_a),
        (Some(SignalKind::Ground), Some(0.05))
    );
    let wire = after
        .get(after.index().labelled::<Wire>("W105").unwrap())
        .unwrap();
    assert_eq!(
        (wire.area_mm2, wire.colour.map(|c| c.to_string()).as_deref()),
        (Some(0.5), Some("GN/BU"))
    );
    let none = rows.iter().find(|c| c.number == "7").unwrap();
    assert_eq!(
        (none.kind, none.decision),
        (Some(SignalKind::NotConnected), Decision::Undecided)
    );
    // Once more says nothing new.
    let again = cavities(&after, "MC-X", &pin_table(), &Options::default()).unwrap();
    assert_eq!((again.edit, again.problems), (None, Vec::new()));
}

#[test]
fn what_is_there_is_merged_and_empty_cells_change_nothing() {
    let book = sample::book();
    let plan = cavities(
        &book,
        "MC-A",
        "Cavity;Function;Page\n1;;99\n3;BRAKE NO;15\n5;OUT FOUR;-\n",
        &Options::default(),
    )
    .unwrap();
    assert_eq!(
        plan.changes_block(&book).lines,
        [
            "cavity MC-A1: page 14 → 99",
            "cavity MC-A5: name OUT 4 → OUT FOUR"
        ]
    );
    let after = after(&book, &plan);
    let one = after.get(after.find_cavity("MC-A1").unwrap()).unwrap();
    assert_eq!((one.name.as_str(), one.limits.most_a), ("KEEP ALIVE", Some(0.15)));
}

#[test]
fn a_table_without_a_head_is_read_by_its_values() {
    let book = sample::book();
    let plan = cavities(
        &book,
        "MC-A",
        "1\tKEEP\tlogic supply input\t14\n2\tGROUND A\tground\t15\n",
        &Options::default(),
    )
    .unwrap();
    let fields: Vec<_> = plan.columns.iter().map(|c| c.field).collect();
    assert_eq!(
        fields,
        [Field::Number, Field::Function, Field::Kind, Field::Page].map(Some)
    );
    assert_eq!(plan.changes().len(), 2);
}

#[test]
fn the_mapping_can_be_told() {
    let book = sample::book();
    let text = "Pin;Name;Old name\n5;A;B\n";
    let told = |columns: &[(&str, &str)]| {
        let columns = columns
            .iter()
            .map(|(f, c)| ((*f).to_owned(), (*c).to_owned()))
            .collect();
        cavities(
            &book,
            "MC-A",
            text,
            &Options {
                columns,
                ..Options::default()
            },
        )
    };
    let name = |columns: &[(&str, &str)]| {
        let after = after(&book, &told(columns).unwrap());
        after
            .get(after.find_cavity("MC-A5").unwrap())
            .unwrap()
            .name
            .clone()
    };
    assert_eq!(name(&[]), "A");
    assert_eq!(name(&[("function", "3")]), "B");
    assert_eq!(name(&[("function", "old name")]), "B");
    assert_eq!(told(&[("function", "none")]).unwrap().edit, None);
    assert!(
        told(&[("function", "9")])
            .unwrap_err()
            .to_string()
            .contains("counted from 1 to 3")
    );
    assert!(
        told(&[("funktion", "1")])
            .unwrap_err()
            .to_string()
            .contains("fields are connector, number")
    );
    assert!(
        told(&[("number", "none")])
            .unwrap_err()
            .to_string()
            .contains("--column number=N")
    );
}

#[test]
fn our_own_tables_come_back_in_and_change_nothing() {
    let (book, entries) = sample::logged();
    let see = crimpbook_workbook::analysis::Snapshot::of(&book);
    let heads: Vec<_> = (1..).zip(&entries).map(|(seq, e)| e.head(seq)).collect();
    let tables = crate::csv::tables(&see, &heads, &crimpbook_workbook::check::Report::default());
    let table = |name: &str| {
        let bytes = tables.iter().find(|(n, _)| n == name).unwrap().1.clone();
        String::from_utf8(bytes).unwrap()
    };
    let plan = super::plan(
        &book,
        &mut crimpbook_workbook::model::IdMaker::new(1),
        &crate::import::Text::pasted(&table("cavities.csv")).unwrap(),
        crate::import::What::Cavities { connector: None },
        &Options::default(),
    )
    .unwrap();
    assert_eq!(
        (plan.problems_block().lines, plan.changes_block(&book).lines),
        (Vec::new(), Vec::new())
    );
    let plan = wires(&book, &table("wires.csv"), &Options::default());
    assert_eq!(
        (plan.problems_block().lines, plan.changes_block(&book).lines),
        (Vec::new(), Vec::new())
    );
}

#[test]
fn wires_are_merged_by_label_and_made() {
    let book = sample::book();
    let text = "Wire,From,To,Size,Colour,Length\nW44,,,AWG 20,,300 cm\nW50,MC-A6,G2,\"0,75\",black,\n,SP7,PB-A3,1,RD,8 ft\nW51,MC-Z9,G2,1,,\n";
    let plan = wires(&book, text, &Options::default());
    assert_eq!(
        plan.problems_block().lines,
        [
            "line 4: cavity PB-A3 is reserved, but wire W100 ends there; move the wire first, or decide it as wired",
            "line 5: no cavity, splice or stud is called \"MC-Z9\"; write it as in MC-A16 or SP1, or free; the row is left out"
        ]
    );
    let after = after(&book, &plan);
    let wire = |label: &str| {
        after
            .index()
            .labelled::<Wire>(label)
            .map(|id| after.get(id).unwrap())
    };
    let w44 = wire("W44").unwrap();
    assert_eq!(
        (w44.size_written.as_str(), w44.length_m, w44.from),
        ("AWG 20", Some(3.0), after.find_end("SP7").unwrap())
    );
    assert_eq!(wire("W50").unwrap().area_mm2, Some(0.75));
    assert_eq!(
        after.get(after.find_cavity("MC-A6").unwrap()).unwrap().decision,
        Decision::Wired
    );
    assert!(wire("W100").is_none());
}

#[test]
fn every_cavity_a_row_names_is_filled() {
    let (book, connector) = with_empty_connector();
    let plan = cavities(
        &book,
        "MC-X",
        "Pin;Function\n1–4;GND\n5, 7;same\n",
        &Options::default(),
    )
    .unwrap();
    let after = after(&book, &plan);
    let named: Vec<&Cavity> = after.cavities_of(connector);
    assert_eq!(named.len(), 6);
    assert!(named.iter().all(|c| c.name == "GND"));
}
