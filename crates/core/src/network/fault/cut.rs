//! Which elements are the only link between two parts.

use crate::network::Circuit;
use crate::network::operate::Search;

/// Every unknown in the order in which a walk from the reference enters it, and what each link cuts off.
#[derive(Debug)]
pub(super) struct Cuts {
    /// When the walk entered each unknown.
    entered: Vec<u32>,
    /// For each element: the unknowns entered in this span hang on it alone.
    beyond: Vec<Option<(u32, u32)>>,
}

struct Walk {
    at: u32,
    came_by: usize,
    next: usize,
}

impl Cuts {
    pub(super) fn new(circuit: &Circuit, search: &Search<'_>) -> Self {
        let count = search.x.len();
        let mut near: Vec<Vec<(u32, usize)>> = vec![Vec::new(); count];
        for at in 0..circuit.elements().len() {
            let pair = search.layout.pairs[at];
            if !search.is_open(at) && !search.only_leaks(at) && pair.tail != pair.head {
                near[pair.tail as usize].push((pair.head, at));
                near[pair.head as usize].push((pair.tail, at));
            }
        }
        let mut this = Self {
            entered: vec![u32::MAX; count],
            beyond: vec![None; circuit.elements().len()],
        };
        let mut lowest = vec![u32::MAX; count];
        let mut clock = 0;
        // The reference, which is last, first: what hangs on a link is then never the reference.
        let last = u32::try_from(count).unwrap_or(u32::MAX);
        for root in (0..last).rev() {
            this.walk(root, &near, &mut lowest, &mut clock);
        }
        this
    }

    fn walk(&mut self, root: u32, near: &[Vec<(u32, usize)>], lowest: &mut [u32], clock: &mut u32) {
        if self.entered[root as usize] != u32::MAX {
            return;
        }
        let mut stack = vec![Walk {
            at: root,
            came_by: usize::MAX,
            next: 0,
        }];
        while let Some(top) = stack.last_mut() {
            let at = top.at as usize;
            if top.next == 0 {
                self.entered[at] = *clock;
                lowest[at] = *clock;
                *clock += 1;
            }
            if let Some(&(to, by)) = near[at].get(top.next) {
                top.next += 1;
                if by == top.came_by {
                } else if self.entered[to as usize] == u32::MAX {
                    stack.push(Walk {
                        at: to,
                        came_by: by,
                        next: 0,
                    });
                } else {
                    lowest[at] = lowest[at].min(self.entered[to as usize]);
                }
                continue;
            }
            // An unknown without neighbours is never entered above, since `next` stays 0 but once.
            let done = stack.pop();
            if let (Some(done), Some(above)) = (done, stack.last()) {
                let above = above.at as usize;
                lowest[above] = lowest[above].min(lowest[at]);
                if lowest[at] > self.entered[above] {
                    self.beyond[done.came_by] = Some((self.entered[at], *clock));
                }
            }
        }
    }

    /// Whether an element is the only link between two parts.
    pub(super) fn is_cut(&self, element: usize) -> bool {
        self.beyond[element].is_some()
    }

    /// Whether an unknown hangs on an element alone.
    pub(super) fn is_beyond(&self, element: usize, unknown: u32) -> bool {
        let entered = self.entered[unknown as usize];
        self.beyond[element].is_some_and(|(first, after)| (first..after).contains(&entered))
    }
}
