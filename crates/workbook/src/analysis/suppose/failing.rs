//! Every single thing that can fail, in one list, and how it is typed and told.

use super::Touch;
use crate::{
    analysis::{Snapshot, protect::FuseAt},
    book::natural,
    circuit::{Stands, Upset},
    model::{
        Cavity, ChassisPath, Connector, ContactForm, End, Fuse, Id, Part, PartKind, PartPosition, Terminal,
        Wire,
    },
};

/// What fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Failing {
    /// A wire, by its place in the wiring.
    Wire(usize, Touch),
    /// A fuse is blown.
    Fuse(Id<Fuse>),
    /// A ground path is lost, by its place in the wiring.
    Path(usize),
    /// A plug is off.
    Plug(Id<Connector>),
    /// A contact does not move, by its place among the inside parts: where its coil or switch would have it when operated, or at rest.
    Contact {
        /// The inside part.
        part: usize,
        /// Whether it stays as when operated.
        operated: bool,
    },
}

impl Failing {
    /// Every one there is: wires, fuses, ground paths, plugs, contacts, in the order people look for them.
    pub fn all(see: &Snapshot) -> Vec<Self> {
        let (book, wiring) = (see.book(), see.wiring());
        let mut all: Vec<Self> = (0..wiring.wires.len())
            .flat_map(|at| Touch::ALL.map(|touch| Self::Wire(at, touch)))
            .collect();
        let in_order = |some: Vec<Self>, all: &mut Vec<Self>| {
            let mut some = some;
            some.sort_by_cached_key(|failing| natural(&failing.typed(see)));
            all.extend(some);
        };
        let mut fuses: Vec<Self> = see
            .protection()
            .zones
            .iter()
            .map(|z| Self::Fuse(z.fuse))
            .collect();
        fuses.dedup();
        in_order(fuses, &mut all);
        all.extend((0..wiring.paths.len()).map(Self::Path));
        let plugs = book.all::<Connector>().values().map(|c| c.id);
        let mated = plugs.filter(|id| !contacts_of(see, *id).is_empty());
        in_order(mated.map(Self::Plug).collect(), &mut all);
        let contacts = wiring.parts.iter().enumerate().filter(|(_, run)| {
            let part: Option<&Part> = book.get(run.part);
            part.is_some_and(|part| matches!(part.kind, PartKind::Contact { .. }))
        });
        let both =
            contacts.flat_map(|(part, _)| [true, false].map(|operated| Self::Contact { part, operated }));
        in_order(both.collect(), &mut all);
        all
    }

    /// As it is typed (`W19:chassis`, `F6:open`, `MC-A:open`, `K1:closed`).
    pub fn typed(self, see: &Snapshot) -> String {
        let (label, how) = self.named(see);
        format!("{label}:{how}")
    }

    /// In words (`W19 touches chassis`, `F6 is blown`).
    pub fn words(self, see: &Snapshot) -> String {
        let (label, how) = self.named(see);
        match self {
            Self::Wire(_, touch) => format!("{label} {}", touch.words()),
            Self::Fuse(_) => format!("{label} is blown"),
            Self::Path(_) => format!("the ground path {label} is lost"),
            Self::Plug(_) => format!("plug {label} is off"),
            Self::Contact { .. } => format!("{label} is stuck {how}"),
        }
    }

    /// What can fail where a wire runs: itself, the fuse that protects it, the plugs it ends in, the ground paths of its studs.
    pub fn around(see: &Snapshot, wire: usize) -> Vec<Self> {
        let (book, wiring) = (see.book(), see.wiring());
        let mut all: Vec<Self> = Touch::ALL.map(|touch| Self::Wire(wire, touch)).to_vec();
        let zones = see.protection().zones.iter();
        let fuse = zones.filter(|z| z.wires.contains(&wire) || z.at == FuseAt::Wire(wire));
        all.extend(fuse.map(|z| Self::Fuse(z.fuse)));
        let record: Option<&Wire> = wiring.wires.get(wire).and_then(|run| book.get(run.wire));
        for end in record.map_or([End::Free; 2], |w| [w.from, w.to]) {
            match end {
                End::Cavity(id) => {
                    let plug = book.get(id).map(|cavity: &Cavity| cavity.connector);
                    let mated = plug.filter(|plug| !contacts_of(see, *plug).is_empty());
                    all.extend(mated.map(Self::Plug));
                }
                End::Junction(id) => {
                    let paths = wiring.paths.iter().enumerate();
                    let here = paths.filter(|(_, (path, ..))| {
                        let path: Option<&ChassisPath> = book.get(*path);
                        path.is_some_and(|p| [&p.from, &p.to].contains(&&Terminal::Junction(id)))
                    });
                    all.extend(here.map(|(at, _)| Self::Path(at)));
                }
                End::Free => {}
            }
        }
        let mut told = std::collections::HashSet::new();
        all.retain(|failing| told.insert(*failing));
        all
    }

    /// Every one whose label is this, whatever its case.
    pub fn of(see: &Snapshot, label: &str) -> Vec<Self> {
        let same = |failing: &Self| failing.label(see).eq_ignore_ascii_case(label.trim());
        Self::all(see).into_iter().filter(same).collect()
    }

    /// The name of what fails.
    pub fn label(self, see: &Snapshot) -> String {
        self.named(see).0
    }

    /// How it fails, as it is typed.
    pub fn how(self, see: &Snapshot) -> &'static str {
        self.named(see).1
    }

    /// Whether something touches, so that more may flow than without it.
    pub fn is_touch(self) -> bool {
        matches!(self, Self::Wire(_, Touch::Chassis | Touch::Supply))
    }

    fn named(self, see: &Snapshot) -> (String, &'static str) {
        let (book, wiring) = (see.book(), see.wiring());
        match self {
            Self::Wire(at, touch) => {
                let label = wiring.wires.get(at).map(|run| book.label_of(run.wire));
                (label.unwrap_or_default(), touch.name())
            }
            Self::Fuse(fuse) => (book.label_of(fuse), "open"),
            Self::Path(at) => {
                let path = wiring.paths.get(at).and_then(|(id, ..)| book.get(*id));
                let ends =
                    path.map(|p| format!("{} to {}", book.terminal_name(&p.from), book.terminal_name(&p.to)));
                (ends.unwrap_or_default(), "open")
            }
            Self::Plug(connector) => (book.label_of(connector), "open"),
            Self::Contact { part, operated } => {
                let part: Option<&Part> = wiring.parts.get(part).and_then(|run| book.get(run.part));
                let form = part.and_then(|part| match part.kind {
                    PartKind::Contact { form, .. } => Some(form),
                    _ => None,
                });
                let how = match (form, operated) {
                    (Some(ContactForm::ChangeOver), true) => "operated",
                    (Some(ContactForm::ChangeOver), false) => "at-rest",
                    (Some(ContactForm::NormallyClosed), true) => "open",
                    (Some(ContactForm::NormallyClosed), false) | (_, true) => "closed",
                    (_, false) => "open",
                };
                (part.map(|part| part.label.clone()).unwrap_or_default(), how)
            }
        }
    }

    /// How parts stand with it.
    pub(super) fn stands(self, see: &Snapshot, stands: Stands) -> Stands {
        let Self::Contact { part, operated } = self else {
            return stands;
        };
        let position = if operated {
            PartPosition::On
        } else {
            PartPosition::Off
        };
        match see.wiring().parts.get(part) {
            Some(run) => stands.with(run.part, position),
            None => stands,
        }
    }

    /// What it opens.
    pub(super) fn upset(self, see: &Snapshot, base: Upset) -> Upset {
        let mut upset = base;
        match self {
            Self::Wire(at, Touch::Off) => upset.open_wires.push(at),
            Self::Wire(..) | Self::Contact { .. } => {}
            Self::Fuse(fuse) => {
                for zone in see.protection().zones.iter().filter(|z| z.fuse == fuse) {
                    match zone.at {
                        FuseAt::Part(at) => upset.open_parts.push(at),
                        FuseAt::Wire(at) => upset.open_wires.push(at),
                    }
                }
            }
            Self::Path(at) => upset.open_paths.push(at),
            Self::Plug(connector) => upset.open_contacts.extend(contacts_of(see, connector)),
        }
        upset
    }
}

/// The contact pairs of a connector, by their places in the wiring.
pub(in crate::analysis) fn contacts_of(see: &Snapshot, connector: Id<Connector>) -> Vec<usize> {
    let of = |cavity| see.book().get(cavity).map(|c: &Cavity| c.connector);
    let pairs = see.wiring().contacts.iter().enumerate();
    pairs
        .filter(|(_, run)| of(run.cavity) == Some(connector))
        .map(|(at, _)| at)
        .collect()
}
