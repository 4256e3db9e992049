//! A map of lists that is cheap to copy: copies share all but the parts that one of them changes.

use std::{
    fmt,
    hash::{BuildHasher, BuildHasherDefault, Hash},
    sync::Arc,
};

use crate::model::{Mix, Quick};

const SHARDS: usize = 256;

type Shard<K, V> = Quick<K, Vec<V>>;

/// Lists by key. A key without a list is not there.
#[derive(Clone)]
pub struct Lists<K, V>(Arc<Vec<Arc<Shard<K, V>>>>);

impl<K: Hash + Eq + Clone, V: Clone> Lists<K, V> {
    /// The list of this key, if there is one.
    pub fn get(&self, key: &K) -> Option<&Vec<V>> {
        self.0.get(place(key))?.get(key)
    }

    /// The items of this key's list.
    pub fn of(&self, key: &K) -> &[V] {
        self.get(key).map_or(&[], Vec::as_slice)
    }

    /// Whether there is a list for this key.
    pub fn contains_key(&self, key: &K) -> bool {
        self.get(key).is_some()
    }

    /// Every list, in no order.
    pub fn values(&self) -> impl Iterator<Item = &Vec<V>> {
        self.0.iter().flat_map(|shard| shard.values())
    }

    /// Every key with its list, in no order.
    pub fn iter(&self) -> impl Iterator<Item = (&K, &Vec<V>)> {
        self.0.iter().flat_map(|shard| shard.iter())
    }

    /// How many lists there are.
    pub fn len(&self) -> usize {
        self.0.iter().map(|shard| shard.len()).sum()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|shard| shard.is_empty())
    }

    fn shard(&mut self, key: &K) -> &mut Shard<K, V> {
        let shards = Arc::make_mut(&mut self.0);
        if shards.is_empty() {
            shards.resize_with(SHARDS, Arc::default);
        }
        Arc::make_mut(&mut shards[place(key)])
    }

    pub(super) fn push(&mut self, key: K, item: V) {
        // Most lists have one item, and there are many lists.
        let list = self.shard(&key).entry(key);
        list.or_insert_with(|| Vec::with_capacity(1)).push(item);
    }

    /// Puts the item before the first one that is not `before` it.
    pub(super) fn insert(&mut self, key: K, item: V, before: impl Fn(&V) -> bool) {
        let list = self.shard(&key).entry(key).or_default();
        let at = list.partition_point(before);
        list.insert(at, item);
    }

    pub(super) fn take(&mut self, key: &K, is_it: impl Fn(&V) -> bool) {
        let shard = self.shard(key);
        if let Some(list) = shard.get_mut(key) {
            list.retain(|item| !is_it(item));
            if list.is_empty() {
                shard.remove(key);
            }
        }
    }

    pub(super) fn sort_each(&mut self, sort: impl Fn(&mut Vec<V>)) {
        for shard in Arc::make_mut(&mut self.0) {
            Arc::make_mut(shard).values_mut().for_each(&sort);
        }
    }
}

fn place<K: Hash>(key: &K) -> usize {
    let hash = BuildHasherDefault::<Mix>::default().hash_one(key);
    // The map takes the highest bits and the lowest; these are others.
    usize::try_from(hash >> 32).unwrap_or(0) % SHARDS
}

impl<K, V> Default for Lists<K, V> {
    fn default() -> Self {
        Self(Arc::default())
    }
}

impl<K: Hash + Eq + Clone, V: Clone + PartialEq> PartialEq for Lists<K, V> {
    fn eq(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().all(|(key, list)| other.get(key) == Some(list))
    }
}

impl<K: fmt::Debug, V: fmt::Debug> fmt::Debug for Lists<K, V> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_map()
            .entries(self.0.iter().flat_map(|shard| shard.iter()))
            .finish()
    }
}
