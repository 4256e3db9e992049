//! Pulls that a cavity's limits state, where no inside part stands for them.

use std::collections::HashMap;

use super::{Node, Nodes};
use crate::{
    Book,
    model::{Cavity, Connector, Id, Part, PartKind, PullTo, SignalKind, Terminal, Unit},
};

/// A pull between a cavity and where it leads.
#[derive(Debug, Clone)]
pub(super) struct PullRun {
    pub from: Node,
    pub to: Node,
    pub ohm: f64,
}

/// The pulls of a book, and the cavities whose pull leads to a rail that nothing names.
pub(super) fn pulls(
    book: &Book,
    nodes: &mut Nodes,
    grounds: &HashMap<Id<Unit>, Terminal>,
) -> (Vec<PullRun>, Vec<Id<Cavity>>) {
    let (mut runs, mut unplaced) = (Vec::new(), Vec::new());
    for cavity in book.all::<Cavity>().values() {
        let Some((pull, ohm)) = cavity.limits.pull.and_then(|p| Some((p, p.ohm?))) else {
            continue;
        };
        if !(ohm.is_finite() && ohm > 0.0) || pull.to == PullTo::Nothing || drawn(book, cavity) {
            continue;
        }
        let unit = book.get(cavity.connector).map(|c: &Connector| c.unit);
        let leads_to = unit.and_then(|unit| match pull.to {
            PullTo::Ground => grounds.get(&unit).cloned(),
            PullTo::FiveVolts => five_volts(book, unit),
            PullTo::Supply => only_supply(book, unit),
            PullTo::Nothing => None,
        });
        match leads_to {
            Some(terminal) => runs.push(PullRun {
                from: nodes.make_unit_side(cavity.id),
                to: nodes.make(&terminal),
                ohm,
            }),
            None => unplaced.push(cavity.id),
        }
    }
    (runs, unplaced)
}

/// Whether an inside resistor at the cavity already stands for the pull.
fn drawn(book: &Book, cavity: &Cavity) -> bool {
    let parts = book.index().parts_at.get(&Terminal::Cavity(cavity.id));
    parts.into_iter().flatten().any(|(part, _)| {
        let kind = book.get(*part).map(|p: &Part| &p.kind);
        matches!(kind, Some(PartKind::Resistor { .. }))
    })
}

fn five_volts(book: &Book, unit: Id<Unit>) -> Option<Terminal> {
    let parts = book.index().parts_of.get(&unit)?;
    parts
        .iter()
        .filter_map(|id| book.get(*id))
        .find_map(|p: &Part| match p.kind {
            PartKind::Reference { .. } => p.ends.first().cloned(),
            _ => None,
        })
}

/// The unit's supply cavity, if it has but one: which of several a pull leads to is for the manual to say.
fn only_supply(book: &Book, unit: Id<Unit>) -> Option<Terminal> {
    let index = book.index();
    let mut supplies = index
        .connectors_of
        .get(&unit)?
        .iter()
        .filter_map(|connector| index.cavities_of.get(connector))
        .flatten()
        .filter_map(|id| book.get(*id))
        .filter(|c: &&Cavity| matches!(c.kind, Some(SignalKind::SupplyIn | SignalKind::LogicSupply)));
    let first = supplies.next()?;
    supplies.next().is_none().then_some(Terminal::Cavity(first.id))
}
