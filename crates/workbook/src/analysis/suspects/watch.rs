//! What somebody at the vehicle sees or hears: loads, lamps, relays, what units do, fuses.

use crate::{
    analysis::Snapshot,
    book::natural,
    circuit::{Stand, Stands},
    model::{Expression, Fuse, Id, Part, PartKind},
};

/// Something that can be watched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Watch {
    /// A load or lamp that works, a relay that is pulled in: its place among the wiring's parts.
    Part(usize),
    /// What a unit does, by its expression.
    Does(Id<Expression>),
    /// A fuse: on is blown.
    Fuse(Id<Fuse>),
}

/// Something that can be watched, with what it does without a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// What.
    pub watch: Watch,
    /// Its name.
    pub label: String,
    /// Whether it is on without a fault; none: nobody can say.
    pub usual: Option<bool>,
    /// A lamp or a load: seen without tools.
    pub plain: bool,
}

/// What somebody saw: a watched thing's place, and whether it is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Symptom {
    /// Place in [`super::Signatures::watched`].
    pub watched: usize,
    /// Whether it is on (a fuse: blown).
    pub on: bool,
}

impl Watched {
    /// In words (`coolant pump motor: off`): a name may stand for several things, so that no verb goes with it.
    pub fn words(&self, on: bool) -> String {
        format!("{}: {}", self.label, self.how(on))
    }

    /// How it is, in a word.
    pub fn how(&self, on: bool) -> &'static str {
        match (self.watch, on) {
            (Watch::Fuse(_), true) => "blown",
            (Watch::Fuse(_), false) => "whole",
            (_, true) => "on",
            (_, false) => "off",
        }
    }
}

/// Whether a coil's own voltage moves it, so that it is heard.
pub(super) fn moves_with(stands: &Stands, part: &Part) -> bool {
    matches!(
        part.kind,
        PartKind::Coil {
            pull_in_v: Some(_),
            ..
        }
    ) && matches!(stands.get(part.id), Stand::Follows(_))
}

/// Everything there is to watch: what units do, then loads, lamps and relays, then fuses.
pub(super) fn watched(see: &Snapshot) -> Vec<Watched> {
    let (book, wiring) = (see.book(), see.wiring());
    let one = |watch, label| Watched {
        watch,
        label,
        usual: None,
        plain: false,
    };
    let mut does: Vec<Watched> = book
        .all::<Expression>()
        .values()
        .map(|e| one(Watch::Does(e.id), e.label.clone()))
        .collect();
    let mut parts: Vec<Watched> = Vec::new();
    for (at, run) in wiring.parts.iter().enumerate() {
        let Some(part): Option<&Part> = book.get(run.part) else {
            continue;
        };
        if let PartKind::Load { .. } | PartKind::Lamp { .. } | PartKind::Coil { .. } = part.kind {
            parts.push(Watched {
                plain: !matches!(part.kind, PartKind::Coil { .. }),
                ..one(Watch::Part(at), part.label.clone())
            });
        }
    }
    let mut fuses: Vec<Id<Fuse>> = see.protection().zones.iter().map(|z| z.fuse).collect();
    fuses.sort();
    fuses.dedup();
    let mut fuses: Vec<Watched> = fuses
        .into_iter()
        .map(|fuse| one(Watch::Fuse(fuse), book.label_of(fuse)))
        .collect();
    for some in [&mut does, &mut parts, &mut fuses] {
        some.sort_by_cached_key(|w| natural(&w.label));
    }
    does.append(&mut parts);
    does.append(&mut fuses);
    does
}
