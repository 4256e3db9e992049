//! Small circuits.

use std::sync::Arc;

use super::{
    model::Model,
    plant::Plant,
    proof::{Answer, Proof, Verdict},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{RecordLists, Tables},
    rules::Class,
};

/// Six switches, from tests/data.
fn six() -> Snapshot {
    let text = include_str!("../../../../tests/data/rules/six.json");
    let mut value: serde_json::Value = serde_json::from_str(text).unwrap();
    let records: RecordLists = serde_json::from_value(value["records"].take()).unwrap();
    let mut tables = Tables::default();
    let records = records.into_records();
    records.into_iter().for_each(|record| tables.put(record));
    Snapshot::new(Arc::new(Book::from_tables(tables, None)))
}

/// Which fuse opens hangs on loads: where they cannot be weighed no short is said to leave a rule as it is.
#[test]
fn no_short_holds_where_loads_are_unknown() {
    let see = six();
    let model = Model::of(see.book(), see.wiring());
    let mut plant = Plant::of(&see, &model);
    let mut prove = |loads_unknown: bool| {
        plant.loads_unknown = loads_unknown;
        let (mut proof, mut answers) = (Proof::default(), Vec::<Answer>::new());
        proof.prove(&plant, model.reads.len(), &mut answers);
        answers
    };
    let (known, unknown) = (prove(false), prove(true));
    let mut held = 0;
    for ((rule, known, _), (_, unknown, _)) in known.iter().zip(&unknown) {
        let (Verdict::Proven { classes: known, .. }, Verdict::Proven { classes: unknown, .. }) =
            (known, unknown)
        else {
            panic!("{rule:?} is not proven");
        };
        for (known, unknown) in known.iter().zip(unknown) {
            assert_eq!(known.broken, unknown.broken);
            assert!(known.unproven.is_empty());
            let shorts = matches!(known.class, Class::Chassis | Class::Supply);
            let left = if shorts {
                known.tried - known.broken.len()
            } else {
                0
            };
            assert_eq!(unknown.unproven.len(), left, "{:?}", known.class);
            held += left;
        }
    }
    assert!(held > 0);
}
