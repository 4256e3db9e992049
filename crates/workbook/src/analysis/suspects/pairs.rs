//! Two faults at once, where no single one fits.
//!
//! They are not solved together: each must show its part of what was seen and read, and leave the rest as it is.

use std::collections::HashMap;

use super::{
    How, Signatures,
    fit::{Fits, Item},
    prior::prior,
};

/// Two faults that would show everything together.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// Places in [`Signatures::faults`].
    pub faults: [usize; 2],
}

/// So many are given.
const MOST_PAIRS: usize = 5;
/// Items that are looked at; more than a person ever enters.
const MOST_ITEMS: usize = 60;

/// What a look does to the items.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Part {
    /// Bits of the items it shows.
    shows: u64,
    /// Bits of the items it leaves as they are without a fault.
    leaves: u64,
}

impl Part {
    fn with(self, other: Self) -> u64 {
        (self.shows & other.shows) | (self.shows & other.leaves) | (other.shows & self.leaves)
    }
}

pub(super) fn pairs(of: &Signatures, items: &[Item]) -> Vec<Pair> {
    let items = items.get(..MOST_ITEMS.min(items.len())).unwrap_or_default();
    let all = if items.is_empty() {
        0
    } else {
        u64::MAX >> (64 - items.len())
    };
    // The likeliest fault of each kind of part stands for those like it.
    let mut parts: HashMap<Part, (f64, Vec<usize>)> = HashMap::new();
    for (at, signature) in of.faults.iter().enumerate() {
        for look in signature.looks.iter().filter(|look| look.how != How::Burnt) {
            let mut part = Part { shows: 0, leaves: 0 };
            for (n, item) in items.iter().enumerate() {
                if matches!(of.fits(Some(look), item), Fits::Yes(..)) {
                    part.shows |= 1 << n;
                }
                if of.leaves(look, item) {
                    part.leaves |= 1 << n;
                }
            }
            let entry = parts.entry(part).or_default();
            entry.0 = entry.0.max(prior(signature.failing));
            if !entry.1.contains(&at) {
                entry.1.push(at);
            }
        }
    }
    let parts: Vec<(Part, (f64, Vec<usize>))> = parts.into_iter().collect();
    let mut found: Vec<(f64, [usize; 2])> = Vec::new();
    for (n, (one, ones)) in parts.iter().enumerate() {
        for (other, others) in parts.iter().skip(n) {
            if one.with(*other) != all {
                continue;
            }
            for a in &ones.1 {
                for b in others.1.iter().filter(|b| *b != a) {
                    let of_both = |at: &usize| of.faults.get(*at).map_or(0.0, |f| prior(f.failing));
                    found.push((of_both(a) * of_both(b), [*a.min(b), *a.max(b)]));
                }
            }
            // Enough to choose from; the rest would only repeat them.
            if found.len() > 20_000 {
                break;
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    found.dedup_by_key(|f| f.1);
    found.truncate(MOST_PAIRS);
    found.into_iter().map(|(_, faults)| Pair { faults }).collect()
}

impl Signatures {
    /// Whether a look leaves an item as it is without a fault.
    fn leaves(&self, look: &super::Look, item: &Item) -> bool {
        match *item {
            Item::Seen(symptom) => {
                self.is_on(Some(look), symptom.watched) == self.is_on(None, symptom.watched)
            }
            Item::Read(place, _) => match (self.window(Some(look), place), self.window(None, place)) {
                (Some(one), Some(other)) => {
                    (one.middle() - other.middle()).abs() < 0.5 * one.half().min(other.half())
                }
                (one, other) => one == other,
            },
        }
    }
}
