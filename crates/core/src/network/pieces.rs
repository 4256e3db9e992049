//! Which nodes hang together.

/// Sets that grow together.
#[derive(Debug, Clone)]
pub(crate) struct Sets {
    parent: Vec<u32>,
}

impl Sets {
    pub(crate) fn new(count: usize) -> Self {
        Self {
            parent: (0u32..).take(count).collect(),
        }
    }

    /// The member that stands for the set of `item`: its lowest.
    pub(crate) fn find(&mut self, item: u32) -> u32 {
        let mut at = item;
        while self.parent[at as usize] != at {
            let above = self.parent[self.parent[at as usize] as usize];
            self.parent[at as usize] = above;
            at = above;
        }
        at
    }

    pub(crate) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.find(a), self.find(b));
        self.parent[a.max(b) as usize] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::Sets;

    #[test]
    fn the_lowest_stands_for_all() {
        let mut sets = Sets::new(5);
        sets.join(4, 3);
        sets.join(3, 1);
        assert_eq!([0, 1, 2, 3, 4].map(|item| sets.find(item)), [0, 1, 2, 1, 1]);
    }
}
