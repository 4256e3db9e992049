//! The log out of entries that were found in any order: each proves by its hash that it follows from the one before it.

use std::collections::BTreeMap;

use rusqlite::types::Value;

use crimpbook_workbook::{
    log::{Entry, Hash, link},
    model::{Key, Record, Tables},
};

use crate::{Head, error::Trouble, replay};

use super::{
    Salvaged,
    cells::Row,
    tables::Filled,
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
    pub later: States,
    /// The same as spoilt entries have it whose text can be read in part: as much proof as a row is.
    spoilt: States,
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

/// How it stood with records after an entry, and its place; no record: it was removed.
pub(super) type States = BTreeMap<Key, (u64, Option<Record>)>;

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
            _ => {
                chain.missing.push(seq);
                let left = there.iter().flat_map(|one| pieces(seq, &one.body));
                chain
                    .spoilt
                    .extend(left.map(|record| (record.key(), (seq, Some(record)))));
            }
        }
    }
}

/// The records that a spoilt entry leaves, each of which can be read by itself.
fn pieces(seq: u64, body: &str) -> Vec<Record> {
    let list = body.split_once("\"changes\":[").map_or(body, |(_, rest)| rest);
    // What a merge brought in is no state of this log.
    let list = list.split_once("],\"id\":\"").map_or(list, |(list, _)| list);
    let starts = list.match_indices("{\"").map(|(at, _)| at);
    let begins = |at: &usize| {
        let rest = list.get(*at..).unwrap_or_default();
        rest.starts_with("{\"after\":{\"") || rest.starts_with("{\"before\":{\"")
    };
    let starts: Vec<usize> = starts.filter(begins).collect();
    let ends = starts.iter().skip(1).copied().chain([list.len()]);
    let mut records = Vec::new();
    for piece in starts
        .iter()
        .zip(ends)
        .filter_map(|(from, to)| list.get(*from..to))
    {
        let piece = piece.trim_end_matches(',');
        let alone = format!(
            r#"{{"at":"2026-01-01T00:00:00Z","changes":[{piece}],"id":"1","kind":"import","schema":1,"title":"","who":""}}"#
        );
        if let Ok(entry) = replay::entry(seq, &alone)
            && !piece.contains('\u{fffd}')
        {
            records.extend(entry.changes.into_iter().filter_map(|change| change.after));
        }
    }
    records
}

impl Chain {
    /// Holds rows against what entries beyond a gap say of the same records, and says what these add.
    pub(super) fn settle(&self, saved: &mut Salvaged, filled: &Filled) {
        // Where nothing is missing after an entry, a row that says something else is damaged.
        let last_word = |key: Key| {
            let settled =
                |seq: u64| self.end_known && self.missing.last().is_none_or(|missing| *missing < seq);
            self.later.get(&key).is_some_and(|(seq, _)| settled(*seq))
        };
        saved.rows.retain(|row| !last_word(row.key()));
        let rows_tell = |key: Key| filled.there.contains(&key) || filled.lacks(key);
        let differs = |record: &Record| self.tables.get(record.key()).as_ref() != Some(record);
        for (key, (_, record)) in self
            .later
            .iter()
            .filter(|(key, _)| last_word(**key) || !rows_tell(**key))
        {
            match record {
                Some(record) if differs(record) => saved.rows.push(record.clone()),
                None if self.tables.has(*key) => saved.removed.push(*key),
                _ => {}
            }
        }
        let mut unproven = 0;
        for (key, (seq, record)) in &self.spoilt {
            let newer = self.later.get(key).is_none_or(|(later, _)| later < seq);
            if let Some(record) = record.as_ref().filter(|record| differs(record))
                && newer
                && !rows_tell(*key)
            {
                saved.rows.retain(|row| row.key() != *key);
                saved.rows.push(record.clone());
                unproven += 1;
            }
        }
        if let (Some(ends), 1..) = (&mut saved.log_ends, unproven) {
            let (records, them) = if unproven == 1 {
                ("record is", "it")
            } else {
                ("records are", "them")
            };
            ends.push_str(&format!(
                "; {unproven} {records} taken as the spoilt text of an entry has {them}, which proves nothing"
            ));
        }
        self.tables.each(&mut |record| {
            let key = record.key();
            if filled.lacks(key) && !last_word(key) {
                saved.removed.push(key);
            }
        });
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
