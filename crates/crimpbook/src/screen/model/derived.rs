//! What is derived from the book: computed when first asked for, dropped when the book changes.

use std::{
    collections::{BTreeSet, HashMap},
    sync::{Arc, OnceLock},
};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    measure::Stops,
    model::{Connector, Id, Setting, StepDone},
    signals::{Signals, Unsourced},
};

use super::{
    build::{self, Item},
    find, meter,
    overview::{self, Progress, Totals},
    parts, sources, written,
};

/// Results of one state of the book.
#[derive(Debug, Clone, Default)]
pub struct Derived {
    /// What the nets carry.
    pub signals: OnceLock<Arc<Signals>>,
    /// Inputs without a source.
    pub unsourced: OnceLock<Arc<Vec<Unsourced>>>,
    /// How far each connector is.
    pub progress: OnceLock<Arc<HashMap<Id<Connector>, Progress>>>,
    /// Rows of the Overview.
    pub overview: OnceLock<Arc<Vec<overview::Row>>>,
    /// The figures at the top of the Overview.
    pub totals: OnceLock<Totals>,
    /// The last build step that anybody answered for.
    pub last_step: OnceLock<Option<Id<StepDone>>>,
    /// What the finder knows.
    pub known: OnceLock<Arc<Vec<find::Known>>>,
    /// Wires of which nothing is open, and all wires.
    pub wires_done: OnceLock<(usize, usize)>,
    /// What is built, in the order and with the filter chosen.
    pub items: OnceLock<Arc<Vec<Item>>>,
    /// The book that tests are made of.
    pub tested: OnceLock<Arc<Snapshot>>,
    /// Tests of the stage shown.
    pub tests: OnceLock<Arc<meter::Tests>>,
    /// How they stand.
    pub stand: OnceLock<meter::Stand>,
    /// Where the ladder of tests stops.
    pub stops: OnceLock<Arc<Stops>>,
    /// Rows of the Sources screen.
    pub sources: OnceLock<Arc<Vec<sources::Listed>>>,
    /// What is written down for States.
    pub written: OnceLock<Arc<Vec<written::Row>>>,
    /// Every connector, by label.
    pub connectors: OnceLock<Arc<Vec<Id<Connector>>>>,
    /// Rows of Settings.
    pub settings: OnceLock<Arc<Vec<Id<Setting>>>>,
    /// Rows of each kind in Parts.
    pub parts: [OnceLock<Arc<Vec<parts::Row>>>; parts::KINDS.len()],
}

impl Derived {
    /// Other tests are shown.
    pub fn forget_tests(&mut self) {
        self.tests = OnceLock::new();
        self.stand = OnceLock::new();
    }

    /// What still holds after build steps were answered for, or something was noted on the shelf, which change no plan.
    /// Where a count is known, only what was answered for is counted again.
    pub fn after_progress(&self, before: &Book, after: &Book) -> Self {
        let mut ids = BTreeSet::new();
        let mut wires = BTreeSet::new();
        let (new, old) = (after.all::<StepDone>(), before.all::<StepDone>());
        new.differences(old, &mut |here, there| {
            for done in [here, there].into_iter().flatten() {
                ids.insert(done.id);
                wires.extend(done.of.wire());
            }
        });
        let same_shelf = same_shelf(before, after);
        Self {
            progress: held(self.progress.get().map(|known| {
                let mut known = HashMap::clone(known);
                let rows = wires.iter().filter_map(|id| after.get(*id));
                for connector in rows.flat_map(|wire| overview::connectors_at(after, wire)) {
                    known.insert(connector, overview::progress(after, connector));
                }
                Arc::new(known)
            })),
            overview: OnceLock::new(),
            totals: OnceLock::new(),
            // Where the last answer itself was taken back, the one before it is sought.
            last_step: held(self.last_step.get().and_then(|last| {
                let stays = last.filter(|last| !ids.contains(last));
                let newer = ids.iter().copied().filter(|id| after.get(*id).is_some());
                (stays.is_some() || last.is_none())
                    .then(|| overview::latest(after, stays.into_iter().chain(newer)))
            })),
            wires_done: held(self.wires_done.get().map(|(done, all)| {
                let complete = |book: &Book| wires.iter().filter(|id| build::is_done(book, **id)).count();
                (done + complete(after) - complete(before), *all)
            })),
            // What a CAN pair reads hangs on what is built in.
            tested: OnceLock::new(),
            tests: OnceLock::new(),
            stand: OnceLock::new(),
            stops: OnceLock::new(),
            // What lies on the shelf is told in both, and is no plan either.
            known: if same_shelf {
                self.known.clone()
            } else {
                OnceLock::new()
            },
            parts: if same_shelf {
                self.parts.clone()
            } else {
                Default::default()
            },
            ..self.clone()
        }
    }
}

/// A cell with what is known already.
fn held<T>(known: Option<T>) -> OnceLock<T> {
    known.map_or_else(OnceLock::new, OnceLock::from)
}

fn same_shelf(one: &Book, other: &Book) -> bool {
    let (one, other) = (one.tables(), other.tables());
    one.drums == other.drums && one.stock_lines == other.stock_lines && one.colour_uses == other.colour_uses
}
