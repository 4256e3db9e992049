//! The log out of entries that were found in any order: each proves by its hash that it follows from the one before it.

use std::collections::{BTreeMap, HashMap};

use rusqlite::types::Value;

use crimpbook_workbook::{
    log::{Entry, Hash, link},
    model::{Key, Record, Tables},
};

use crate::{Head, error::Trouble, replay};

use super::{
    Salvaged,
    cells::Row,
    trees::{Forest, Tree},
};

/// How many columns a row of the log has.
const LOG_COLUMNS: usize = 11;

/// What the log tells.
#[derive(Default)]
pub(super) struct Chain {
    /// Its entries from the first one on, each following from the one before it.
    pub entries: Vec<Entry>,
    /// The records they make.
    pub tables: Tables,
    /// How it stood with each record after the last entry beyond those that names it, and that entry's place.
    pub later: HashMap<Key, (u64, Option<Record>)>,
    /// Places beyond `entries` of which nothing is proven.
    pub missing: Vec<u64>,
    /// The highest place that anything tells of.
    pub highest: u64,
    /// Whether `entries` is all there ever was.
    pub whole: bool,
    /// Whether nothing can have followed `highest`.
    end_known: bool,
    /// What is wrong with it.
    pub ends: Option<String>,
}

/// A row of the log as it was found.
struct Found {
    stored: Option<Hash>,
    body: String,
}

type Places = BTreeMap<u64, Vec<Found>>;

/// Puts the log together.
pub(super) fn chain(forest: &Forest, bytes: usize) -> Chain {
    // An entry's text alone takes more than a hundred bytes: a greater number is damage.
    let plausible = |place: i64| {
        u64::try_from(place)
            .ok()
            .filter(|n| (1..=bytes as u64 / 100).contains(n))
    };
    let mut places = Places::new();
    let mut chain = Chain::default();
    let logs: Vec<&Tree> = forest.trees.iter().filter(|tree| is_log(tree)).collect();
    let of_trees = logs.iter().flat_map(|tree| tree.rows.iter().flatten());
    for (place, row) in of_trees.chain(&forest.loose) {
        if let Some(place) = plausible(*place)
            && let Some(found) = found(row)
        {
            let there = places.entry(place).or_default();
            if !there
                .iter()
                .any(|other| other.stored == found.stored && other.body == found.body)
            {
                there.push(found);
            }
        }
    }
    let listed = listed(forest, &plausible);
    let of_rows = forest
        .loose
        .iter()
        .chain(logs.iter().flat_map(|tree| tree.rows.iter().flatten()));
    let places_told = of_rows
        .filter(|(_, row)| row.len() == LOG_COLUMNS)
        .filter_map(|(place, _)| plausible(*place));
    chain.highest = highest(
        places_told
            .chain(listed.iter().copied())
            .chain(plausible(forest.highest))
            .collect(),
    );
    let mut head = Head::default();
    let mut trouble = None;
    while let Some((next, entry)) = places
        .get(&(head.seq + 1))
        .and_then(|found| proven(&places, head, found))
    {
        match entry
            .and_then(|entry| replay::apply(&mut chain.tables, next.seq, entry.clone()).map(|()| entry))
        {
            Ok(entry) => chain.entries.push(entry),
            Err(why) => {
                trouble = Some(why);
                break;
            }
        }
        head = next;
    }
    // That no page of the log went missing is told by its name in the schema, or by the list of ids, which tells of the same entries.
    let gapless = |tree: &Tree| tree.rows.iter().all(Option::is_some);
    let all_listed = head.seq > 0 && listed.len() as u64 == head.seq;
    let sound = matches!(logs.as_slice(), [tree] if gapless(tree) && (tree.name.is_some() || all_listed))
        || all_listed
            && forest
                .trees
                .iter()
                .any(|tree| tree.name.is_some() && lists_ids(tree) && gapless(tree));
    let last = |tree: &&Tree| {
        tree.rows
            .last()
            .and_then(|row| row.as_ref())
            .map(|(place, _)| *place)
    };
    let ends_at = logs.iter().filter(|tree| tree.name.is_some()).find_map(last);
    chain.end_known = sound || ends_at.is_some_and(|place| plausible(place) == Some(chain.highest));
    chain.whole = sound && head.seq == chain.highest && trouble.is_none() && head.seq > 0;
    beyond(&mut chain, &places, head.seq);
    chain.ends = (!chain.whole).then(|| ends(&chain, head.seq, trouble));
    chain
}

fn is_log(tree: &Tree) -> bool {
    !tree.index
        && tree
            .rows
            .iter()
            .flatten()
            .any(|(_, row)| row.len() == LOG_COLUMNS)
}

fn found(row: &Row) -> Option<Found> {
    match row.as_slice() {
        [.., Value::Text(hash), Value::Text(body)] if row.len() == LOG_COLUMNS => Some(Found {
            stored: Hash::parse(hash),
            body: body.clone(),
        }),
        _ => None,
    }
}

/// The highest place that is told of twice, or beside another: one by itself may be a spoilt number.
fn highest(mut told: Vec<u64>) -> u64 {
    told.sort_unstable();
    let twice = told.windows(2).rev().find_map(|two| match two {
        [one, other] => (other - one <= 1).then_some(*other),
        _ => None,
    });
    twice.unwrap_or_default()
}

/// Whether a tree is the list of the entries' ids: the one index of a text to a number.
fn lists_ids(tree: &Tree) -> bool {
    let pair = |row: &Row| matches!(row.as_slice(), [Value::Text(_), Value::Integer(_)]);
    tree.index && tree.rows.iter().flatten().any(|(_, row)| pair(row))
}

/// Places of entries as the list of their ids has them.
fn listed(forest: &Forest, plausible: &dyn Fn(i64) -> Option<u64>) -> Vec<u64> {
    let lists = forest.trees.iter().filter(|tree| lists_ids(tree));
    lists
        .flat_map(|tree| tree.rows.iter().flatten())
        .filter_map(|(_, row)| match row.as_slice() {
            [_, Value::Integer(place)] => plausible(*place),
            _ => None,
        })
        .collect()
}

/// The one of some rows that follows from `head`, by its own hash or, where that is spoilt, by the next one's.
fn proven(places: &Places, head: Head, found: &[Found]) -> Option<(Head, Result<Entry, Trouble>)> {
    let seq = head.seq + 1;
    let after = places.get(&(seq + 1)).map(Vec::as_slice).unwrap_or_default();
    found.iter().find_map(|one| {
        let hash = link(head.hash, &one.body);
        let follows = |next: &Found| next.stored == Some(link(hash, &next.body));
        (one.stored == Some(hash) || after.iter().any(follows))
            .then(|| (Head { seq, hash }, replay::entry(seq, &one.body)))
    })
}

/// What entries beyond a gap tell, as far as each follows from one that was found.
fn beyond(chain: &mut Chain, places: &Places, from: u64) {
    for seq in from + 1..=chain.highest {
        let before = seq
            .checked_sub(1)
            .and_then(|n| places.get(&n))
            .map(Vec::as_slice)
            .unwrap_or_default();
        let there = places.get(&seq).map(Vec::as_slice).unwrap_or_default();
        let follows = |one: &&Found| {
            let mut hashes = before.iter().filter_map(|other| other.stored);
            hashes.any(|hash| one.stored == Some(link(hash, &one.body)))
        };
        match there
            .iter()
            .find(follows)
            .map(|one| replay::entry(seq, &one.body))
        {
            Some(Ok(entry)) => chain.later.extend(
                entry
                    .changes
                    .into_iter()
                    .filter_map(|change| Some((change.key()?, (seq, change.after)))),
            ),
            _ => chain.missing.push(seq),
        }
    }
}

impl Chain {
    /// Holds rows against what entries beyond a gap say of the same records, which is proven.
    pub(super) fn settle(&self, saved: &mut Salvaged, has_row: impl Fn(Key) -> bool) {
        // Where nothing is missing after an entry, a row that says something else is damaged.
        let last_word = |seq: u64| self.end_known && self.missing.last().is_none_or(|missing| *missing < seq);
        let settled = |row: &Record| self.later.get(&row.key()).is_some_and(|(seq, _)| last_word(*seq));
        saved.rows.retain(|row| !settled(row));
        for (key, (seq, record)) in &self.later {
            if has_row(*key) && !last_word(*seq) {
                continue;
            }
            let now = self.tables.get(*key);
            match record {
                Some(record) if now.as_ref() != Some(record) => saved.rows.push(record.clone()),
                None if now.is_some() => saved.removed.push(*key),
                _ => {}
            }
        }
        saved.rows.sort_by_key(Record::key);
        saved.removed.sort();
    }
}

/// Why the log was not read further, or may have gone on.
fn ends(chain: &Chain, read: u64, trouble: Option<Trouble>) -> String {
    let all = format!(
        "{}{}",
        if chain.end_known { "" } else { "at least " },
        chain.highest
    );
    if let Some(trouble) = trouble {
        return trouble.what();
    }
    if chain.highest == 0 {
        return "none of its entries was found".to_owned();
    }
    let mut runs: Vec<(u64, u64)> = Vec::new();
    for place in &chain.missing {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *place => *last = *place,
            _ => runs.push((*place, *place)),
        }
    }
    if runs.is_empty() {
        return format!("whether anything followed entry {read} cannot be told");
    }
    let runs: Vec<String> = runs
        .iter()
        .map(|(first, last)| {
            if first == last {
                first.to_string()
            } else {
                format!("{first} to {last}")
            }
        })
        .collect();
    let beyond = chain.highest - read - chain.missing.len() as u64;
    let entries = if chain.missing.len() == 1 {
        "entry"
    } else {
        "entries"
    };
    let gone = format!("{entries} {} of {all} cannot be read or proven", runs.join(", "));
    match beyond {
        0 => gone,
        _ => format!("{gone}; {beyond} beyond were read for the records that they leave"),
    }
}
