//! How inquiries went, counted.

/// How an inquiry went.
#[derive(Debug, Clone, PartialEq)]
pub struct Went {
    /// Rank of the true fault after no, one, two … readings; none: it was ruled out.
    pub ranks: Vec<Option<usize>>,
    /// The same in lines of suspects that no reading tells apart, and how many stand on that line at the end.
    pub lines: Vec<Option<usize>>,
    pub alike: usize,
}

impl Went {
    /// Readings until it is among the first three and stays there.
    pub fn needed(&self) -> usize {
        let back = self
            .ranks
            .iter()
            .rev()
            .take_while(|rank| rank.is_some_and(|r| r < 3))
            .count();
        self.ranks.len() - back
    }
}

/// How many inquiries went.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    pub cases: usize,
    /// The true fault among the first three lines after three readings; and by itself.
    pub lines: usize,
    alone: usize,
    ruled_out: usize,
    readings: usize,
    alike: usize,
}

impl Tally {
    pub fn add(&mut self, went: &Went) {
        let after = |ranks: &[Option<usize>]| {
            ranks
                .get(3)
                .or(ranks.last())
                .copied()
                .flatten()
                .is_some_and(|r| r < 3)
        };
        self.cases += 1;
        self.lines += usize::from(after(&went.lines));
        self.alone += usize::from(after(&went.ranks));
        self.ruled_out += usize::from(went.ranks.iter().any(Option::is_none));
        self.readings += went.needed();
        self.alike += went.alike;
    }
}

impl std::fmt::Display for Tally {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mean = |sum: usize| sum as f64 / self.cases.max(1) as f64;
        write!(
            f,
            "after 3 readings on the first three lines {}, as one of the first three faults {}, ruled out {}; {:.1} readings \
             until it is and stays one of the first three faults (not reached counts as one more than were taken); {:.1} \
             faults stand on its line",
            self.lines,
            self.alone,
            self.ruled_out,
            mean(self.readings),
            mean(self.alike),
        )
    }
}
