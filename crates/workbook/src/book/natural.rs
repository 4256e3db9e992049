//! The order in which people expect labels, and sorting by it.

use std::cmp::Ordering;

/// A key that sorts `A2` before `A10`.
pub fn natural(text: &str) -> Vec<(String, u64)> {
    let mut key = Vec::new();
    let mut word = String::new();
    let mut digits = String::new();
    for c in text.chars() {
        if c.is_ascii_digit() {
            digits.push(c);
        } else {
            if !digits.is_empty() {
                key.push((std::mem::take(&mut word), digits.parse().unwrap_or(u64::MAX)));
                digits.clear();
            }
            word.extend(c.to_lowercase());
        }
    }
    key.push((word, digits.parse().unwrap_or(0)));
    key
}

/// Sorting for lists that people read. The library's sorting is made anew for every type that it is used with; with this
/// it is made but once, which keeps the program small.
pub trait InOrder<T> {
    /// Sorts by a key, which is worked out once for each; what is alike stays in its order.
    fn order_by<K: Ord>(&mut self, key: impl FnMut(&T) -> K);
}

impl<T> InOrder<T> for [T] {
    fn order_by<K: Ord>(&mut self, key: impl FnMut(&T) -> K) {
        let keys: Vec<K> = self.iter().map(key).collect();
        let mut from: Vec<usize> = (0..self.len()).collect();
        sort(&mut from, &|one, other| keys.get(one).cmp(&keys.get(other)));
        for at in 0..from.len() {
            let mut now = from[at];
            // What stood before this place has been swapped on to where its own turn's came from.
            while now < at {
                now = from[now];
            }
            from[at] = now;
            self.swap(at, now);
        }
    }
}

fn sort(places: &mut [usize], compare: &dyn Fn(usize, usize) -> Ordering) {
    places.sort_by(|one, other| compare(*one, *other));
}

#[cfg(test)]
mod tests {
    use super::{InOrder, natural};

    #[test]
    fn what_is_alike_stays_in_its_order() {
        let mut list: Vec<(u32, u32)> = (0..200).map(|n| (n * 7919 % 13, n)).collect();
        let mut by_the_library = list.clone();
        by_the_library.sort_by_key(|(key, _)| std::cmp::Reverse(*key));
        list.order_by(|(key, _)| std::cmp::Reverse(*key));
        assert_eq!(list, by_the_library);
    }

    #[test]
    fn numbers_sort_as_numbers() {
        let mut labels = ["W10", "W2", "SP1", "w1", "A", "10", "9"];
        labels.sort_by_key(|l| natural(l));
        assert_eq!(labels, ["9", "10", "A", "SP1", "w1", "W2", "W10"]);
    }
}
