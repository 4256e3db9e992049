//! A table as nobody should have made it.

use crimpbook_core::quantity::Colour;

use super::{after, cavities};
use crate::{
    import::{Answers, Comma, Options},
    sample,
};

/// Merged heads, a title, blank lines, a repeated head, dittos, units in text, numbers twice, letters of two customs.
const UGLY: &str = "Harrow 96, plug A\t\t\t\t\t\t\t\n\
    \n\
    Pin\tSignal\tElectrical\t\tWire\t\t\tRemark\n\
    \t\tI max\tU max\tNo.\tColour\tSection\t\n\
    Power\t\t\t\t\t\t\t\n\
    1\tKEEP ALIVE\tmax. 150 mA\t30V\tW04\tRD/WH\t0,5mm²\t\n\
    2\tGND\t1,500 mA\t\"\t\tBL\t\"\tto the stud\n\
    \n\
    Pin\tSignal\tElectrical\t\tWire\t\t\tRemark\n\
    Inputs\t\t\t\t\t\t\t\n\
    3\tBRAKE NO\tabout 2\t-\tW44\tGN/BL\t16\t\n\
    3\tBRAKE NC\t\t\t\t\t\t\n\
    5–6\tn.c.\t\t\t\tRD\t\t\n\
    99\tSPARE\t\t\t\t\t\t\n\
    \tbelow pin 6\t5 V\t\t\t\t\t\n\
    4\tsame\t\tlots\tW77\tmauve\t\t<b>=1+1\n";

#[test]
fn the_preview_is_true_and_the_problems_are_named() {
    let book = sample::book();
    let plan = cavities(&book, "MC-A", UGLY, &Options::default()).unwrap();
    let mut page = String::new();
    for block in [
        plan.columns_block(),
        plan.changes_block(&book),
        plan.problems_block(),
        plan.passed_block(),
    ] {
        page.push_str(&format!("{}\n  {}\n", block.title, block.lines.join("\n  ")));
    }
    for ask in &plan.asks {
        page.push_str(&format!("{}: {}\n", ask.question(), ask.answers().join(" or ")));
    }
    insta::assert_snapshot!(page);
}

#[test]
fn an_answer_holds_for_the_whole_table() {
    let book = sample::book();
    let options = Options {
        colours: Answers::from([("BL".to_owned(), Colour::Blue)]),
        comma: Some(Comma::Thousands),
        ..Options::default()
    };
    let plan = cavities(&book, "MC-A", UGLY, &options).unwrap();
    assert!(plan.asks.is_empty());
    let after = after(&book, &plan);
    let cavity = |name: &str| after.get(after.find_cavity(name).unwrap()).unwrap().clone();
    assert_eq!(cavity("MC-A2").limits.most_a, Some(1.5));
    assert_eq!(cavity("MC-A1").limits.most_v, Some(30.0));
    let wire = |label: &str| {
        after
            .get(
                after
                    .index()
                    .labelled::<crimpbook_workbook::model::Wire>(label)
                    .unwrap(),
            )
            .unwrap()
    };
    assert_eq!(
        wire("W24").colour.map(|c| c.to_string()).as_deref(),
        Some("BU"),
        "the only wire at MC-A2"
    );
}
