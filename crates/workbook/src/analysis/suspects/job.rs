//! One thing to solve, and what follows from how it ends.

use super::{look::How, ways::Act};

/// A way in which a fault may lie, and how far units have reacted to it.
#[derive(Debug, Clone)]
pub(super) struct Job {
    /// Place of the fault.
    pub fault: usize,
    pub acts: Vec<Act>,
    /// Coils held by their economisers, by place, in order.
    pub holding: Vec<usize>,
    /// Parts that units drive otherwise than the state has them: place, whether on; in order.
    pub turned: Vec<(usize, bool)>,
    /// Parts that are dead since their unit has no feed, in order.
    pub dead: Vec<usize>,
    pub how: How,
    pub weight: f64,
    /// How often it was taken up again.
    pub rounds: u8,
    /// What it looks like before a fuse opens is told already.
    pub first_told: bool,
    /// What nobody can say was tried the other way.
    pub guessed: bool,
}

/// Rounds in which economisers and outputs settle.
pub(super) const MOST_ROUNDS: u8 = 10;

/// What a circuit must be made ready for: what cannot be had by a small change of another.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Key {
    pub holding: Vec<usize>,
    /// Parts that units have come to switch on.
    pub on: Vec<usize>,
}

impl Job {
    pub(super) fn new(fault: usize, acts: Vec<Act>, holding: Vec<usize>) -> Self {
        Self {
            fault,
            acts,
            holding,
            turned: Vec::new(),
            dead: Vec::new(),
            how: How::Lasting,
            weight: 1.0,
            rounds: 0,
            guessed: false,
            first_told: false,
        }
    }

    pub(super) fn key(&self) -> Key {
        let on = self.turned.iter().filter(|(_, on)| *on).map(|(at, _)| *at);
        Key {
            holding: self.holding.clone(),
            on: on.collect(),
        }
    }

    /// Parts that are off though the state has them on.
    pub(super) fn off(&self) -> impl Iterator<Item = usize> + '_ {
        let off = self.turned.iter().filter(|(_, on)| !*on).map(|(at, _)| *at);
        off.chain(self.dead.iter().copied())
    }

    /// How a part that a unit drives stands, beside how the state has it.
    pub(super) fn stands(&self, part: usize, usual: bool) -> bool {
        let turned = self.turned.iter().find(|(at, _)| *at == part);
        turned.map_or(usual, |(_, on)| *on)
    }

    /// The same with a part driven otherwise.
    pub(super) fn turn(&mut self, part: usize, on: bool, usual: bool) {
        self.turned.retain(|(at, _)| *at != part);
        if on != usual {
            self.turned.push((part, on));
            self.turned.sort_unstable();
        }
    }
}
