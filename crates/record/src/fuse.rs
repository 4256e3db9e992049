//! What a fuse's legend needs.

use crimpbook_workbook::{
    Book,
    model::{Fuse, Id, Wire},
};

use crate::order::by_label;

/// Labels of the wires that the builder means this fuse to protect, or that it is in line with.
pub fn wires_meant(book: &Book, fuse: Id<Fuse>) -> Vec<String> {
    by_label::<Wire>(book)
        .into_iter()
        .filter(|w| w.fuse == Some(fuse) || w.inline_fuse.is_some_and(|f| f.fuse == fuse))
        .map(|w| w.label.clone())
        .collect()
}
