//! Where the ladder stops: what is wrong or not done on a rung holds all above it.

use std::sync::Arc;

use super::{
    ladder::{Rung, Stage, made, stages},
    powered::Making,
    roles::Roles,
    standing::{Standing, Tally, standing},
    test::{Known, Test},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Id, State},
};

/// The tests of all stages, without their windows; made once for a plan, since they hang on no reading.
#[derive(Debug, Clone)]
pub struct Stops(Vec<Step>);

#[derive(Debug, Clone)]
struct Step {
    stage: Stage,
    rung: Option<&'static Rung>,
    /// Shared by the states that are measured alike.
    tests: Arc<Vec<Test>>,
    /// The state they are for, where they are shared.
    state: Option<Id<State>>,
    /// There are none, for something that is missing.
    untold: bool,
}

/// A rung with what was read on it.
#[derive(Debug, Clone, Copy)]
pub struct Stop {
    /// The rung; none: the tests without power.
    pub rung: Option<&'static Rung>,
    /// How far its tests are.
    pub tally: Tally,
    /// Some of its tests cannot be made, for something that is missing.
    pub untold: bool,
}

impl Stops {
    /// The stop points of a book, from the tests without power to the last rung.
    pub fn of(see: &Snapshot) -> Self {
        let book = see.book();
        let roles = Roles::of(book);
        let known = Known::default();
        let making = Making {
            see,
            known: &known,
            windows: false,
        };
        let (mut off, mut on) = (None, None);
        let step = |stage: Stage| {
            let make = || {
                let listed = made(making, &roles, stage);
                let missing = |words: &String| words.contains("cannot tell: missing");
                let untold = listed.tests.is_empty() && listed.untold.iter().any(missing);
                (Arc::new(listed.tests), untold)
            };
            let ((tests, untold), state) = match stage {
                Stage::PlugsOff(state) => (off.get_or_insert_with(make).clone(), Some(state)),
                Stage::PlugsOn(state) => (on.get_or_insert_with(make).clone(), Some(state)),
                _ => (make(), None),
            };
            Step {
                stage,
                rung: stage.rung_in(&roles),
                tests,
                state,
                untold,
            }
        };
        Self(stages(book).into_iter().map(step).collect())
    }

    /// How each stop point stands, from the tests without power to the last rung.
    pub fn standing(&self, book: &Book) -> Vec<Stop> {
        let mut all: Vec<Stop> = Vec::new();
        for step in &self.0 {
            if all.last().is_none_or(|stop| stop.rung != step.rung) {
                all.push(Stop {
                    rung: step.rung,
                    tally: Tally::default(),
                    untold: false,
                });
            }
            if let Some(stop) = all.last_mut() {
                step.count(book, stop);
            }
        }
        all
    }

    /// The first stop point below a rung that does not let it be climbed.
    pub fn before(&self, book: &Book, rung: &Rung) -> Option<Stop> {
        let below = self.0.iter().take_while(|step| step.rung != Some(rung));
        let mut stop: Option<Stop> = None;
        for step in below {
            match &mut stop {
                Some(stop) if stop.rung == step.rung => step.count(book, stop),
                Some(stop) if !stop.is_passed() => return Some(*stop),
                _ => {
                    let mut next = Stop {
                        rung: step.rung,
                        tally: Tally::default(),
                        untold: false,
                    };
                    step.count(book, &mut next);
                    stop = Some(next);
                }
            }
        }
        stop.filter(|stop| !stop.is_passed())
    }

    /// The next test whose reading lapsed, after a place in a stage and round the end: the stage and the test.
    pub fn next_lapsed(&self, book: &Book, stage: Stage, after: Option<&Test>) -> Option<(Stage, Test)> {
        let of = |step: &Step| {
            let lapsed = step
                .tests()
                .filter(|test| standing(book, test) == Standing::Lapsed);
            lapsed.collect::<Vec<Test>>()
        };
        let here = self.0.iter().position(|step| step.stage == stage).unwrap_or(0);
        let place = |step: &Step, test: &Test| step.tests().position(|other| other.is_same(test));
        let (before, behind): (Vec<Test>, Vec<Test>) =
            self.0.get(here).map_or_else(Default::default, |step| {
                let at = after.and_then(|after| place(step, after));
                of(step)
                    .into_iter()
                    .partition(|test| at.is_some_and(|at| place(step, test).is_some_and(|place| place <= at)))
            });
        let others = self
            .0
            .iter()
            .cycle()
            .skip(here + 1)
            .take(self.0.len().saturating_sub(1));
        let first = |tests: Vec<Test>, stage: Stage| tests.into_iter().next().map(|test| (stage, test));
        first(behind, stage)
            .or_else(|| others.filter_map(|step| first(of(step), step.stage)).next())
            .or_else(|| first(before, stage))
    }
}

impl Step {
    fn tests(&self) -> impl Iterator<Item = Test> {
        self.tests.iter().map(|test| Test {
            state: self.state.or(test.state),
            ..test.clone()
        })
    }

    /// Counts its tests to a stop point. Contacts are measured where one is suspected, never all of them.
    fn count(&self, book: &Book, stop: &mut Stop) {
        stop.untold |= self.untold;
        if self.stage != Stage::Crimps {
            self.tests()
                .for_each(|test| stop.tally.add(standing(book, &test)));
        }
    }
}

impl Stop {
    /// Whether all of it can be told, is read, and right.
    pub fn is_passed(&self) -> bool {
        !self.untold && self.tally.done == self.tally.total
    }

    /// Its name (`P3`, `power off`).
    pub fn name(&self) -> &'static str {
        self.rung.map_or("power off", |rung| rung.name)
    }

    /// Why it does not let anybody on (`2 WRONG, 12 of 40 not read`).
    pub fn words(&self) -> String {
        let Tally {
            total,
            done,
            failed,
            lapsed,
        } = self.tally;
        let open = total - done - failed - lapsed;
        let parts = [
            (failed > 0).then(|| format!("{failed} WRONG")),
            (lapsed > 0).then(|| format!("{lapsed} to be read again")),
            (open > 0).then(|| format!("{open} of {total} not read")),
            self.untold.then(|| "cannot tell what to measure".to_owned()),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() {
            return if total == 0 {
                "nothing to measure"
            } else {
                "passed"
            }
            .to_owned();
        }
        parts.join(", ")
    }
}
