//! Who is who while powering up: which unit decides, which units are its sensors, which coils are contactors, which state
//! belongs to which rung.

use std::collections::{BTreeSet, HashSet};

use crate::{
    Book,
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{
        ContactForm, Driver, Id, Part, PartKind, PartPosition, State, Switch, SwitchKind, Terminal, Unit,
    },
};

/// Units with electronics: their plugs stay off while the loom is powered for the first time.
pub(super) fn electronic(book: &Book) -> HashSet<Id<Unit>> {
    let decides = |part: &&Part| {
        matches!(
            part.kind,
            PartKind::Output { .. }
                | PartKind::Reference { .. }
                | PartKind::Ratiometric { .. }
                | PartKind::Terminator { .. }
                | PartKind::Source { switched: true, .. }
        )
    };
    book.all::<Part>()
        .values()
        .filter(decides)
        .map(|part| part.unit)
        .collect()
}

/// Who is who in a book.
pub(super) struct Roles<'a> {
    book: &'a Book,
    /// Units with electronics.
    pub electronic: HashSet<Id<Unit>>,
    /// The unit whose plug goes on first: that with the most outputs.
    pub controller: Option<Id<Unit>>,
    /// States in their order.
    pub states: Vec<&'a State>,
    /// The state in which the controller is awake and switches nothing, with the fewest switches away from rest.
    pub idle: Option<&'a State>,
    /// Coils that hold with an economiser or move no contact of this workbook: what they switch is not control wiring.
    pub contactors: Vec<&'a Part>,
}

impl<'a> Roles<'a> {
    pub fn of(book: &'a Book) -> Self {
        let controller = controller(book);
        let mut states: Vec<&State> = book.all::<State>().values().collect();
        states.order_by(|s| (s.order, s.label.clone()));
        let idle = controller.and_then(|unit| {
            let mut awake: Vec<&State> = states
                .iter()
                .copied()
                .filter(|state| is_idle(book, unit, state))
                .collect();
            awake.order_by(|state| away(book, state).count());
            awake.first().copied()
        });
        Self {
            book,
            electronic: electronic(book),
            controller,
            states,
            idle,
            contactors: contactors(book),
        }
    }

    /// Units with electronics that the controller's sensor supplies feed, and nothing else does.
    pub fn sensors(&self, see: &Snapshot) -> BTreeSet<Id<Unit>> {
        let Some(controller) = self.controller else {
            return BTreeSet::new();
        };
        let nets = &see.signals().nets;
        let is_reference = |part: &Part| matches!(part.kind, PartKind::Reference { .. });
        let fed_there = |end: &Terminal| {
            let net = nets.at(end).and_then(|net| nets.get(net));
            let mut parts = net.into_iter().flat_map(|net| &net.parts);
            parts.any(|(id, _)| {
                let part = self.book.get(*id);
                part.is_some_and(|part| part.unit == controller && is_reference(part))
            })
        };
        let is_sensor = |unit: &Id<Unit>| {
            let parts = || self.book.all::<Part>().values().filter(|part| part.unit == *unit);
            let own = parts().any(|part| {
                is_reference(part)
                    || matches!(part.kind, PartKind::Source { .. } | PartKind::Terminator { .. })
            });
            let mut fed = parts().filter_map(|part| match part.kind {
                PartKind::Load { .. } | PartKind::Ratiometric { .. } => part.ends.first(),
                _ => None,
            });
            let first = fed.next();
            !own && first.is_some_and(&fed_there) && fed.all(fed_there)
        };
        let others = self.electronic.iter().filter(|unit| **unit != controller);
        others.copied().filter(is_sensor).collect()
    }

    /// The rung at which a state is measured with all plugs on.
    pub fn rung(&self, state: &State) -> &'static str {
        let leads = away(self.book, state).any(|(switch, _)| switch.kind == SwitchKind::Lead);
        if leads {
            return "P7";
        }
        let on = self.closed(state);
        if !on.is_empty() {
            let last = self
                .states
                .iter()
                .rev()
                .map(|s| self.closed(s))
                .find(|on| !on.is_empty());
            // A coil that is let go again before the end is one on the way there.
            let passing = last.is_some_and(|last| on.difference(&last).next().is_some());
            return if passing { "P8" } else { "P9" };
        }
        let opens = |switch: &Switch| {
            self.book.all::<Part>().values().any(|part| match &part.kind {
                PartKind::Contact {
                    form: ContactForm::NormallyClosed,
                    driver: Driver::Switch { switch: of, .. },
                    ..
                } => *of == switch.id,
                _ => false,
            })
        };
        let stopped = away(self.book, state).any(|(s, _)| s.kind == SwitchKind::Switch && opens(s));
        if stopped { "P6" } else { "P5" }
    }

    /// Contactors that a state has pulled in, beyond those of the idle state.
    fn closed(&self, state: &State) -> BTreeSet<Id<Part>> {
        let on = |state: &State, part: &Part| {
            matches!(
                told(state, part.id),
                Some(PartPosition::On | PartPosition::Starting)
            )
        };
        let idle = |part: &Part| self.idle.is_some_and(|idle| on(idle, part));
        let pulled = self
            .contactors
            .iter()
            .filter(|coil| on(state, coil) && !idle(coil));
        pulled.map(|coil| coil.id).collect()
    }

    /// The first state in which a coil is pulled in.
    pub fn pulled_in(&self, coil: &Part) -> Option<&'a State> {
        let mut on = self
            .states
            .iter()
            .filter(|state| told(state, coil.id) == Some(PartPosition::On));
        on.next().copied()
    }
}

/// How a state has a part, where it tells.
pub(super) fn told(state: &State, part: Id<Part>) -> Option<PartPosition> {
    let setting = state.parts.iter().find(|setting| setting.part == part)?;
    Some(setting.position)
}

/// The switches that a state has away from rest, with their positions.
fn away<'a>(book: &'a Book, state: &'a State) -> impl Iterator<Item = (&'a Switch, &'a str)> {
    state.switches.iter().filter_map(|at| {
        let switch: &Switch = book.get(at.switch)?;
        (switch.positions.first() != Some(&at.position)).then_some((switch, at.position.as_str()))
    })
}

fn controller(book: &Book) -> Option<Id<Unit>> {
    let count = |unit: Id<Unit>| {
        let of = book.all::<Part>().values().filter(|part| part.unit == unit);
        of.fold((0usize, 0usize), |(outputs, references), part| match part.kind {
            PartKind::Output { .. } => (outputs + 1, references),
            PartKind::Reference { .. } => (outputs, references + 1),
            _ => (outputs, references),
        })
    };
    let mut units: Vec<(Id<Unit>, (usize, usize))> = electronic(book)
        .into_iter()
        .map(|unit| (unit, count(unit)))
        .filter(|(_, (outputs, _))| *outputs > 0)
        .collect();
    units.order_by(|(unit, count)| (std::cmp::Reverse(*count), natural(&book.label_of(*unit))));
    units.first().map(|(unit, _)| *unit)
}

/// Whether a unit is awake in a state and switches nothing.
fn is_idle(book: &Book, unit: Id<Unit>, state: &State) -> bool {
    let of = || book.all::<Part>().values().filter(|part| part.unit == unit);
    let is = |part: &Part, position| told(state, part.id) == Some(position);
    let references = of().any(|part| matches!(part.kind, PartKind::Reference { .. }));
    let wakes = |part: &Part| match part.kind {
        PartKind::Reference { .. } => true,
        PartKind::Load { .. } => !references,
        _ => false,
    };
    let asleep = of().any(|part| wakes(part) && is(part, PartPosition::Off));
    let told = of().any(|part| wakes(part) && is(part, PartPosition::On));
    let switches = of().any(|part| {
        matches!(part.kind, PartKind::Output { .. })
            && (is(part, PartPosition::On) || is(part, PartPosition::Starting))
    });
    told && !asleep && !switches
}

fn contactors(book: &Book) -> Vec<&Part> {
    let moves = |coil: &Part| {
        book.all::<Part>().values().any(|part| {
            matches!(&part.kind, PartKind::Contact { driver: Driver::Coil { part: of }, .. } if *of == coil.id)
        })
    };
    let mut coils: Vec<&Part> = book
        .all::<Part>()
        .values()
        .filter(|part| match part.kind {
            PartKind::Coil { hold_a, .. } => hold_a.is_some() || !moves(part),
            _ => false,
        })
        .collect();
    coils.order_by(|coil| natural(&coil.label));
    coils
}
