//! The order in which people expect labels, and sorting by it.

use std::cmp::Ordering;

/// What a text sorts by: words in lower case, each with its end, and the number behind it, eight bytes, the highest first.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Natural(Vec<u8>);

/// Ends a word, below all that a word may have.
const END: u8 = 0;

impl Natural {
    fn say(&mut self, c: char) {
        let mut bytes = [0; 4];
        match c {
            // Such a letter would end the word.
            '\0' => self.0.push(END + 1),
            c => self.0.extend_from_slice(c.encode_utf8(&mut bytes).as_bytes()),
        }
    }

    fn number(&mut self, number: u64) {
        self.0.push(END);
        self.0.extend_from_slice(&number.to_be_bytes());
    }
}

/// A key that sorts `A2` before `A10`.
pub fn natural(text: &str) -> Natural {
    let mut key = Natural(Vec::with_capacity(text.len() + 12));
    let mut number: Option<u64> = None;
    for c in text.chars() {
        if let Some(digit) = c.to_digit(10) {
            let before = number.unwrap_or(0);
            number = Some(before.saturating_mul(10).saturating_add(digit.into()));
            continue;
        }
        if let Some(number) = number.take() {
            key.number(number);
        }
        if c.is_ascii() {
            key.say(c.to_ascii_lowercase());
        } else {
            c.to_lowercase().for_each(|c| key.say(c));
        }
    }
    key.number(number.unwrap_or(0));
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
    fn a_word_that_another_begins_with_comes_first_and_numbers_of_any_length_last() {
        let in_order = [
            "A",
            "A1",
            "A18446744073709551614",
            "A99999999999999999999999",
            "A\0",
            "A b",
            "AB",
            "AB2",
            "AB2C",
            "Ä1",
        ];
        for (at, one) in in_order.iter().enumerate() {
            for other in &in_order[at + 1..] {
                assert!(natural(one) < natural(other), "{one:?} {other:?}");
            }
        }
        assert_eq!(natural("Mc-A07"), natural("mc-a7"));
    }

    #[test]
    fn numbers_sort_as_numbers() {
        let mut labels = ["W10", "W2", "SP1", "w1", "A", "10", "9"];
        labels.sort_by_key(|l| natural(l));
        assert_eq!(labels, ["9", "10", "A", "SP1", "w1", "W2", "W10"]);
    }
}
