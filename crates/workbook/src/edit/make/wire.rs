//! Wires.

use super::cavity::now_wired;
use super::{Change, Edit, Refusal, cannot, label::next_label, need};
use crate::{
    Book,
    model::{Bundle, Cavity, Decision, End, Fuse, Id, IdMaker, SizeTable, Wire, WireColour},
};

/// What is known of a wire when it is added.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WireDraft {
    /// Label; empty: the next free one.
    pub label: String,
    /// What it carries.
    pub signal: String,
    /// Where it comes from.
    pub from: End,
    /// Where it goes.
    pub to: End,
    /// Conductor area, mm².
    pub area_mm2: Option<f64>,
    /// The size as written, where it is not in mm².
    pub size_written: String,
    /// Table the size is read from; absent: the workbook's.
    pub size_table: Option<SizeTable>,
    /// Insulation class, °C; absent: the workbook's.
    pub insulation_class_c: Option<f64>,
    /// Colour and tracer.
    pub colour: Option<WireColour>,
    /// Length, m.
    pub length_m: Option<f64>,
    /// Bundle it lies in.
    pub bundle: Option<Id<Bundle>>,
    /// Name of the pair it belongs to.
    pub pair: String,
    /// Fuse that is meant to protect it.
    pub fuse: Option<Id<Fuse>>,
    /// Usual voltage, V.
    pub nominal_v: Option<f64>,
    /// How much it may drop, V.
    pub drop_limit_v: Option<f64>,
}

impl WireDraft {
    /// A draft with the make of a wire: all but label, signal and ends.
    pub fn make_of(wire: &Wire) -> Self {
        Self {
            label: String::new(),
            signal: String::new(),
            from: End::Free,
            to: End::Free,
            area_mm2: wire.area_mm2,
            size_written: wire.size_written.clone(),
            size_table: wire.size_table,
            insulation_class_c: wire.insulation_class_c,
            colour: wire.colour,
            length_m: wire.length_m,
            bundle: wire.bundle,
            pair: String::new(),
            fuse: wire.fuse,
            nominal_v: wire.nominal_v,
            drop_limit_v: wire.drop_limit_v,
        }
    }

    /// The wire that it makes.
    pub fn row(self, id: Id<Wire>, label: String) -> Wire {
        Wire {
            id,
            label,
            signal: self.signal,
            from: self.from,
            to: self.to,
            area_mm2: self.area_mm2,
            size_written: self.size_written,
            size_table: self.size_table,
            insulation_class_c: self.insulation_class_c,
            colour: self.colour,
            length_m: self.length_m,
            bundle: self.bundle,
            pair: self.pair,
            inline_fuse: None,
            fuse: self.fuse,
            nominal_v: self.nominal_v,
            typical_a: None,
            peak_a: None,
            drop_limit_v: self.drop_limit_v,
            note: String::new(),
        }
    }
}

/// Adds a wire. Undecided cavities at its ends are decided as wired.
///
/// # Errors
/// An end is gone.
pub fn add_wire(book: &Book, ids: &mut IdMaker, draft: WireDraft) -> Result<Edit, Refusal> {
    for end in [draft.from, draft.to] {
        check_end(book, end)?;
    }
    let label = match draft.label.trim() {
        "" => next_label::<Wire>(book, "W"),
        label => label.to_owned(),
    };
    let title = format!(
        "{label}: from {} to {}",
        book.end_name(draft.from),
        book.end_name(draft.to)
    );
    let mut changes: Vec<Change> = now_wired(book, draft.from).into_iter().collect();
    changes.extend(now_wired(book, draft.to).filter(|c| !changes.contains(c)));
    changes.push(Change::make(draft.row(ids.make(), label)));
    Ok(Edit::design(title, changes))
}

/// Adds a wire made like another, from the next cavity to the next cavity; at a splice or stud it stays there.
///
/// # Errors
/// The wire is gone, or a connector has no free cavity after it.
pub fn like(book: &Book, ids: &mut IdMaker, wire: Id<Wire>) -> Result<Edit, Refusal> {
    let last = need(book, wire)?;
    let (from, to) = (next_end(book, wire, last.from)?, next_end(book, wire, last.to)?);
    let name_at = |end| match end {
        End::Cavity(id) => book.get(id).map_or("", |c: &Cavity| c.name.as_str()),
        _ => "",
    };
    let signal = [name_at(to), name_at(from)].into_iter().find(|n| !n.is_empty());
    let draft = WireDraft {
        signal: signal.unwrap_or("").to_owned(),
        from,
        to,
        ..WireDraft::make_of(last)
    };
    add_wire(book, ids, draft)
}

/// The next cavity, as the face is numbered, that has no wire and may get one.
fn next_end(book: &Book, wire: Id<Wire>, end: End) -> Result<End, Refusal> {
    let End::Cavity(id) = end else { return Ok(end) };
    let connector = need(book, id)?.connector;
    let face = book.face_of(connector);
    let number = need(book, id)?.number.to_lowercase();
    let mut after = face
        .numbers()
        .map(str::to_lowercase)
        .skip_while(|n| *n != number)
        .skip(1);
    let cavities = book.cavities_of(connector);
    let free = |c: &&&Cavity| {
        matches!(c.decision, Decision::Undecided | Decision::Wired)
            && !book.index().wires_at_cavity.contains_key(&c.id)
    };
    after
        .find_map(|n| {
            cavities
                .iter()
                .filter(free)
                .find(|c| c.number.to_lowercase() == n)
        })
        .map(|c| End::Cavity(c.id))
        .ok_or_else(|| {
            let problem = format!(
                "cannot be repeated: {} has no free cavity after {}; add the wire by its ends",
                book.label_of(connector),
                book.cavity_name(id)
            );
            cannot(book, wire, problem)
        })
}

pub(super) fn check_end(book: &Book, end: End) -> Result<(), Refusal> {
    match end {
        End::Cavity(id) => need(book, id).map(|_| ()),
        End::Junction(id) => need(book, id).map(|_| ()),
        End::Free => Ok(()),
    }
}
