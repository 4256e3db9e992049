//! Cutting a wire in two with a splice between.

use super::junction::junction_row;
use super::{Change, Edit, Refusal, cannot, label::next_label, need};
use crate::{
    Book,
    model::{End, Id, IdMaker, InlineFuse, JunctionKind, Wire},
};

/// Puts a new splice into a wire, `from_end_m` metres from its `from` end. The wire keeps its label up to the splice; a new
/// one of the same make goes on from there. A fuse in line stays where it is.
///
/// # Errors
/// The wire is gone; the place is not within its length, or its length is not known.
pub fn insert_splice(
    book: &Book,
    ids: &mut IdMaker,
    wire: Id<Wire>,
    from_end_m: f64,
) -> Result<Edit, Refusal> {
    let before = need(book, wire)?;
    let Some(length_m) = before.length_m else {
        return Err(cannot(
            book,
            wire,
            "has no length yet; give it one before cutting it",
        ));
    };
    if !(from_end_m > 0.0 && from_end_m < length_m) {
        let problem = format!("is {length_m} m long; the splice must be within it, not at {from_end_m} m");
        return Err(cannot(book, wire, problem));
    }
    let splice = junction_row(book, ids.make(), JunctionKind::Splice, "", "");
    let at = End::Junction(splice.id);
    // A cut length is not worth more than a millimetre.
    let rest_m = ((length_m - from_end_m) * 1000.0).round() / 1000.0;
    let mut near = before.clone();
    near.to = at;
    near.length_m = Some(from_end_m);
    let mut far = Wire {
        id: ids.make(),
        label: next_label::<Wire>(book, "W"),
        from: at,
        length_m: Some(rest_m),
        inline_fuse: None,
        ..before.clone()
    };
    if let Some(fuse) = before.inline_fuse.filter(|fuse| fuse.from_end_m > from_end_m) {
        near.inline_fuse = None;
        far.inline_fuse = Some(InlineFuse {
            from_end_m: fuse.from_end_m - from_end_m,
            ..fuse
        });
    }
    let title = format!(
        "{}: splice {} at {from_end_m} m, {} goes on to {}",
        before.label,
        splice.label,
        far.label,
        book.end_name(before.to)
    );
    let changes = vec![
        Change::make(splice),
        Change::replace(before.clone(), near),
        Change::make(far),
    ];
    Ok(Edit::design(title, changes))
}
