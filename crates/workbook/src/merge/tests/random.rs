use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use serde_json::Value;

use super::{
    super::{Choices, Keeps, Outcome, base},
    Copy,
};
use crate::{
    edit::{
        make,
        tests::random::{Act, bench, edit},
    },
    model::{IdMaker, Key, Record, Tables},
};

/// Every field of every record, by the record's key and the field's name.
fn flat(tables: &Tables) -> BTreeMap<(Key, String), Value> {
    let mut all = BTreeMap::new();
    tables.each(&mut |record: Record| {
        for (name, value) in base::fields(&record).unwrap() {
            all.insert((record.key(), name), value);
        }
    });
    all
}

/// The records without the words of why a step is to be redone, which name things as they were called when it fell back.
pub(super) fn but_words(copy: &Copy) -> Tables {
    let mut tables = copy.book.tables().clone();
    let ids: Vec<_> = tables.steps_done.keys().copied().collect();
    for id in ids {
        if let Some(step) = tables.steps_done.get_mut(&id) {
            step.redo = step.redo.take().map(|_| "to be redone".to_owned());
        }
    }
    tables
}

/// The kind of act that releases a revision.
const RELEASES: usize = 19;

fn act(copy: &mut Copy, acts: &[Act], seed: u128) {
    let mut ids = IdMaker::new(seed);
    for one in acts {
        let edit = match one.0 {
            RELEASES => make::release(&copy.book, "for building").expect("a why is given"),
            // After a release a change needs its why.
            _ => edit(&copy.book, &mut ids, *one).because("tried"),
        };
        if one.0 == RELEASES || !edit.changes.is_empty() {
            // Many are refused, as a person's would be.
            let _ = copy.put(edit);
        }
    }
}

pub(super) fn all(keeps: Keeps) -> Choices {
    [("all".to_owned(), keeps)].into()
}

fn acts(most: usize) -> impl Strategy<Value = Vec<Act>> {
    prop::collection::vec((0..20usize, 0..30usize, any::<u8>()), 0..most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn merging_loses_nothing_and_comes_to_the_same_from_either_side(common in acts(6), here in acts(8), there in acts(8)) {
        let mut before = Copy::of(&bench());
        act(&mut before, &common, 5);
        let (mut mine, mut theirs) = (before.taken_by("A.", 10_000), before.taken_by("B.", 20_000));
        act(&mut mine, &here, 6);
        act(&mut theirs, &there, 7);

        // Whose conflicts they are does not hang on the side they are looked at from.
        let names = |a: &Copy, b: &Copy| -> Option<BTreeSet<String>> {
            match a.merge(b, &Choices::new()) {
                Ok(Outcome::Undecided(all)) => Some(all.into_iter().map(|c| c.name).collect()),
                _ => None,
            }
        };
        let conflicts = names(&mine, &theirs);
        prop_assert_eq!(conflicts.as_ref().map(BTreeSet::len), names(&theirs, &mine).as_ref().map(BTreeSet::len));

        let (from_here, from_there) = (mine.merge(&theirs, &all(Keeps::Mine)), theirs.merge(&mine, &all(Keeps::Theirs)));
        let (mut one, mut other) = (mine.clone(), theirs.clone());
        match (from_here.unwrap(), from_there.unwrap()) {
            (Outcome::Nothing, _) => prop_assert_eq!(theirs.log.len(), before.log.len()),
            (Outcome::Ready(_), Outcome::Nothing) => {
                prop_assert_eq!(mine.log.len(), before.log.len());
                one.take(&theirs, &Choices::new());
                prop_assert_eq!(but_words(&one), but_words(&theirs));
            }
            (Outcome::Ready(a), Outcome::Ready(b)) => {
                let (went, went_too) = (one.put(*a), other.put(*b));
                prop_assert_eq!(went.is_ok(), went_too.is_ok(), "{:?} {:?}", went, went_too);
                if went.is_err() {
                    // Together they do not hold: told in a sentence, and both are as they were.
                    prop_assert_eq!(&one.book, &mine.book);
                    return Ok(());
                }
                prop_assert_eq!(but_words(&one), but_words(&other));
                prop_assert_eq!(one.book.revision(), other.book.revision());
                prop_assert_eq!(one.merge(&theirs, &Choices::new()), Ok(Outcome::Nothing));
                prop_assert_eq!(other.merge(&mine, &Choices::new()), Ok(Outcome::Nothing));
                // Every change of either is in the log of both.
                for copy in [&one, &other] {
                    let ids = copy.side().ids();
                    prop_assert!(mine.side().ids().is_subset(&ids) && theirs.side().ids().is_subset(&ids));
                }
                // A third copy gets the same from either.
                let mut third = before.clone();
                third.take(&one, &Choices::new());
                prop_assert_eq!(but_words(&third), but_words(&one));
                prop_assert_eq!(third.book.revision(), one.book.revision());
            }
            odd => prop_assert!(false, "{:?}", odd),
        }

        // Without a conflict, every field that one copy alone changed has that copy's value.
        if conflicts.is_none() && one.log.len() > mine.log.len() {
            let (was, here) = (flat(before.book.tables()), flat(mine.book.tables()));
            let (there, now) = (flat(theirs.book.tables()), flat(one.book.tables()));
            let fields: BTreeSet<_> = was.keys().chain(here.keys()).chain(there.keys()).cloned().collect();
            for field in fields.iter().filter(|(_, name)| name != "redo") {
                let (w, h, t, n) = (was.get(field), here.get(field), there.get(field), now.get(field));
                let expected = if h == w { t } else { h };
                prop_assert_eq!(n, expected, "{:?}", field);
                prop_assert!(h == w || t == w || h == t, "changed on both sides without a conflict: {:?}", field);
            }
        }
    }

    #[test]
    fn a_conflict_about_a_field_is_one_and_every_one_is_told(here in acts(10), there in acts(10)) {
        let before = Copy::of(&bench());
        let (mut mine, mut theirs) = (before.taken_by("A.", 10_000), before.taken_by("B.", 20_000));
        act(&mut mine, &here, 6);
        act(&mut theirs, &there, 7);
        let (was, here, there) = (flat(before.book.tables()), flat(mine.book.tables()), flat(theirs.book.tables()));
        // Fields of records that are in all three, but for what the program says of a step itself.
        let twice: BTreeSet<(Key, String)> = was
            .keys()
            .filter(|field| {
                let (w, h, t) = (was.get(*field), here.get(*field), there.get(*field));
                h.is_some() && t.is_some() && h != w && t != w && h != t
            })
            .filter(|(key, _)| key.kind != crate::model::Kind::StepDone)
            .cloned()
            .collect();
        let told: BTreeSet<String> = match mine.merge(&theirs, &Choices::new()) {
            Ok(Outcome::Undecided(conflicts)) => conflicts.into_iter().map(|c| c.name).collect(),
            _ => BTreeSet::new(),
        };
        for (key, field) in &twice {
            let name = format!("{}.{field}", super::super::fields::name(&mine.book, *key));
            prop_assert!(told.contains(&name), "{name} is not among {told:?}");
        }
        let of_fields = told.iter().filter(|name| {
            let field = name.rsplit('.').next().unwrap_or("");
            was.keys().any(|(_, known)| known == field) && field != "label"
        });
        prop_assert!(of_fields.count() <= twice.len(), "{told:?} {twice:?}");
    }
}
