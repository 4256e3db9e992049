//! What each check said of a book, kept for the book after it where an edit touched nothing that the check reads.

use std::sync::{Arc, OnceLock};

use super::{CHECKS, Out, needs, rule_broken, table::OF_THE_PLAN};
use crate::{
    Book,
    analysis::{Reads, Snapshot, Touched},
    model::{Kind, Record},
};

/// What each check said, in the order of the table; behind it what is asked for on behalf of many.
#[derive(Debug, Clone)]
pub(crate) struct Said {
    said: Vec<OnceLock<Arc<Out>>>,
    /// What it said of the book before, where that need not hold any more.
    before: Vec<Option<Arc<Out>>>,
}

/// What every check may read beside the plan: a cavity is told with its name.
const EVERY_CHECK: Reads = &[(Kind::Cavity, &["name"])];

impl Default for Said {
    fn default() -> Self {
        Self {
            said: vec![OnceLock::new(); CHECKS.len() + 1],
            before: vec![None; CHECKS.len() + 1],
        }
    }
}

impl Said {
    /// What still holds of it in `book`, which an edit has made of the one before.
    pub fn next(&self, book: &Book, touched: &Touched) -> Self {
        let reads = CHECKS.iter().map(|check| check.reads).chain([&[] as Reads]);
        let still = |(place, (said, reads)): (usize, (&OnceLock<Arc<Out>>, Reads))| {
            let leaves = |reads| match is_of_the_plan(place) {
                true => touched.leaves_plan(reads),
                false => touched.leaves(reads),
            };
            match said.get() {
                Some(out) if leaves(EVERY_CHECK) && leaves(reads) && mends_fit(out, book) => {
                    OnceLock::from(Arc::clone(out))
                }
                _ => OnceLock::new(),
            }
        };
        let places = self.said.iter().zip(reads).enumerate();
        let said: Vec<OnceLock<Arc<Out>>> = places.map(still).collect();
        let lost = |(place, is): (usize, &OnceLock<Arc<Out>>)| {
            let was = self.said.get(place).and_then(OnceLock::get);
            let was = was.or(self.before.get(place)?.as_ref());
            was.filter(|_| is.get().is_none()).cloned()
        };
        let before = said.iter().enumerate().map(lost).collect();
        Self { said, before }
    }

    /// Whether checks that rest on figures said something of the book before that need not hold any more.
    pub fn waits_for_figures(&self) -> bool {
        let mut places = self.said.iter().zip(&self.before).enumerate();
        places
            .any(|(place, (said, before))| said.get().is_none() && before.is_some() && !is_of_the_plan(place))
    }

    /// As [`Said::at`]; of a check that rests on figures what it said of the book before, where nothing newer is known.
    pub fn at_once(&self, place: usize, see: &Snapshot) -> Option<Arc<Out>> {
        let known = self.said.get(place)?.get().is_some();
        if known || is_of_the_plan(place) {
            return self.at(place, see);
        }
        let before = self.before.get(place)?.as_deref();
        Some(Arc::new(before.map_or_else(Out::default, |before| {
            before.still_there(see.book())
        })))
    }

    /// What the check at this place said, if it did.
    #[cfg(test)]
    pub fn kept(&self, place: usize) -> Option<&Out> {
        self.said.get(place)?.get().map(Arc::as_ref)
    }

    /// What the check at this place of the table says; what is asked for on behalf of many at the place behind the last one.
    /// None: there is no such place.
    pub fn at(&self, place: usize, see: &Snapshot) -> Option<Arc<Out>> {
        let find = match CHECKS.get(place) {
            Some(check) => check.find,
            None => needs::ask,
        };
        let say = || {
            let mut out = Out::default();
            find(see, &mut out);
            Arc::new(out)
        };
        let kept = self.said.get(place)?;
        // A proof comes when somebody asks for it.
        let proves = CHECKS
            .get(place)
            .is_some_and(|check| check.name == rule_broken::CHECK.name);
        Some(if proves {
            say()
        } else {
            Arc::clone(kept.get_or_init(say))
        })
    }
}

/// Whether the check at this place of the table rests on no figure of a state.
fn is_of_the_plan(place: usize) -> bool {
    CHECKS
        .get(place)
        .is_some_and(|check| OF_THE_PLAN.contains(&check.name))
}

/// Whether every mend still starts from records as they are: it holds all their fields.
fn mends_fit(out: &Out, book: &Book) -> bool {
    let of_findings = out.findings.iter().filter_map(|finding| finding.mend.as_ref());
    let proposed = out.proposals.iter().flat_map(|(_, proposals)| &proposals.mends);
    let changes = of_findings.chain(proposed).flat_map(|mend| &mend.changes);
    let mut before = changes.filter_map(|change| change.before.as_ref());
    before.all(|record| book.tables().get_ref(record.key()) == Some(Record::as_ref(record)))
}
