//! Labels, cavities and revision letters that both copies take: told exactly where the design says so, found here by a
//! reckoning of its own.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::{
    super::{Choices, Keeps, Outcome, fields::name},
    Copy,
    random::{all, but_words},
};
use crate::{
    Book,
    edit::{Change, Edit, make, tests::random::bench},
    model::*,
};

/// What is done to which record, with a number to vary it.
type Act = (usize, usize, usize);

fn acts() -> impl Strategy<Value = Vec<Act>> {
    prop::collection::vec((0..12usize, 0..8usize, 0..6usize), 0..7)
}

fn nth<R: Row>(book: &Book, at: usize) -> Option<R> {
    let table = book.all::<R>();
    table.values().nth(at.checked_rem(table.len())?).cloned()
}

fn change<R: Row>(row: Option<R>, alter: impl FnOnce(&mut R)) -> Vec<Change> {
    let Some(before) = row else { return Vec::new() };
    let mut after = before.clone();
    alter(&mut after);
    vec![Change::replace(before, after)]
}

/// Renames, new records and filled cavities, from so few names and places that two laptops meet.
fn edit(book: &Book, ids: &mut IdMaker, (kind, at, vary): Act) -> Edit {
    let cavity = |at| nth::<Cavity>(book, at).map_or(End::Free, |c| End::Cavity(c.id));
    let changes = match kind {
        0 => change(nth::<Wire>(book, at), |w| w.label = format!("W{vary}")),
        1 => nth::<Wire>(book, at)
            .map(|w| {
                Change::make(Wire {
                    id: ids.make(),
                    label: format!("w{}", vary + 3),
                    from: End::Free,
                    to: End::Free,
                    ..w
                })
            })
            .into_iter()
            .collect(),
        2 | 3 => change(nth::<Wire>(book, at), |w| w.from = cavity(vary)),
        4 => change(nth::<Wire>(book, at), |w| w.to = cavity(at + vary)),
        5 | 6 => change(nth::<Cavity>(book, at), |c| {
            c.decision = [Decision::Blank, Decision::Reserved, Decision::Wired][vary % 3];
        }),
        7 => change(nth::<Cavity>(book, at), |c| c.number = format!("{}", vary + 3)),
        8 => nth::<Cavity>(book, at)
            .map(|c| {
                Change::make(Cavity {
                    id: ids.make(),
                    number: format!("{}", vary + 4),
                    decision: Decision::Undecided,
                    ..c
                })
            })
            .into_iter()
            .collect(),
        9 => change(nth::<Connector>(book, at), |c| c.label = format!("X{vary}")),
        10 => change(nth::<Wire>(book, at), |w| w.note = format!("{vary}")),
        _ => return make::release(book, "for building").expect("a why is given"),
    };
    Edit::design("an act", changes).because("tried")
}

/// The value that a field has when what only one copy changed is taken; where both did, what stands here.
fn pick<T: PartialEq>(was: Option<T>, here: Option<T>, there: Option<T>) -> Option<T> {
    if here == was { there } else { here }
}

/// The three states of a table.
struct Three<'a> {
    was: &'a Book,
    here: &'a Book,
    there: &'a Book,
}

impl Three<'_> {
    fn ids<R: Row>(&self) -> BTreeSet<Id<R>> {
        let all = [self.was, self.here, self.there].into_iter();
        all.flat_map(|book| book.all::<R>().keys().copied().collect::<Vec<_>>())
            .collect()
    }

    /// A field of a record once both are together.
    fn field<R: Row, T: PartialEq>(&self, id: Id<R>, of: impl Fn(&R) -> T) -> Option<T> {
        let of = |book: &Book| book.get(id).map(&of);
        pick(of(self.was), of(self.here), of(self.there))
    }

    /// Whether both changed it, and differently.
    fn both<R: Row, T: PartialEq>(&self, id: Id<R>, of: impl Fn(&R) -> T) -> bool {
        let of = |book: &Book| book.get(id).map(&of);
        let (was, here, there) = (of(self.was), of(self.here), of(self.there));
        here.is_some() && there.is_some() && here != was && there != was && here != there
    }
}

/// What the design says that a person must choose.
#[derive(Default)]
struct Expected {
    /// Names that may be told.
    all: BTreeSet<String>,
    /// Names that must be told now; the others wait until a choice about the same record is made.
    now: BTreeSet<String>,
}

impl Expected {
    fn add(&mut self, name: String, waits: bool) {
        if !waits {
            self.now.insert(name.clone());
        }
        self.all.insert(name);
    }
}

/// Every field with two values, by the name it is told under.
fn fields(three: &Three<'_>, waiting: &mut BTreeSet<Key>, expected: &mut Expected) {
    let mut see = |key: Key, field: &str, twice: bool| {
        if twice {
            waiting.insert(key);
            expected.add(format!("{}.{field}", name(three.here, key)), false);
        }
    };
    for id in three.ids::<Wire>() {
        let key = Key::of(id);
        see(key, "label", three.both(id, |w: &Wire| w.label.clone()));
        see(key, "from", three.both(id, |w: &Wire| w.from));
        see(key, "to", three.both(id, |w: &Wire| w.to));
        see(key, "note", three.both(id, |w: &Wire| w.note.clone()));
    }
    for id in three.ids::<Cavity>() {
        let key = Key::of(id);
        see(key, "number", three.both(id, |c: &Cavity| c.number.clone()));
        see(key, "decision", three.both(id, |c: &Cavity| c.decision));
    }
    for id in three.ids::<Connector>() {
        let twice = three.both(id, |c: &Connector| c.label.clone());
        see(Key::of(id), "label", twice);
    }
}

/// Every name that two records would have.
fn names(three: &Three<'_>, waiting: &mut BTreeSet<Key>, expected: &mut Expected) {
    let mut at: BTreeMap<String, Vec<Key>> = BTreeMap::new();
    let mut put = |place: Option<String>, key: Key| {
        if let Some(place) = place {
            at.entry(place.to_lowercase()).or_default().push(key);
        }
    };
    for id in three.ids::<Wire>() {
        let label = three.field(id, |w: &Wire| w.label.clone());
        put(label.map(|l| format!("wire {l}")), Key::of(id));
    }
    for id in three.ids::<Connector>() {
        let label = three.field(id, |c: &Connector| c.label.clone());
        put(label.map(|l| format!("connector {l}")), Key::of(id));
    }
    for id in three.ids::<Cavity>() {
        let number = three.field(id, |c: &Cavity| (c.connector, c.number.clone()));
        put(number.map(|(of, n)| format!("cavity {of} {n}")), Key::of(id));
    }
    let had = waiting.clone();
    for (place, keys) in at.iter().filter(|(_, keys)| keys.len() > 1) {
        // It is told under the name of the one that has it here.
        let has = |key: &&Key| {
            let book = three.here;
            let is = match key.kind {
                Kind::Wire => book
                    .get(key.as_id::<Wire>()?)
                    .map(|w| format!("wire {}", w.label)),
                Kind::Connector => book
                    .get(key.as_id::<Connector>()?)
                    .map(|c| format!("connector {}", c.label)),
                _ => book
                    .get(key.as_id::<Cavity>()?)
                    .map(|c| format!("cavity {} {}", c.connector, c.number)),
            };
            (is?.to_lowercase() == *place).then_some(())
        };
        let waits = keys.iter().any(|key| had.contains(key));
        let Some(mine) = keys.iter().find(|key| has(key).is_some()) else {
            assert!(waits, "neither of two records of one name has it here");
            continue;
        };
        expected.add(format!("{}.label", name(three.here, *mine)), waits);
        waiting.extend(keys);
    }
}

/// Every cavity that both filled, or that one filled and the other left empty on purpose.
fn cavities(three: &Three<'_>, waiting: &BTreeSet<Key>, expected: &mut Expected) {
    let empty = |d: &Decision| !matches!(d, Decision::Wired | Decision::Undecided);
    let ends = |book: &Book, cavity| -> BTreeSet<Id<Wire>> {
        let all = book.all::<Wire>().values();
        all.filter(|w| [w.from, w.to].contains(&End::Cavity(cavity)))
            .map(|w| w.id)
            .collect()
    };
    for cavity in three.ids::<Cavity>() {
        let end = End::Cavity(cavity);
        let together: BTreeSet<Id<Wire>> = three
            .ids::<Wire>()
            .into_iter()
            .filter(|id| {
                let from = three.field(*id, |w: &Wire| w.from);
                let to = three.field(*id, |w: &Wire| w.to);
                from == Some(end) || to == Some(end)
            })
            .collect();
        let was = ends(three.was, cavity);
        let new = |book: &Book, other: &Book| {
            let all = ends(book, cavity).into_iter();
            all.filter(|w| together.contains(w) && !was.contains(w) && !ends(other, cavity).contains(w))
                .count()
        };
        let twice = new(three.here, three.there) > 0 && new(three.there, three.here) > 0;
        let decided = |book: &Book| book.get(cavity).is_some_and(|c| empty(&c.decision));
        let says_both = |book: &Book| decided(book) && !ends(book, cavity).is_empty();
        let blank = three
            .field(cavity, |c: &Cavity| c.decision)
            .is_some_and(|d| empty(&d));
        let filled = blank && !together.is_empty() && !says_both(three.here) && !says_both(three.there);
        if twice || filled {
            let book = if three.here.get(cavity).is_some() {
                three.here
            } else {
                three.there
            };
            let key = Key::of(cavity);
            let waits = waiting.contains(&key) || together.iter().any(|w| waiting.contains(&Key::of(*w)));
            expected.add(name(book, key), waits);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn what_both_took_is_asked_and_nothing_else_is(common in acts(), here in acts(), there in acts()) {
        let mut before = Copy::of(&bench());
        let run = |copy: &mut Copy, acts: &[Act], seed| {
            let mut ids = IdMaker::new(seed);
            for one in acts {
                let edit = edit(&copy.book, &mut ids, *one);
                // Many are refused, as a person's would be.
                let _ = copy.put(edit);
            }
        };
        run(&mut before, &common, 5);
        let (mut mine, mut theirs) = (before.taken_by("A.", 10_000), before.taken_by("B.", 20_000));
        run(&mut mine, &here, 6);
        run(&mut theirs, &there, 7);
        let released = |copy: &Copy| {
            let own = copy.log.iter().skip(before.log.len());
            own.filter(|(entry, _)| entry.revision.is_some()).count()
        };

        let mut expected = Expected::default();
        let mut waiting = BTreeSet::new();
        let three = Three { was: &before.book, here: &mine.book, there: &theirs.book };
        fields(&three, &mut waiting, &mut expected);
        names(&three, &mut waiting, &mut expected);
        cavities(&three, &waiting, &mut expected);
        // Letters follow each other, so that two laptops which both released both took the next one.
        if released(&mine) > 0 && released(&theirs) > 0 {
            expected.add(format!("revision.{}", mine.book.revision().unwrap_or_default()), false);
        }
        let told: BTreeSet<String> = mine.conflicts(&theirs).into_iter().map(|c| c.name).collect();
        prop_assert!(told.is_subset(&expected.all), "told {told:?}, expected {:?}", expected.all);
        prop_assert!(expected.now.is_subset(&told), "told {told:?}, expected {:?}", expected.now);

        // And once it is chosen, either way round, both have the same.
        let (from_here, from_there) = (mine.merge(&theirs, &all(Keeps::Mine)), theirs.merge(&mine, &all(Keeps::Theirs)));
        if let (Ok(Outcome::Ready(a)), Ok(Outcome::Ready(b))) = (from_here, from_there) {
            let (mut one, mut other) = (mine.clone(), theirs.clone());
            let (went, went_too) = (one.put(*a), other.put(*b));
            prop_assert_eq!(went.is_ok(), went_too.is_ok(), "{:?} {:?}", went, went_too);
            if went.is_ok() {
                prop_assert_eq!(but_words(&one), but_words(&other));
                prop_assert_eq!(one.book.revision(), other.book.revision());
                prop_assert_eq!(one.merge(&theirs, &Choices::new()), Ok(Outcome::Nothing));
            }
        }
    }
}
