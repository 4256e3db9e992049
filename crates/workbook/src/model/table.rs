//! A table of records that is cheap to copy: copies share their rows until one of them is changed.

use std::{collections::BTreeMap, fmt, sync::Arc};

use super::{Id, Row};

/// Records of one kind by id.
#[derive(Clone)]
pub struct Table<R>(Arc<BTreeMap<Id<R>, Arc<R>>>);

impl<R: Row> Table<R> {
    /// An empty table.
    pub fn new() -> Self {
        Self::default()
    }

    /// The record with this id.
    pub fn get(&self, id: &Id<R>) -> Option<&R> {
        self.0.get(id).map(Arc::as_ref)
    }

    /// The record with this id, to change.
    pub fn get_mut(&mut self, id: &Id<R>) -> Option<&mut R> {
        if !self.0.contains_key(id) {
            return None;
        }
        Arc::make_mut(&mut self.0).get_mut(id).map(Arc::make_mut)
    }

    /// Whether there is a record with this id.
    pub fn contains_key(&self, id: &Id<R>) -> bool {
        self.0.contains_key(id)
    }

    /// Puts a record in; gives the one it replaces.
    pub fn insert(&mut self, id: Id<R>, row: R) -> Option<R> {
        let old = Arc::make_mut(&mut self.0).insert(id, Arc::new(row));
        old.map(Arc::unwrap_or_clone)
    }

    /// Takes a record out.
    pub fn remove(&mut self, id: &Id<R>) -> Option<R> {
        if !self.0.contains_key(id) {
            return None;
        }
        Arc::make_mut(&mut self.0).remove(id).map(Arc::unwrap_or_clone)
    }

    /// The records in order of ids.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &R> + ExactSizeIterator + Clone {
        self.0.values().map(Arc::as_ref)
    }

    /// The ids in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &Id<R>> + ExactSizeIterator + Clone {
        self.0.keys()
    }

    /// Ids and records in order of ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&Id<R>, &R)> + ExactSizeIterator + Clone {
        self.0.iter().map(|(id, row)| (id, row.as_ref()))
    }

    /// How many records there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl<R> Default for Table<R> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<R: PartialEq> PartialEq for Table<R> {
    fn eq(&self, other: &Self) -> bool {
        if Arc::ptr_eq(&self.0, &other.0) {
            return true;
        }
        let mut pairs = self.0.iter().zip(other.0.iter());
        self.0.len() == other.0.len()
            && pairs.all(|(a, b)| a.0 == b.0 && (Arc::ptr_eq(a.1, b.1) || a.1 == b.1))
    }
}

impl<R: fmt::Debug> fmt::Debug for Table<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_map().entries(self.0.iter()).finish()
    }
}

impl<R: Row> FromIterator<(Id<R>, R)> for Table<R> {
    fn from_iter<I: IntoIterator<Item = (Id<R>, R)>>(rows: I) -> Self {
        Self(Arc::new(
            rows.into_iter().map(|(id, row)| (id, Arc::new(row))).collect(),
        ))
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
        assert_eq!(table.insert(Id::from_bits(3), zone(3, "d")), None);
        let labels = |t: &Table<Zone>| t.values().map(|z| z.label.clone()).collect::<Vec<_>>();
        assert_eq!(
            (labels(&table), labels(&copy)),
            (vec!["c".into(), "d".into()], vec!["a".into(), "b".into()])
        );
        assert_ne!(table, copy);
    }
}
