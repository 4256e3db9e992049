//! What is derived from the book: computed when first asked for, dropped when the book changes.

use std::{
    collections::HashMap,
    sync::{Arc, OnceLock},
};

use crimpbook_workbook::{
    analysis::Snapshot,
    model::{Connector, Id, StepDone},
    signals::{Signals, Unsourced},
};

use super::{
    build::Item,
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
    /// Rows of the Sources screen.
    pub sources: OnceLock<Arc<Vec<(String, sources::Row)>>>,
    /// What is written down for States.
    pub written: OnceLock<Arc<Vec<written::Row>>>,
    /// Rows of each kind in Parts.
    pub parts: [OnceLock<Arc<Vec<parts::Row>>>; parts::KINDS.len()],
}

impl Derived {
    /// What still holds after build steps were answered for, which change no plan.
    pub fn after_progress(&self) -> Self {
        Self {
            progress: OnceLock::new(),
            overview: OnceLock::new(),
            totals: OnceLock::new(),
            last_step: OnceLock::new(),
            wires_done: OnceLock::new(),
            // What a CAN pair reads hangs on what is built in.
            tested: OnceLock::new(),
            tests: OnceLock::new(),
            // What lies on the shelf is told there, and is no plan either.
            parts: Default::default(),
            ..self.clone()
        }
    }
}
