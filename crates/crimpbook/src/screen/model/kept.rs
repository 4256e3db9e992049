//! A list as it was arranged, for as long as what it was arranged from is the same.

use std::{cell::RefCell, sync::Arc};

/// What a list was arranged from, and the places of its rows.
#[derive(Debug, Clone)]
pub struct Kept<F, P = usize>(RefCell<Option<(F, Arc<[P]>)>>);

impl<F, P> Default for Kept<F, P> {
    fn default() -> Self {
        Self(RefCell::new(None))
    }
}

impl<F: PartialEq, P> Kept<F, P> {
    /// The places, arranged anew only where they were arranged from something else.
    pub fn places(&self, from: F, arrange: impl FnOnce() -> Vec<P>) -> Arc<[P]> {
        if let Some((_, places)) = self.0.borrow().as_ref().filter(|(known, _)| *known == from) {
            return Arc::clone(places);
        }
        let places: Arc<[P]> = arrange().into();
        self.0.replace(Some((from, Arc::clone(&places))));
        places
    }
}

/// Rows of a whole in the order of a list: none is touched before it is asked for.
#[derive(Debug, Clone)]
pub struct Rows<'m, R> {
    all: &'m [R],
    places: Arc<[usize]>,
}

impl<'m, R> Rows<'m, R> {
    /// The rows of `all` at these places.
    pub fn new(all: &'m [R], places: Arc<[usize]>) -> Self {
        Self { all, places }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.places.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// One of them.
    pub fn get(&self, at: usize) -> Option<&'m R> {
        self.all.get(*self.places.get(at)?)
    }

    /// Each in turn.
    pub fn iter(&self) -> impl Iterator<Item = &'m R> + '_ {
        self.places.iter().filter_map(|place| self.all.get(*place))
    }

    /// Those a window shows, with their places in the list.
    pub fn window(&self, from: usize, room: usize) -> impl Iterator<Item = (usize, &'m R)> + '_ {
        let to = from.saturating_add(room).min(self.len());
        (from..to).filter_map(|at| Some((at, self.get(at)?)))
    }
}
