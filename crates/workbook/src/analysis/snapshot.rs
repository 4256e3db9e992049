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
    state::{self, Computed},
    touched::{Reads, Touched},
    worst,
};
use crate::{
    Book,
    check::{Bus, Said, buses},
    circuit::{Ready, Trouble, Wiring},
    model::{Id, Key, State},
    rules::Proof,
    signals::Signals,
};

/// A book that stands still while things are computed of it. Each result is computed when it is first asked for.
#[derive(Debug)]
pub struct Snapshot {
    book: Arc<Book>,
    electrics: Arc<Electrics>,
    tree: OnceLock<Arc<Tree>>,
    signals: OnceLock<Arc<Signals>>,
    /// Signals of the book before, and what has changed since.
    former_signals: Option<(Arc<Signals>, Vec<Key>)>,
    buses: OnceLock<Arc<Vec<Bus>>>,
    proof: OnceLock<Arc<Proof>>,
    verdicts: Arc<Verdicts>,
    said: Said,
}

/// What buses read beside the plan: nothing but nets; lengths are read when a bus is asked for them.
const READS_OF_BUSES: Reads = &[];

/// What hangs on currents; kept from snapshot to snapshot while nothing changes that they hang on.
#[derive(Debug, Default)]
struct Electrics {
    /// Networks of the book before, which lend their order of elimination where they are joined alike.
    former: Ready,
    wiring: OnceLock<Wiring>,
    warmth: OnceLock<Warmth>,
    states: OnceLock<Computed>,
    worst: OnceLock<Vec<WireWorst>>,
    fed: OnceLock<HashMap<Id<State>, OnceLock<Fed>>>,
    nothing_fed: Fed,
    edges: OnceLock<Edges>,
    protection: OnceLock<Protection>,
}

impl Electrics {
    /// What an edit that moves figures leaves of them, or lends to those that come.
    fn next(&self, book: &Book, touched: &Touched) -> Self {
        let measured = |of: &Wiring| {
            let wires = touched.changed.iter().filter_map(|key| key.as_id());
            OnceLock::from(of.measured(book, wires))
        };
        let joined_alike = touched.leaves_plan(&[]);
        Self {
            former: self.states.get().map(|of| of.ready.clone()).unwrap_or_default(),
            wiring: self
                .wiring
                .get()
                .filter(|_| joined_alike)
                .map_or_else(OnceLock::new, measured),
            ..Self::default()
        }
    }
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
            former_signals: None,
            buses: OnceLock::new(),
            proof: OnceLock::new(),
            verdicts: Arc::default(),
            said: Said::default(),
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
        let touched = Touched::between(&self.book, &book);
        let kept = |reads: Reads| touched.leaves(reads);
        let signals = keep(&self.signals, touched.nets.is_empty());
        Self {
            electrics: if touched.figures {
                Arc::new(self.electrics.next(&book, &touched))
            } else {
                Arc::clone(&self.electrics)
            },
            buses: keep(&self.buses, touched.leaves_plan(READS_OF_BUSES)),
            // Rules are proven on the same circuit, and told in its names.
            proof: keep(&self.proof, kept(&[])),
            tree: keep(&self.tree, kept(&[])),
            former_signals: match signals.get() {
                Some(_) => None,
                None => self.signals.get().cloned().map(|of| (of, touched.nets.clone())),
            },
            signals,
            verdicts: Arc::clone(&self.verdicts),
            said: self.said.next(&book, &touched),
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

    /// Whether the states were asked for.
    #[cfg(test)]
    pub(crate) fn has_states(&self) -> bool {
        self.electrics.states.get().is_some()
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
            .get_or_init(|| state::all(&self.book, self.wiring(), self.warmth(), &self.electrics.former))
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

    /// Whether nothing that separates this book from another's moves a volt or a rule.
    pub fn same_plan(&self, other: &Self) -> bool {
        Touched::between(&self.book, &other.book).leaves(&[])
    }

    /// The supply tree with its figures.
    pub fn tree(&self) -> &Tree {
        self.tree.get_or_init(|| Arc::new(Tree::of(self)))
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
        self.signals.get_or_init(|| {
            let former = self.former_signals.as_ref();
            Arc::new(
                match former.and_then(|(of, changed)| of.next(&self.book, changed)) {
                    Some(signals) => signals,
                    None => Signals::of(&self.book),
                },
            )
        })
    }

    /// The CAN buses that join units.
    pub(crate) fn buses(&self) -> &[Bus] {
        self.buses.get_or_init(|| Arc::new(buses(self)))
    }

    /// What the checks said.
    pub(crate) fn said(&self) -> &Said {
        &self.said
    }
}

/// A result, where it was computed and still holds.
fn keep<T>(result: &OnceLock<Arc<T>>, holds: bool) -> OnceLock<Arc<T>> {
    result
        .get()
        .filter(|_| holds)
        .map_or_else(OnceLock::new, |result| OnceLock::from(Arc::clone(result)))
}
