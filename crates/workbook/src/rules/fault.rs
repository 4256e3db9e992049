//! Single faults, by class.

use crate::{
    analysis::{Snapshot, suppose::place},
    book::natural,
    circuit::Node,
    model::{Connector, ContactForm, End, Fuse, Id, Key, Part, PartKind, Wire},
};

use super::{
    graph::Element,
    model::{Model, Moved, Moves},
};

/// What kind of fault it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Class {
    /// A wire off, a fuse blown, a ground lost, a plug off.
    Open,
    /// A wire touches chassis.
    Chassis,
    /// A wire touches the unswitched supply.
    Supply,
    /// A contact does not move.
    Stuck,
}

impl Class {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Open, Self::Chassis, Self::Supply, Self::Stuck];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Chassis => "to chassis",
            Self::Supply => "to supply",
            Self::Stuck => "stuck contact",
        }
    }
}

/// A single fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Its class.
    pub class: Class,
    /// What fails: a wire, fuse, chassis path, connector or inside part.
    pub at: Key,
    /// In words (`W54 off`, `F6 blown`, `K1 contact stuck closed`).
    pub words: String,
    /// Where the wire is off or touches, or the place that belongs to it.
    pub end: Option<End>,
    pub(super) does: Does,
}

/// What a fault does to the circuit.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Does {
    /// These conduct no more.
    Gone(Vec<Element>),
    /// Points touch, one pair after the other: each end of a wire by itself.
    Touches(Vec<(Node, Node)>),
    /// A mover stays on or off.
    Stuck(usize, bool),
}

/// Every single fault, in the order of classes and labels.
pub(super) fn faults(see: &Snapshot, model: &Model) -> Vec<Fault> {
    let mut all = wires(see);
    all.extend(fuses(see, model));
    all.extend(paths(see));
    all.extend(plugs(see));
    all.extend(stuck(see, model));
    all.sort_by_cached_key(|f| (f.class, natural(&f.words)));
    all
}

fn wires(see: &Snapshot) -> Vec<Fault> {
    let (book, wiring) = (see.book(), see.wiring());
    let supply = place::supply(see);
    let mut all = Vec::new();
    for (at, run) in wiring.wires.iter().enumerate() {
        let Some(wire): Option<&Wire> = book.get(run.wire) else {
            continue;
        };
        let fault = |class, words: &str, does| Fault {
            class,
            at: Key::of(run.wire),
            words: format!("{} {words}", wire.label),
            end: Some(wire.from),
            does,
        };
        all.push(fault(Class::Open, "off", Does::Gone(vec![Element::Wire(at)])));
        let ends = [(wire.from, run.from), (wire.to, run.to)];
        let touches = |to: &dyn Fn(End) -> Option<Node>| -> Vec<(Node, Node)> {
            let pairs = ends.iter().filter_map(|(end, node)| Some((*node, to(*end)?)));
            pairs.filter(|(one, other)| one != other).collect()
        };
        let chassis = touches(&|end| place::chassis(see, end).map(|(node, _)| node));
        if !chassis.is_empty() {
            all.push(fault(Class::Chassis, "touching chassis", Does::Touches(chassis)));
        }
        let live = touches(&|_| supply.as_ref().map(|(node, _)| *node));
        if !live.is_empty() {
            all.push(fault(Class::Supply, "touching supply", Does::Touches(live)));
        }
    }
    all
}

fn fuses(see: &Snapshot, model: &Model) -> Vec<Fault> {
    let (book, wiring) = (see.book(), see.wiring());
    let mut all = Vec::new();
    for mover in &model.movers {
        if !matches!(mover.moves, Moves::Fuse) {
            continue;
        }
        let Some(fuse) = fuse_of(see, mover.what) else {
            continue;
        };
        let gone = match mover.what {
            Moved::Part(place) => Element::Part(place),
            Moved::Wire(at) => Element::Wire(at),
        };
        let end = match mover.what {
            Moved::Part(_) => None,
            Moved::Wire(at) => wiring
                .wires
                .get(at)
                .and_then(|run| book.get(run.wire))
                .map(|w: &Wire| w.from),
        };
        all.push(Fault {
            class: Class::Open,
            at: Key::of(fuse),
            words: format!("{} blown", book.label_of(fuse)),
            end,
            does: Does::Gone(vec![gone]),
        });
    }
    all
}

/// The fuse of a way or in line with a wire.
pub(super) fn fuse_of(see: &Snapshot, what: Moved) -> Option<Id<Fuse>> {
    let (book, wiring) = (see.book(), see.wiring());
    match what {
        Moved::Part(place) => match book.get(wiring.parts.get(place)?.part).map(|p: &Part| &p.kind) {
            Some(PartKind::FuseWay { fuse }) => Some(*fuse),
            _ => None,
        },
        Moved::Wire(at) => wiring.wires.get(at)?.fuse.map(|(fuse, _)| fuse),
    }
}

fn paths(see: &Snapshot) -> Vec<Fault> {
    let (book, wiring) = (see.book(), see.wiring());
    let path = |(at, (id, ..)): (usize, &(Id<crate::model::ChassisPath>, Node, Node, f64))| {
        let path = book.get(*id)?;
        let words = format!(
            "ground from {} to {} lost",
            book.terminal_name(&path.from),
            book.terminal_name(&path.to)
        );
        Some(Fault {
            class: Class::Open,
            at: Key::of(*id),
            words,
            end: None,
            does: Does::Gone(vec![Element::Path(at)]),
        })
    };
    wiring.paths.iter().enumerate().filter_map(path).collect()
}

fn plugs(see: &Snapshot) -> Vec<Fault> {
    let (book, wiring) = (see.book(), see.wiring());
    let of = |cavity| book.get(cavity).map(|c: &crate::model::Cavity| c.connector);
    let mut all = Vec::new();
    for connector in book.all::<Connector>().values() {
        let contacts = wiring.contacts.iter().enumerate();
        let here = contacts.filter(|(_, run)| of(run.cavity) == Some(connector.id));
        let gone: Vec<Element> = here.map(|(at, _)| Element::Contact(at)).collect();
        if !gone.is_empty() {
            all.push(Fault {
                class: Class::Open,
                at: Key::of(connector.id),
                words: format!("plug {} off", connector.label),
                end: None,
                does: Does::Gone(gone),
            });
        }
    }
    all
}

fn stuck(see: &Snapshot, model: &Model) -> Vec<Fault> {
    let (book, wiring) = (see.book(), see.wiring());
    let mut all = Vec::new();
    for (at, mover) in model.movers.iter().enumerate() {
        let Moved::Part(place) = mover.what else { continue };
        let part: Option<&Part> = wiring.parts.get(place).and_then(|run| book.get(run.part));
        let Some((part, PartKind::Contact { form, .. })) = part.map(|p| (p, &p.kind)) else {
            continue;
        };
        for on in [true, false] {
            let how = match (form, on) {
                (ContactForm::ChangeOver, true) => "stuck operated",
                (ContactForm::ChangeOver, false) => "stuck at rest",
                (ContactForm::NormallyOpen, true) | (ContactForm::NormallyClosed, false) => "stuck closed",
                _ => "stuck open",
            };
            all.push(Fault {
                class: Class::Stuck,
                at: Key::of(part.id),
                words: format!("{} {how}", part.label),
                end: None,
                does: Does::Stuck(at, on),
            });
        }
    }
    all
}
