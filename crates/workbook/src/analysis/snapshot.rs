//! A book that stands still, with what is computed of it.

use std::{
    collections::HashMap,
    sync::{Arc, OnceLock},
};

use super::{
    StateResult, WireWorst,
    fed::Fed,
    heat::Warmth,
    protect::{Edges, Protection, Tree, Verdicts},
    same,
    state::{self, Computed},
    worst,
};
use crate::{
    Book,
    circuit::{Trouble, Wiring},
    model::{Id, State},
    rules::Proof,
    signals::Signals,
};

/// A book that stands still while things are computed of it. Each result is computed when it is first asked for.
#[derive(Debug)]
pub struct Snapshot {
    book: Arc<Book>,
    electrics: Arc<Electrics>,
    tree: OnceLock<Tree>,
    signals: OnceLock<Signals>,
    proof: OnceLock<Arc<Proof>>,
    verdicts: Arc<Verdicts>,
}

/// What hangs on currents; kept from snapshot to snapshot while nothing changes that they hang on.
#[derive(Debug, Default)]
struct Electrics {
    wiring: OnceLock<Wiring>,
    warmth: OnceLock<Warmth>,
    states: OnceLock<Computed>,
    worst: OnceLock<Vec<WireWorst>>,
    fed: OnceLock<HashMap<Id<State>, OnceLock<Fed>>>,
    nothing_fed: Fed,
    edges: OnceLock<Edges>,
    protection: OnceLock<Protection>,
}

impl Snapshot {
    /// A snapshot of this book.
    pub fn new(book: Arc<Book>) -> Self {
        book.tables().index();
        Self {
            book,
            electrics: Arc::default(),
            tree: OnceLock::new(),
            signals: OnceLock::new(),
            proof: OnceLock::new(),
            verdicts: Arc::default(),
        }
    }

    /// A snapshot of a copy of this book.
    pub fn of(book: &Book) -> Self {
        Self::new(Arc::new(book.clone()))
    }

    /// A snapshot of the book as it has become: what was judged of figures that are still the same is not judged again,
    /// and what hangs on nothing that has changed is not computed again.
    #[must_use]
    pub fn next(&self, book: Arc<Book>) -> Self {
        let same = same::electrically(&self.book, &book);
        Self {
            electrics: if same {
                Arc::clone(&self.electrics)
            } else {
                Arc::default()
            },
            // Rules are proven on the same circuit, and are among what has to be the same.
            proof: if same { self.proof.clone() } else { OnceLock::new() },
            verdicts: Arc::clone(&self.verdicts),
            ..Self::new(book)
        }
    }

    /// The book.
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// The book, to keep.
    pub fn shared_book(&self) -> Arc<Book> {
        Arc::clone(&self.book)
    }

    /// Points and what joins them whatever the state.
    pub fn wiring(&self) -> &Wiring {
        self.electrics.wiring.get_or_init(|| Wiring::of(&self.book))
    }

    /// What decides how warm wires run.
    pub fn warmth(&self) -> &Warmth {
        self.electrics
            .warmth
            .get_or_init(|| Warmth::of(&self.book, self.wiring()))
    }

    /// Every operating state that has a solution, in order.
    pub fn states(&self) -> &[StateResult] {
        &self.computed().results
    }

    /// States without a solution, and why.
    pub fn unsolved(&self) -> &[(Id<State>, Trouble)] {
        &self.computed().failed
    }

    /// An operating state's results.
    pub fn state(&self, state: Id<State>) -> Option<&StateResult> {
        self.states().iter().find(|of| of.state == state)
    }

    pub(super) fn computed(&self) -> &Computed {
        self.electrics
            .states
            .get_or_init(|| state::all(&self.book, self.wiring(), self.warmth()))
    }

    /// The worst of each wire over all states, beside [`Wiring::wires`].
    pub fn worst(&self) -> &[WireWorst] {
        self.electrics
            .worst
            .get_or_init(|| worst::worst(self.states(), self.wiring().wires.len()))
    }

    /// What a source feeds in one of its operating states.
    pub(crate) fn fed(&self, of: &StateResult) -> &Fed {
        let states = || self.states().iter().map(|of| (of.state, OnceLock::new()));
        let fed = self.electrics.fed.get_or_init(|| states().collect());
        let nothing = &self.electrics.nothing_fed;
        let fed = fed.get(&of.state);
        fed.map_or(nothing, |fed| fed.get_or_init(|| Fed::of(self, of)))
    }

    /// What a current can pass, and over how many ohms.
    pub(crate) fn edges(&self) -> &Edges {
        self.electrics.edges.get_or_init(|| Edges::of(self))
    }

    /// Which fuse protects what.
    pub fn protection(&self) -> &Protection {
        self.electrics.protection.get_or_init(|| Protection::of(self))
    }

    /// Whether this is a snapshot of the same circuit as another: one follows from the other by [`Snapshot::next`], and nothing
    /// between them moves a volt or a rule.
    pub fn same_electrically(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.electrics, &other.electrics)
    }

    /// The supply tree with its figures.
    pub fn tree(&self) -> &Tree {
        self.tree.get_or_init(|| Tree::of(self))
    }

    /// Verdicts on wires beneath fuses.
    pub fn verdicts(&self) -> &Verdicts {
        &self.verdicts
    }

    /// The answers to the rules, worked out by `how` when they are first asked for.
    pub(crate) fn proven(&self, how: impl FnOnce() -> Arc<Proof>) -> &Arc<Proof> {
        self.proof.get_or_init(how)
    }

    /// The answers to the rules, if they were asked for before.
    pub fn proof_at_hand(&self) -> Option<&Arc<Proof>> {
        self.proof.get()
    }

    /// Nets and what they carry.
    pub fn signals(&self) -> &Signals {
        self.signals.get_or_init(|| Signals::of(&self.book))
    }
}
