//! What is said of the rules when an edit is tried, held against all of them proven anew. `cargo bench -p crimpbook-workbook
//! --bench rules` tries many more edits.

mod edits;

use crimpbook_tests::demo;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    model::{RecordLists, Tables},
};

fn six() -> Snapshot {
    let text = include_str!("../../data/rules/six.json");
    let mut value: serde_json::Value = serde_json::from_str(text).expect("it is JSON");
    let records: RecordLists = serde_json::from_value(value["records"].take()).expect("its records fit");
    let mut tables = Tables::default();
    let records = records.into_records().into_iter();
    records.for_each(|record| tables.put(record));
    Snapshot::of(&Book::from_tables(tables, None))
}

/// Rules that an edit is said to leave as they were have the same answer when they are proven anew: without a fault, with what
/// is off and with what is stuck. A wire that touches something beyond a fuse can still pull down what they read.
#[test]
fn rules_said_to_stay_have_the_same_answer_proven_anew() {
    let (mut stay, mut open) = (0, 0);
    // All rules of the demo take seconds here.
    for (see, edits) in [(six(), 40), (demo(), 1)] {
        let tally = edits::try_edits(&see, edits, 8);
        assert!(tally.wrong.is_empty(), "{tally:#?}");
        assert_eq!(tally.edits, edits);
        (stay, open) = (stay + tally.stay, open + tally.open);
    }
    assert!(stay > 40 && open > 40, "{stay} stay, {open} open");
}
