//! Fuses: in a way of a box, in line with a wire.

use super::{Change, Edit, Refusal, cannot, label::next_label, need};
use crate::{
    Book,
    model::{Fuse, FuseKind, Id, IdMaker, InlineFuse, Part, PartKind, Terminal, Unit, Wire},
};

/// What is known of a fuse when it is added.
#[derive(Debug, Clone, PartialEq)]
pub struct FuseDraft {
    /// Label; empty: the next free one.
    pub label: String,
    /// Rating, A.
    pub rating_a: f64,
    /// Kind.
    pub kind: FuseKind,
    /// What it feeds, in words.
    pub feeds: String,
}

impl FuseDraft {
    fn row(&self, book: &Book, id: Id<Fuse>) -> Fuse {
        let label = match self.label.trim() {
            "" => next_label::<Fuse>(book, "F"),
            label => label.to_owned(),
        };
        Fuse {
            id,
            label,
            rating_a: self.rating_a,
            kind: self.kind,
            feeds: self.feeds.trim().to_owned(),
            holder: String::new(),
            zone: None,
            melting_a2s: None,
            cold_ohm: None,
            rated_v: None,
            breaking_a: None,
            ambient_factor: None,
            note: String::new(),
        }
    }
}

/// Adds a fuse in a way of a unit, from its supply side to its load side.
///
/// # Errors
/// The unit is gone.
pub fn add_fuse_way(
    book: &Book,
    ids: &mut IdMaker,
    unit: Id<Unit>,
    draft: &FuseDraft,
    supply: Terminal,
    load: Terminal,
) -> Result<Edit, Refusal> {
    let label = &need(book, unit)?.label;
    let fuse = draft.row(book, ids.make());
    let title = format!(
        "{}: {} A in {label}, from {} to {}",
        fuse.label,
        fuse.rating_a,
        book.terminal_name(&supply),
        book.terminal_name(&load)
    );
    let way = Part {
        id: ids.make(),
        unit,
        label: format!("{} way", fuse.label),
        kind: PartKind::FuseWay { fuse: fuse.id },
        ends: vec![supply, load],
        drop_limit_v: None,
        note: String::new(),
    };
    Ok(Edit::design(title, vec![Change::make(fuse), Change::make(way)]))
}

/// Adds a fuse in line with a wire, `from_end_m` metres from its `from` end.
///
/// # Errors
/// The wire is gone, or has a fuse in line.
pub fn add_inline_fuse(
    book: &Book,
    ids: &mut IdMaker,
    wire: Id<Wire>,
    draft: &FuseDraft,
    from_end_m: f64,
) -> Result<Edit, Refusal> {
    let before = need(book, wire)?;
    if let Some(there) = before.inline_fuse {
        let problem = format!(
            "has fuse {} in line already; change that one",
            book.label_of(there.fuse)
        );
        return Err(cannot(book, wire, problem));
    }
    let fuse = draft.row(book, ids.make());
    let mut after = before.clone();
    after.inline_fuse = Some(InlineFuse {
        fuse: fuse.id,
        from_end_m,
    });
    let title = format!(
        "{}: {} A in line with {}, {from_end_m} m from {}",
        fuse.label,
        fuse.rating_a,
        before.label,
        book.end_name(before.from)
    );
    Ok(Edit::design(
        title,
        vec![Change::make(fuse), Change::replace(before.clone(), after)],
    ))
}

/// Gives a fuse another rating (`F6: 10 → 7.5 A`). Figures of its data sheet belong to the old one and go.
///
/// # Errors
/// The fuse is gone, or has that rating.
pub fn set_rating(book: &Book, fuse: Id<Fuse>, rating_a: f64) -> Result<Edit, Refusal> {
    let before = need(book, fuse)?;
    let title = format!("{}: {} → {rating_a} A", before.label, before.rating_a);
    super::change(book, fuse, title, |f| {
        if f.rating_a != rating_a {
            f.rating_a = rating_a;
            f.melting_a2s = None;
            f.cold_ohm = None;
        }
    })
}
