//! All that the checks say of one snapshot.

use super::{CannotCheck, Finding, Level};
use crate::model::Key;

/// All that the checks say.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Report {
    /// Stops and warnings, the gravest first; what follows from another finding stands right behind it.
    pub findings: Vec<Finding>,
    /// Notes: counted, listed when asked for.
    pub notes: Vec<Finding>,
    /// What could not be checked, and what is missing.
    pub cannot_check: Vec<CannotCheck>,
    /// Rules whose proof was not worked out, so that nothing is said of them.
    pub unproven: usize,
}

impl Report {
    /// Stops that nobody accepted.
    pub fn open_stops(&self) -> usize {
        self.open(Level::Stop)
    }

    /// Warnings that nobody accepted.
    pub fn open_warnings(&self) -> usize {
        self.open(Level::Warning)
    }

    fn open(&self, level: Level) -> usize {
        let open = |f: &&Finding| f.level == level && !f.is_accepted();
        self.findings.iter().filter(open).count()
    }

    /// Findings with ways out that were not tried.
    pub fn untried(&self) -> usize {
        self.all().filter(|finding| finding.untried).count()
    }

    /// Stops, warnings and notes.
    pub fn all(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().chain(&self.notes)
    }

    /// Everything said at this place, the gravest first.
    pub fn at(&self, place: Key) -> impl Iterator<Item = &Finding> {
        self.all().filter(move |f| f.places.contains(&place))
    }

    /// Findings of one check.
    pub fn of<'a>(&'a self, check: &str) -> impl Iterator<Item = &'a Finding> {
        self.all().filter(move |f| f.check == check)
    }

    /// Exit code of `crimpbook check`: 1 with an open stop, 3 with nothing but facts that are missing, else 0.
    pub fn exit_code(&self) -> u8 {
        if self.open_stops() > 0 {
            1
        } else if self.open_warnings() == 0 && !self.cannot_check.is_empty() {
            3
        } else {
            0
        }
    }
}
