//! Protection: the supply tree, the fuse and wire picture, shorts at far ends.

use crimpbook_workbook::{
    analysis::protect::{FarRow, Step, TreeRow, Twig, far_end_words},
    model::{Fuse, Id, Key, Wire},
};

use super::{
    Model,
    kept::{Kept, Rows},
    sieve::{By, List, Sieve, arrange},
};
use crate::screen::{
    ask::{Answer, Question, answer},
    form::size_shown,
};

/// What Protection shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shows {
    /// The supply tree.
    #[default]
    Tree,
    /// The fuse and wire picture.
    Picture,
    /// Shorts at far ends.
    FarEnds,
}

/// State of the Protection screen.
#[derive(Debug, Clone, Default)]
pub struct Protection {
    /// What is shown.
    pub shows: Shows,
    /// What the cursor of the tree is on; the first row where it is not there.
    pub on: Option<Key>,
    /// The row the cursor of the far ends is on.
    pub far_at: usize,
    /// The places of the far ends listed, and what they were arranged from: the generation that was shorted, and the order.
    pub kept: Kept<(u64, Sieve)>,
}

/// Rows of the tree; none while they are computed.
pub fn rows(model: &Model) -> Option<&[TreeRow]> {
    Some(&model.findings.current()?.tree().rows)
}

/// The place of the cursor in the tree.
pub fn at(model: &Model) -> usize {
    let (Some(rows), Some(on)) = (rows(model), model.protection.on) else {
        return 0;
    };
    rows.iter()
        .position(|row| key(model, row.twig) == Some(on))
        .unwrap_or(0)
}

/// The row the cursor of the tree is on.
pub fn row(model: &Model) -> Option<&TreeRow> {
    rows(model)?.get(at(model))
}

/// The record that a row stands for.
pub fn key(model: &Model, twig: Twig) -> Option<Key> {
    let wiring = model.findings.current()?.wiring();
    Some(match twig {
        Twig::Source(at) | Twig::Load(at) => Key::of(wiring.parts.get(at)?.part),
        Twig::Fuse(id) => Key::of(id),
        Twig::Wire(at) => Key::of(wiring.wires.get(at)?.wire),
    })
}

/// Shorts at far ends; none while they are computed.
pub fn far_ends(model: &Model) -> Option<&[FarRow]> {
    match answer(model, Question::FarEnds)? {
        Answer::FarEnds(rows) => Some(rows),
        _ => None,
    }
}

/// Those listed, in the order chosen; none while they are computed.
pub fn far_rows(model: &Model) -> Option<Rows<'_, FarRow>> {
    let all = far_ends(model)?;
    let sieve = model.sieves.of(List::FarEnds);
    let from = (model.findings.generation, sieve.clone());
    let kept = &model.protection.kept;
    Some(Rows::new(all, kept.places(from, || arranged(model, all, &sieve))))
}

fn arranged(model: &Model, all: &[FarRow], sieve: &Sieve) -> Vec<usize> {
    let mut rows: Vec<(usize, &FarRow)> = all.iter().enumerate().collect();
    let book = &model.book;
    let said = |(_, row): &(usize, &FarRow)| {
        let words = match &row.verdict {
            Ok(verdict) => far_end_words(verdict),
            Err(missing) => format!("cannot check: missing {missing}"),
        };
        let size = book.get(row.wire).map(size_shown).unwrap_or_default();
        format!(
            "{} {} {size} {words}",
            book.label_of(row.wire),
            book.label_of(row.fuse)
        )
    };
    arrange(sieve, &mut rows, said, |(_, row), by| {
        let verdict = row.verdict.as_ref().ok();
        match by {
            1 => By::words(book.label_of(row.wire)),
            2 => By::words(book.label_of(row.fuse)),
            3 => By::figure(verdict.map(|v| v.fault_a)),
            _ => By::figure(verdict.map(|v| v.fuse_longest_s)),
        }
    });
    rows.into_iter().map(|(place, _)| place).collect()
}

/// The far-end row that the cursor is on.
pub fn far_row(model: &Model) -> Option<&FarRow> {
    let rows = far_rows(model)?;
    rows.get(model.protection.far_at.min(rows.len().saturating_sub(1)))
}

/// The record that Enter goes to.
pub fn here(model: &Model) -> Option<Key> {
    match model.protection.shows {
        Shows::FarEnds => far_row(model).map(|row| Key::of(row.wire)),
        Shows::Picture => fuse_here(model).map(Key::of),
        Shows::Tree => key(model, row(model)?.twig),
    }
}

/// The wire that the cursor is on.
pub fn wire_here(model: &Model) -> Option<Id<Wire>> {
    if model.protection.shows == Shows::FarEnds {
        return far_row(model).map(|row| row.wire);
    }
    key(model, row(model)?.twig)?.as_id()
}

/// The fuse that the cursor is on, or that protects what it is on.
pub fn fuse_here(model: &Model) -> Option<Id<Fuse>> {
    let see = model.findings.current()?;
    let protection = see.protection();
    match row(model)?.twig {
        Twig::Fuse(id) => Some(id),
        Twig::Wire(at) => protection.wires.get(at)?.as_ref()?.fuse,
        Twig::Load(at) => {
            let ends = &see.wiring().parts.get(at)?.ends;
            let step = ends
                .iter()
                .find_map(|end| protection.behind.get(*end as usize).copied().flatten())?;
            match step {
                Step::Fuse(id) => Some(id),
                Step::Wire(at) => protection.wires.get(at)?.as_ref()?.fuse,
                Step::Source(_) => None,
            }
        }
        Twig::Source(_) => None,
    }
}
