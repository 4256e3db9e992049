//! A table of records that is cheap to copy: copies share their rows until one of them is changed.

use std::{
    cmp::Ordering,
    fmt,
    sync::{Arc, OnceLock},
};

use super::{Id, Row, hash::Quick};

/// Most rows of a chunk; a change copies the pointers of one chunk.
const CHUNK: usize = 96;

/// Rows in order of ids. Its first id stands in it, so that the search for a chunk looks at no row.
struct Chunk<R> {
    first: Id<R>,
    rows: Arc<Rows<R>>,
}

type Rows<R> = Vec<(Id<R>, Arc<R>)>;

/// The place of a chunk, and of a record in it.
type Places<R> = Quick<Id<R>, (u32, u32)>;

/// Records of one kind by id: chunks in order of ids, none of them empty.
#[derive(Clone)]
pub struct Table<R> {
    chunks: Arc<Vec<Chunk<R>>>,
    len: usize,
    /// Where each record stands, for a book that is looked at more than it is changed.
    places: Arc<OnceLock<Places<R>>>,
}

impl<R> Chunk<R> {
    /// A chunk of these rows; none without a row.
    fn of(rows: Rows<R>) -> Option<Self> {
        Some(Self {
            first: rows.first()?.0,
            rows: Arc::new(rows),
        })
    }
}

impl<R> Clone for Chunk<R> {
    fn clone(&self) -> Self {
        Self {
            first: self.first,
            rows: Arc::clone(&self.rows),
        }
    }
}

impl<R: Row> Table<R> {
    /// An empty table.
    pub fn new() -> Self {
        Self::default()
    }

    /// The chunk that holds the id or would hold it.
    fn chunk_of(&self, id: Id<R>) -> usize {
        self.chunks
            .partition_point(|chunk| chunk.first <= id)
            .saturating_sub(1)
    }

    /// Makes looking up quick until the next change.
    pub(crate) fn index(&self) {
        self.places.get_or_init(|| {
            let mut places = Quick::with_capacity_and_hasher(self.len, Default::default());
            for (at, chunk) in (0u32..).zip(self.chunks.iter()) {
                places.extend(
                    (0u32..)
                        .zip(chunk.rows.iter())
                        .map(|(row, (id, _))| (*id, (at, row))),
                );
            }
            places
        });
    }

    fn changed(&mut self) {
        match Arc::get_mut(&mut self.places) {
            Some(places) => drop(places.take()),
            // A copy still finds its records where they were.
            None => self.places = Arc::default(),
        }
    }

    fn place(&self, id: Id<R>) -> Option<(usize, usize)> {
        if let Some(places) = self.places.get() {
            return places.get(&id).map(|(at, row)| (*at as usize, *row as usize));
        }
        let at = self.chunk_of(id);
        let row = self
            .chunks
            .get(at)?
            .rows
            .binary_search_by_key(&id, |(id, _)| *id)
            .ok()?;
        Some((at, row))
    }

    /// The record with this id.
    pub fn get(&self, id: &Id<R>) -> Option<&R> {
        let (at, row) = self.place(*id)?;
        self.chunks.get(at)?.rows.get(row).map(|(_, row)| row.as_ref())
    }

    /// The record with this id, to change.
    pub fn get_mut(&mut self, id: &Id<R>) -> Option<&mut R> {
        let (at, row) = self.place(*id)?;
        let chunk = Arc::make_mut(&mut self.chunks).get_mut(at)?;
        Arc::make_mut(&mut chunk.rows)
            .get_mut(row)
            .map(|(_, row)| Arc::make_mut(row))
    }

    /// Whether there is a record with this id.
    pub fn contains_key(&self, id: &Id<R>) -> bool {
        self.place(*id).is_some()
    }

    /// Puts a record in; gives the one it replaces.
    pub fn insert(&mut self, id: Id<R>, row: R) -> Option<R> {
        let row = Arc::new(row);
        let at = self.chunk_of(id);
        self.changed();
        let chunks = Arc::make_mut(&mut self.chunks);
        let Some(chunk) = chunks.get_mut(at) else {
            chunks.extend(Chunk::of(vec![(id, row)]));
            self.len += 1;
            return None;
        };
        let rows = Arc::make_mut(&mut chunk.rows);
        match rows.binary_search_by_key(&id, |(id, _)| *id) {
            Ok(place) => {
                let slot = rows.get_mut(place)?;
                return Some(Arc::unwrap_or_clone(std::mem::replace(&mut slot.1, row)));
            }
            Err(place) => rows.insert(place, (id, row)),
        }
        chunk.first = chunk.first.min(id);
        self.len += 1;
        if rows.len() > CHUNK {
            // Ids that are made one after the other come at the end: then the full chunk stays full.
            let keep = if rows.last().is_some_and(|(last, _)| *last == id) {
                CHUNK
            } else {
                CHUNK / 2
            };
            let rest = Chunk::of(rows.split_off(keep));
            chunks.splice(at + 1..at + 1, rest);
        }
        None
    }

    /// Takes a record out.
    pub fn remove(&mut self, id: &Id<R>) -> Option<R> {
        let (at, place) = self.place(*id)?;
        self.changed();
        let chunks = Arc::make_mut(&mut self.chunks);
        let chunk = chunks.get_mut(at)?;
        let rows = Arc::make_mut(&mut chunk.rows);
        let (_, row) = rows.remove(place);
        match rows.first() {
            Some((first, _)) => chunk.first = *first,
            None => drop(chunks.remove(at)),
        }
        self.len -= 1;
        Some(Arc::unwrap_or_clone(row))
    }

    /// Calls `see` for each record that is not the same in both, as it is here and as it is there; where one of them has
    /// none, there is none. What the two still share is not looked at.
    pub fn differences<'a>(&'a self, other: &'a Self, see: &mut dyn FnMut(Option<&'a R>, Option<&'a R>)) {
        if Arc::ptr_eq(&self.chunks, &other.chunks) {
            return;
        }
        let (mut ours, mut theirs) = (self.chunks.as_slice(), other.chunks.as_slice());
        let (mut a, mut b): (&[_], &[_]) = (&[], &[]);
        loop {
            if a.is_empty() && b.is_empty() {
                // Whole chunks that both share.
                while let ([one, rest @ ..], [two, others @ ..]) = (ours, theirs)
                    && Arc::ptr_eq(&one.rows, &two.rows)
                {
                    (ours, theirs) = (rest, others);
                }
            }
            for (rows, chunks) in [(&mut a, &mut ours), (&mut b, &mut theirs)] {
                if let ([], [chunk, rest @ ..]) = (*rows, *chunks) {
                    (*rows, *chunks) = (chunk.rows.as_slice(), rest);
                }
            }
            let (first, second) = (a.first(), b.first());
            let order = match (first, second) {
                (None, None) => return,
                (Some(_), None) => Ordering::Less,
                (None, Some(_)) => Ordering::Greater,
                (Some(one), Some(two)) => one.0.cmp(&two.0),
            };
            let here = first.filter(|_| order.is_le());
            let there = second.filter(|_| order.is_ge());
            let same = match (here, there) {
                (Some((_, here)), Some((_, there))) => Arc::ptr_eq(here, there) || here == there,
                _ => false,
            };
            if !same {
                see(
                    here.map(|(_, row)| row.as_ref()),
                    there.map(|(_, row)| row.as_ref()),
                );
            }
            a = a.get(usize::from(here.is_some())..).unwrap_or_default();
            b = b.get(usize::from(there.is_some())..).unwrap_or_default();
        }
    }

    /// Ids and records in order of ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&Id<R>, &R)> + Clone {
        let rows = self.chunks.iter().flat_map(|chunk| chunk.rows.iter());
        rows.map(|(id, row)| (id, row.as_ref()))
    }

    /// The records in order of ids.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &R> + Clone {
        self.iter().map(|(_, row)| row)
    }

    /// The ids in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &Id<R>> + Clone {
        self.iter().map(|(id, _)| id)
    }

    /// How many records there are.
    pub fn len(&self) -> usize {
        self.len
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.len == 0
    }
}

impl<R> Default for Table<R> {
    fn default() -> Self {
        Self {
            chunks: Arc::default(),
            len: 0,
            places: Arc::default(),
        }
    }
}

impl<R: PartialEq> PartialEq for Table<R> {
    fn eq(&self, other: &Self) -> bool {
        if self.len != other.len {
            return false;
        }
        if Arc::ptr_eq(&self.chunks, &other.chunks) {
            return true;
        }
        let rows = self.chunks.iter().flat_map(|chunk| chunk.rows.iter());
        let theirs = other.chunks.iter().flat_map(|chunk| chunk.rows.iter());
        rows.zip(theirs)
            .all(|(a, b)| a.0 == b.0 && (Arc::ptr_eq(&a.1, &b.1) || a.1 == b.1))
    }
}

impl<R: fmt::Debug> fmt::Debug for Table<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let rows = self.chunks.iter().flat_map(|chunk| chunk.rows.iter());
        f.debug_map().entries(rows.map(|(id, row)| (id, row))).finish()
    }
}

impl<R: Row> FromIterator<(Id<R>, R)> for Table<R> {
    fn from_iter<I: IntoIterator<Item = (Id<R>, R)>>(rows: I) -> Self {
        let mut table = Self::new();
        for (id, row) in rows {
            table.insert(id, row);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Id, Zone};

    fn zone(bits: u128, label: &str) -> Zone {
        Zone {
            id: Id::from_bits(bits),
            label: label.to_owned(),
            ambient_c: None,
            wet: false,
            plan: None,
            note: String::new(),
        }
    }

    #[test]
    fn a_copy_keeps_what_it_was_when_the_other_changes() {
        let mut table: Table<Zone> = [zone(2, "b"), zone(1, "a")]
            .into_iter()
            .map(|z| (z.id, z))
            .collect();
        let copy = table.clone();
        assert_eq!(table, copy);
        table.get_mut(&Id::from_bits(1)).unwrap().label = "c".to_owned();
        assert_eq!(table.remove(&Id::from_bits(2)).unwrap().label, "b");
        assert_eq!(table.remove(&Id::from_bits(2)), None);
        copy.index();
        assert_eq!(table.insert(Id::from_bits(3), zone(3, "d")), None);
        assert_eq!(table.get(&Id::from_bits(2)), None);
        assert!(table.get(&Id::from_bits(3)).is_some() && copy.get(&Id::from_bits(2)).is_some());
        let labels = |t: &Table<Zone>| t.values().map(|z| z.label.clone()).collect::<Vec<_>>();
        assert_eq!(
            (labels(&table), labels(&copy)),
            (vec!["c".into(), "d".into()], vec!["a".into(), "b".into()])
        );
        assert_ne!(table, copy);
    }

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(32))]

        /// Held against the standard library's map.
        #[test]
        fn it_answers_as_a_map_would(acts in proptest::collection::vec((0..400u128, 0..4u8), 0..1500)) {
            let mut table = Table::new();
            let mut map = std::collections::BTreeMap::new();
            let mut early = Table::new();
            let half = acts.len() / 2;
            for (n, (bits, act)) in acts.into_iter().enumerate() {
                let id = Id::from_bits(bits);
                if n == half {
                    early = table.clone();
                }
                if act == 3 {
                    table.index();
                } else if act == 0 {
                    proptest::prop_assert_eq!(table.remove(&id), map.remove(&id));
                } else {
                    let row = zone(bits, &n.to_string());
                    proptest::prop_assert_eq!(table.insert(id, row.clone()), map.insert(id, row));
                }
                proptest::prop_assert_eq!(table.len(), map.len());
                proptest::prop_assert_eq!(table.get(&id), map.get(&id));
            }
            proptest::prop_assert!(table.iter().eq(map.iter()));
            let mut there = early.clone();
            table.differences(&early, &mut |here, was| match (here, was) {
                (Some(row), _) => drop(there.insert(row.id, row.clone())),
                (None, Some(row)) => drop(there.remove(&row.id)),
                (None, None) => unreachable!("a difference of nothing"),
            });
            proptest::prop_assert_eq!(&there, &table);
            table.differences(&table.clone(), &mut |_, _| panic!("no difference"));
            table.differences(&map.clone().into_iter().collect(), &mut |_, _| panic!("none in other chunks"));
            proptest::prop_assert!(table.keys().rev().eq(map.keys().rev()));
            proptest::prop_assert!(table.chunks.iter().all(|c| c.rows.len() <= CHUNK && c.rows.first().map(|r| r.0) == Some(c.first)));
            let again: Table<Zone> = map.into_iter().collect();
            proptest::prop_assert_eq!(table, again);
        }
    }
}
