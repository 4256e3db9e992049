//! Functions of two-way choices as reduced ordered decision diagrams.
//!
//! Every function is one number; equal functions have equal numbers, so that "is it empty" and "is it the same" cost nothing. Choices
//! are numbered, and the diagram asks them in that order.

use std::collections::HashMap;

/// A function held by [`Diagrams`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Function(u32);

/// Holds in no combination.
pub const FALSE: Function = Function(0);
/// Holds in every combination.
pub const TRUE: Function = Function(1);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Node {
    choice: u32,
    low: Function,
    high: Function,
}

/// What is below every choice.
const LEAF: u32 = u32::MAX;

/// What two functions are joined by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Join {
    And,
    Or,
    Without,
}

/// Two functions, what joined them, and what that came to.
#[derive(Debug, Clone, Copy)]
struct Joined {
    by: Join,
    pair: (Function, Function),
    made: Function,
}

/// Places for numbers and for what was joined, to begin with, and for the latter at most.
const PLACES: usize = 1 << 10;
const MOST_PLACES: usize = 1 << 20;

/// Multiplies and folds: keys are three small numbers of our own, so that nobody can make them collide on purpose.
fn fold(one: u32, two: u32, three: u32) -> usize {
    let step =
        |sum: u64, word: u32| (sum.rotate_left(23) ^ u64::from(word)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let sum = step(step(step(0, one), two), three);
    usize::try_from((sum ^ (sum >> 29)) & 0xffff_ffff).unwrap_or(0)
}

/// Functions and what was worked out of them.
#[derive(Debug, Clone)]
pub struct Diagrams {
    nodes: Vec<Node>,
    /// Numbers of nodes, each at the first free place from its fold on; 0 is free.
    places: Vec<u32>,
    /// What was joined last, each at its fold: what is forgotten is worked out again.
    joined: Vec<Joined>,
}

impl Default for Diagrams {
    fn default() -> Self {
        let leaf = |to| Node {
            choice: LEAF,
            low: to,
            high: to,
        };
        Self {
            nodes: vec![leaf(FALSE), leaf(TRUE)],
            places: vec![0; PLACES],
            joined: vec![NOTHING; PLACES],
        }
    }
}

/// Nothing is joined to the same: such a pair is never asked for.
const NOTHING: Joined = Joined {
    by: Join::And,
    pair: (FALSE, FALSE),
    made: FALSE,
};

impl Diagrams {
    /// Only the two constants.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    fn node(&self, f: Function) -> Node {
        self.nodes.get(f.0 as usize).copied().unwrap_or(Node {
            choice: LEAF,
            low: FALSE,
            high: FALSE,
        })
    }

    fn make(&mut self, choice: u32, low: Function, high: Function) -> Function {
        if low == high {
            return low;
        }
        let node = Node { choice, low, high };
        let mask = self.places.len() - 1;
        let mut at = fold(choice, low.0, high.0) & mask;
        while self.places[at] != 0 {
            let known = self.places[at];
            if self.nodes[known as usize] == node {
                return Function(known);
            }
            at = (at + 1) & mask;
        }
        let made = u32::try_from(self.nodes.len()).unwrap_or(u32::MAX);
        self.nodes.push(node);
        self.places[at] = made;
        if self.nodes.len() * 2 > self.places.len() {
            self.widen();
        }
        Function(made)
    }

    /// Makes room for twice as many.
    fn widen(&mut self) {
        let count = self.places.len() * 2;
        self.places.clear();
        self.places.resize(count, 0);
        for (number, node) in (0u32..).zip(&self.nodes).skip(2) {
            let mut at = fold(node.choice, node.low.0, node.high.0) & (count - 1);
            while self.places[at] != 0 {
                at = (at + 1) & (count - 1);
            }
            self.places[at] = number;
        }
        let known = std::mem::take(&mut self.joined);
        self.joined.resize(count.min(MOST_PLACES), NOTHING);
        for one in known {
            let at = self.place_of(one.by, one.pair);
            self.joined[at] = one;
        }
    }

    fn place_of(&self, by: Join, (f, g): (Function, Function)) -> usize {
        fold(f.0, g.0, by as u32) & (self.joined.len() - 1)
    }

    /// Holds where a choice is taken.
    pub fn choice(&mut self, choice: u32) -> Function {
        self.make(choice, FALSE, TRUE)
    }

    /// Holds where it does not.
    pub fn not(&mut self, f: Function) -> Function {
        self.without(TRUE, f)
    }

    /// Holds where both do.
    pub fn and(&mut self, f: Function, g: Function) -> Function {
        if f == g || g == TRUE {
            return f;
        }
        if f == TRUE {
            return g;
        }
        if f == FALSE || g == FALSE {
            return FALSE;
        }
        self.join(Join::And, (f.min(g), f.max(g)))
    }

    /// Holds where one does.
    pub fn or(&mut self, f: Function, g: Function) -> Function {
        if f == g || g == FALSE {
            return f;
        }
        if f == FALSE {
            return g;
        }
        if f == TRUE || g == TRUE {
            return TRUE;
        }
        self.join(Join::Or, (f.min(g), f.max(g)))
    }

    /// Holds where the first does and the second does not.
    pub fn without(&mut self, f: Function, g: Function) -> Function {
        if f == g || f == FALSE || g == TRUE {
            return FALSE;
        }
        if g == FALSE {
            return f;
        }
        self.join(Join::Without, (f, g))
    }

    /// What joins two functions that are not alike, neither of which decides it alone.
    fn join(&mut self, by: Join, pair: (Function, Function)) -> Function {
        let known = self.joined[self.place_of(by, pair)];
        if known.pair == pair && known.by == by {
            return known.made;
        }
        let (choice, [f_low, f_high], [g_low, g_high]) = self.split(pair.0, pair.1);
        let of = match by {
            Join::And => Self::and,
            Join::Or => Self::or,
            Join::Without => Self::without,
        };
        let (low, high) = (of(self, f_low, g_low), of(self, f_high, g_high));
        let made = self.make(choice, low, high);
        let at = self.place_of(by, pair);
        self.joined[at] = Joined { by, pair, made };
        made
    }

    /// The first choice that decides either, and both without it and with it.
    fn split(&self, f: Function, g: Function) -> (u32, [Function; 2], [Function; 2]) {
        let (one, other) = (self.node(f), self.node(g));
        let choice = one.choice.min(other.choice);
        let parts = |node: Node, whole: Function| {
            if node.choice == choice {
                [node.low, node.high]
            } else {
                [whole, whole]
            }
        };
        (choice, parts(one, f), parts(other, g))
    }

    /// Holds where any does.
    pub fn any(&mut self, mut functions: Vec<Function>) -> Function {
        // Two by two, so that most are joined while they are small.
        while functions.len() > 1 {
            let pairs = functions.chunks(2);
            functions = pairs
                .map(|pair| match *pair {
                    [f, g] => self.or(f, g),
                    _ => pair.first().copied().unwrap_or(FALSE),
                })
                .collect();
        }
        functions.first().copied().unwrap_or(FALSE)
    }

    /// Holds where it does for some way to take the choices from `first` on.
    pub fn some(&mut self, f: Function, first: u32) -> Function {
        fn below(
            this: &mut Diagrams,
            f: Function,
            first: u32,
            known: &mut HashMap<Function, Function>,
        ) -> Function {
            if f == FALSE || f == TRUE {
                return f;
            }
            let Node { choice, low, high } = this.node(f);
            // What is neither constant holds for some way.
            if choice >= first {
                return TRUE;
            }
            if let Some(made) = known.get(&f) {
                return *made;
            }
            let (low, high) = (below(this, low, first, known), below(this, high, first, known));
            let made = this.make(choice, low, high);
            known.insert(f, made);
            made
        }
        below(self, f, first, &mut HashMap::new())
    }

    /// In how many combinations of the choices 0 to `choices` it holds.
    #[must_use]
    pub fn count(&self, f: Function, choices: u32) -> u64 {
        fn below(this: &Diagrams, f: Function, choices: u32, known: &mut HashMap<Function, u64>) -> u64 {
            if f == FALSE || f == TRUE {
                return u64::from(f.0);
            }
            if let Some(count) = known.get(&f) {
                return *count;
            }
            let node = this.node(f);
            let mut count = 0u64;
            for to in [node.low, node.high] {
                let skipped = this.node(to).choice.min(choices).saturating_sub(node.choice + 1);
                let under = below(this, to, choices, known);
                count = count.saturating_add(under.checked_shl(skipped).unwrap_or(u64::MAX));
            }
            known.insert(f, count);
            count
        }
        let skipped = self.node(f).choice.min(choices);
        below(self, f, choices, &mut HashMap::new())
            .checked_shl(skipped)
            .unwrap_or(u64::MAX)
    }

    /// Whether it holds where these choices are taken.
    #[must_use]
    pub fn holds(&self, f: Function, taken: &dyn Fn(u32) -> bool) -> bool {
        let mut at = f;
        while at != FALSE && at != TRUE {
            let node = self.node(at);
            at = if taken(node.choice) { node.high } else { node.low };
        }
        at == TRUE
    }

    /// The choices that decide it, in order.
    #[must_use]
    pub fn support(&self, f: Function) -> Vec<u32> {
        let mut seen = std::collections::HashSet::new();
        let mut choices = std::collections::BTreeSet::new();
        let mut waiting = vec![f];
        while let Some(f) = waiting.pop() {
            if f == FALSE || f == TRUE || !seen.insert(f) {
                continue;
            }
            let node = self.node(f);
            choices.insert(node.choice);
            waiting.extend([node.low, node.high]);
        }
        choices.into_iter().collect()
    }

    /// The choices taken in a combination in which it holds with as few of them taken as can be; of several, the one that takes the
    /// later choices. None: it never holds.
    #[must_use]
    pub fn fewest(&self, f: Function) -> Option<Vec<u32>> {
        fn least(this: &Diagrams, f: Function, known: &mut HashMap<Function, Option<u32>>) -> Option<u32> {
            if f == FALSE || f == TRUE {
                return (f == TRUE).then_some(0);
            }
            if let Some(cost) = known.get(&f) {
                return *cost;
            }
            let node = this.node(f);
            let low = least(this, node.low, known);
            let high = least(this, node.high, known).map(|cost| cost + 1);
            let cost = low.into_iter().chain(high).min();
            known.insert(f, cost);
            cost
        }
        let mut known = HashMap::new();
        least(self, f, &mut known)?;
        let (mut at, mut taken) = (f, Vec::new());
        while at != TRUE && at != FALSE {
            let node = self.node(at);
            let low = least(self, node.low, &mut known);
            let high = least(self, node.high, &mut known).map(|cost| cost + 1);
            at = match (low, high) {
                (Some(low), Some(high)) if high < low => node.high,
                (Some(_), _) => node.low,
                (None, _) => node.high,
            };
            if at == node.high {
                taken.push(node.choice);
            }
        }
        Some(taken)
    }
}
