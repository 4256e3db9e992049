//! Rows of other connectors than the one the table is for, and tables of which much cannot be.

use crimpbook_workbook::model::{Connector, Decision, Wire};

use super::{after, cavities, wires, with_empty_connector};
use crate::{
    import::{Options, Plan, Problem},
    sample,
};

const TWO: &str =
    "Connector\tPin\tFunction\nMC-A\t5\tHERE\nPB-A\t3\tTHERE\nJ1\t6\tBY ANOTHER NAME\nj1\t4\tONE MORE\n";

fn to(rows: &[(&str, Option<&str>)]) -> Options {
    let book = sample::book();
    let id = |label: &str| book.index().labelled::<Connector>(label).unwrap();
    Options {
        rows: rows
            .iter()
            .map(|(name, place)| ((*name).to_owned(), place.map(id)))
            .collect(),
        ..Options::default()
    }
}

fn named(plan: &Plan) -> Vec<String> {
    plan.named_block(&sample::book()).lines
}

#[test]
fn rows_of_other_connectors_are_left_out_and_told_until_somebody_says_where_they_go() {
    let book = sample::book();
    let plan = cavities(&book, "MC-A", TWO, &Options::default()).unwrap();
    assert_eq!(
        named(&plan),
        [
            "\"J1\" on 2 rows: left out, since no connector is called so",
            "\"PB-A\" on line 3: left out",
        ]
    );
    assert_eq!(
        plan.problems_block().lines,
        [
            "line 3: is of \"PB-A\", not of MC-A; the row is left out",
            "line 4: no connector is called \"J1\"; the row is left out",
            "line 5: no connector is called \"j1\"; the row is left out",
        ]
    );
    let (mc, pb) = (book.index().labelled("MC-A"), book.index().labelled("PB-A"));
    assert_eq!(
        plan.named[1].places(&book, mc)[..2],
        [pb, mc],
        "the likeliest first"
    );
    assert_eq!(plan.named[0].places(&book, mc)[0], mc);
    assert_eq!(plan.named[0].places(&book, mc).last(), Some(&None));

    let plan = cavities(
        &book,
        "MC-A",
        TWO,
        &to(&[("pb-a", Some("PB-A")), ("j1", Some("MC-A"))]),
    )
    .unwrap();
    assert_eq!(plan.problems, []);
    assert_eq!(
        named(&plan),
        [
            "\"J1\" on 2 rows: taken to MC-A",
            "\"PB-A\" on line 3: taken to PB-A"
        ]
    );
    assert_eq!(
        plan.edit.as_ref().unwrap().title,
        "4 cavities from a pasted table",
        "it is of more than one connector"
    );
    let after = after(&book, &plan);
    for (cavity, name) in [
        ("MC-A5", "HERE"),
        ("PB-A3", "THERE"),
        ("MC-A6", "BY ANOTHER NAME"),
        ("MC-A4", "ONE MORE"),
    ] {
        assert_eq!(after.get(after.find_cavity(cavity).unwrap()).unwrap().name, name);
    }
}

#[test]
fn without_a_connector_told_only_names_that_are_not_known_are_asked() {
    let book = sample::book();
    let plan = cavities(&book, "", TWO, &to(&[("j1", None)])).unwrap();
    assert_eq!(
        named(&plan),
        ["\"J1\" on 2 rows: left out, since no connector is called so"]
    );
    assert_eq!(plan.changes().len(), 2);
    assert_eq!(
        plan.named[0].answer(&book, None),
        "--rows J1=CONNECTOR takes them there"
    );
}

/// Whatever the column is called: rows of another connector must not be taken for this one's.
#[test]
fn a_column_of_connectors_is_known_by_its_values_before_the_number() {
    let book = sample::book();
    for table in [
        "Where\tPin\tFunction\nMC-A\t5\tHERE\nPB-A\t3\tTHERE\n",
        "MC-A\t5\tHERE\nPB-A\t3\tTHERE\n",
        "Conn\tPin\tFunction\nMC-A\t5\tHERE\nPB-A\t3\tTHERE\n",
    ] {
        let plan = cavities(&book, "MC-A", table, &Options::default()).unwrap();
        assert_eq!(plan.changes().len(), 1, "{table}: {:?}", plan.columns);
        assert_eq!(plan.named.len(), 1, "{table}: {:?}", plan.columns);
    }
    // To the right of the number it is where the wire goes to.
    let table = "Pin\tFunction\tGoes\n5\tHERE\tPB-A\n6\tALSO\tPB-A\n";
    let plan = cavities(&book, "MC-A", table, &Options::default()).unwrap();
    assert_eq!((plan.changes().len(), plan.named.len()), (2, 0));
}

/// However many rows cannot be, each is named with its own reason and all others are taken.
#[test]
fn a_table_of_which_most_cannot_be_is_told_row_by_row() {
    let book = sample::book();
    let mut text = "Wire,From,To,Size,Length\n".to_owned();
    for n in 0..1000 {
        // PB-A3 is reserved; 300 m is no length of a wire; every tenth row is right.
        let (to, length) = match n % 10 {
            0 => ("G2", "2 m"),
            1..5 => ("G2", "300 m"),
            _ => ("PB-A3", "2 m"),
        };
        text.push_str(&format!("X{n},SP7,{to},1,{length}\n"));
    }
    let plan = wires(&book, &text, &Options::default());
    assert_eq!(plan.problems.len(), 900);
    let of = |line: u64| -> &Problem { plan.problems.iter().find(|p| p.line == line).unwrap() };
    assert_eq!(
        of(993).sentence,
        "wire X991 its length must be more than 0 and at most 200 m, not 300; correct it"
    );
    assert_eq!(
        of(998).sentence,
        "cavity PB-A3 is reserved, but wire X996 ends there; move the wire first, or decide it as wired"
    );
    assert_eq!(
        plan.problems_block().title,
        "left out: 900 rows; is a column taken for another?"
    );
    let after = after(&book, &plan);
    let made = after.all::<Wire>().len() - book.all::<Wire>().len();
    assert_eq!(made, 100);
}

/// What is wrong with a cavity says nothing against the wire that its row names.
#[test]
fn a_wire_stays_where_the_figures_of_its_cavity_cannot_be() {
    let book = sample::book();
    let text = "Pin\tWire\tOn above\tOff below\n6\tW900\t2 V\t5 V\n";
    let plan = cavities(&book, "MC-A", text, &Options::default()).unwrap();
    assert_eq!(plan.problems.len(), 1, "{:?}", plan.problems);
    assert!(
        plan.problems[0].sentence.starts_with("cavity MC-A6 its"),
        "{:?}",
        plan.problems
    );
    let after = after(&book, &plan);
    assert!(after.index().labelled::<Wire>("W900").is_some());
}

/// A new cavity that cannot be takes the wire that would end in it along; both are told.
#[test]
fn what_is_left_out_takes_along_what_names_it() {
    let (book, connector) = with_empty_connector();
    let text = "Pin\tWire\tOn above\tOff below\n1\tW900\t2 V\t5 V\n2\tW901\t\t\n";
    let plan = cavities(&book, "MC-X", text, &Options::default()).unwrap();
    let told: Vec<(u64, bool)> = plan
        .problems
        .iter()
        .map(|p| (p.line, p.sentence.contains('?')))
        .collect();
    assert_eq!(told, [(2, false), (2, false)], "{:?}", plan.problems);
    let after = after(&book, &plan);
    assert_eq!(after.cavities_of(connector).len(), 1);
    assert!(after.index().labelled::<Wire>("W900").is_none());
    let two = after.cavities_of(connector)[0];
    assert_eq!((two.number.as_str(), two.decision), ("2", Decision::Wired));
}
