//! Every field has its column, and what is written is what is read.

use std::collections::BTreeSet;

use proptest::prelude::*;

use crimpbook_workbook::{
    Book,
    edit::Change,
    model::{Record, Tables},
};

use super::{
    generate::{Dice, records},
    samples::{Place, entry, made},
};
use crate::{Store, map};

fn tables(records: Vec<Record>) -> Tables {
    let mut tables = Tables::default();
    records.into_iter().for_each(|record| tables.put(record));
    tables
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn made_changed_and_removed_records_read_back_as_they_are(seed: u64) {
        let place = Place::new();
        let mut dice = Dice::new(seed);
        let first = records(&mut dice);
        let mut opened = Store::create(&place.path(), &[entry(1, first.iter().cloned().map(made).collect())]).unwrap();
        prop_assert_eq!(opened.book.tables(), &tables(first.clone()));

        let second = records(&mut dice);
        let changes = first.iter().zip(&second);
        let changes = changes.map(|(before, after)| Change { before: Some(before.clone()), after: Some(after.clone()) });
        opened.store.commit(&entry(2, changes.collect())).unwrap();
        opened.store.verify().unwrap();
        opened.store.close().unwrap();

        let mut opened = Store::open(&place.path()).unwrap();
        prop_assert_eq!(opened.book.tables(), &tables(second.clone()));
        let changes = second.iter().map(|before| Change { before: Some(before.clone()), after: None });
        opened.store.commit(&entry(3, changes.collect())).unwrap();
        let (book, heads) = opened.store.reload().unwrap();
        prop_assert_eq!(book, Book::default());
        prop_assert_eq!(heads.len(), 3);
        opened.store.verify().unwrap();
    }
}

#[test]
fn the_file_has_the_columns_of_the_table_and_no_others() {
    let place = Place::new();
    let opened = place.made();
    let columns = |table: &str| -> BTreeSet<String> {
        let mut statement = opened
            .store
            .db
            .prepare("SELECT name FROM pragma_table_info(?1)")
            .unwrap();
        let names = statement.query_map([table], |row| row.get(0)).unwrap();
        names.map(Result::unwrap).collect()
    };
    let mut tables = BTreeSet::from(["log".to_owned()]);
    for plan in map::plans() {
        let expected: BTreeSet<String> = plan.columns.iter().map(|c| (*c).to_owned()).collect();
        assert_eq!(columns(plan.kind.name()), expected, "{}", plan.kind.name());
        tables.insert(plan.kind.name().to_owned());
        for list in &plan.lists {
            let parts = list.list.parts.iter().map(|part| part.column.to_owned());
            let own = [list.list.owner.to_owned(), "place".to_owned()];
            assert_eq!(
                columns(list.list.table),
                parts.chain(own).collect(),
                "{}",
                list.list.table
            );
            tables.insert(list.list.table.to_owned());
        }
    }
    let mut statement = opened
        .store
        .db
        .prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")
        .unwrap();
    let found: BTreeSet<String> = statement
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(found, tables);
}

#[test]
fn every_table_is_strict_and_every_reference_is_checked_at_the_end() {
    let place = Place::new();
    let opened = place.made();
    let loose: Vec<String> = opened
        .store
        .db
        .prepare("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND NOT strict AND name NOT LIKE 'sqlite_%'")
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(loose, Vec::<String>::new());
    // A schema that names a table it has not would only show when the key is used.
    let keys: Vec<(String, String)> = opened
        .store
        .db
        .prepare("SELECT m.name, f.\"table\" FROM sqlite_schema m, pragma_foreign_key_list(m.name) f WHERE m.type = 'table'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert!(keys.len() > 50, "{keys:?}");
    for (table, names) in keys {
        let known = crimpbook_workbook::model::Kind::ALL
            .iter()
            .any(|kind| kind.name() == names);
        assert!(known, "{table} names {names}");
    }
    let sql: String = opened
        .store
        .db
        .query_row(
            "SELECT group_concat(sql) FROM sqlite_schema WHERE type = 'table'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(
        sql.matches("REFERENCES").count(),
        sql.matches("DEFERRABLE INITIALLY DEFERRED").count()
    );
}
