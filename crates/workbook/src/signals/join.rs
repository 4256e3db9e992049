//! Joins nodes into groups.

/// Disjoint groups of the numbers 0 to n − 1.
#[derive(Debug)]
pub(super) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    pub fn new() -> Self {
        Self { parent: Vec::new() }
    }

    /// A new member, alone.
    pub fn add(&mut self) -> usize {
        self.parent.push(self.parent.len());
        self.parent.len() - 1
    }

    /// The member that stands for the group: its smallest one.
    pub fn head(&mut self, mut member: usize) -> usize {
        let parent = |groups: &Self, at: usize| groups.parent.get(at).copied().unwrap_or(at);
        loop {
            let above = parent(self, member);
            if above == member {
                return member;
            }
            let next = parent(self, above);
            if let Some(slot) = self.parent.get_mut(member) {
                *slot = next;
            }
            member = next;
        }
    }

    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.head(a), self.head(b));
        if let Some(slot) = self.parent.get_mut(a.max(b)) {
            *slot = a.min(b);
        }
    }
}
