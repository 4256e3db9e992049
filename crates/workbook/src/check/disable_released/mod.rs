//! An input that is to hold something back, and lets go when its wire breaks.

mod judge;
mod logic;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use super::{Check, Out, common::words::list};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Cavity, Decision, Expression, Id, Kind, OutputSide, Part, PartKind, Rule, SignalKind, Unit},
};
use logic::{Ways, expression, inputs, names};

pub(super) static CHECK: Check = Check {
    name: "disable-let-go",
    what: "an input that holds something back goes on doing so when its wire breaks, its fuse blows or its source is without power",
    inputs: "kinds of cavities, units' behaviour and rules as expressions, pulls and thresholds of inputs, wires; a switch that a second input sees",
    source: "common practice, no source: what stops is stopped by a loop that opens; levels by the pull inside, as the manual gives it",
    rests_on: &[
        (Kind::Cavity, &["kind", "limits", "decision"]),
        (Kind::Wire, &["from", "to"]),
    ],
    reads: &[],
    find,
};

/// Names that say that an input holds something back or lets it happen.
const TELLING: [&str; 6] = ["inhibit", "disable", "enable", "interlock", "permit", "kill"];

/// Something that must not happen by itself, and the inputs it rests on.
struct Root<'a> {
    expression: &'a Expression,
    inputs: BTreeMap<Id<Cavity>, Ways>,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let roots = roots(see);
    let mut judged: BTreeSet<Id<Cavity>> = BTreeSet::new();
    for root in &roots {
        for (cavity, ways) in &root.inputs {
            let Some(cavity) = book.get(*cavity).filter(|c| is_wired(c)) else {
                continue;
            };
            if judged.insert(cavity.id) {
                judge::input(see, root, cavity, *ways, out);
            }
        }
    }
    ask(see, &judged, out);
}

fn is_wired(cavity: &Cavity) -> bool {
    matches!(cavity.decision, Decision::Wired | Decision::Bridged { .. })
        && matches!(
            cavity.kind,
            Some(
                SignalKind::DigitalInHigh
                    | SignalKind::DigitalInLow
                    | SignalKind::DigitalInBare
                    | SignalKind::InterlockIn
            )
        )
}

/// Expressions that a rule forbids to come true, and those that switch a coil on.
fn roots(see: &Snapshot) -> Vec<Root<'_>> {
    let book = see.book();
    let mut labels: Vec<String> = Vec::new();
    for rule in book.all::<Rule>().values() {
        labels.extend(
            names(&rule.text)
                .into_iter()
                .filter(|(_, w)| w.lets)
                .map(|(n, _)| n),
        );
    }
    labels.extend(book.all::<Part>().values().filter_map(|p| switches_coil(see, p)));
    let mut seen = BTreeSet::new();
    labels
        .iter()
        .filter(|label| seen.insert(label.as_str()))
        .filter_map(|label| expression(book, label))
        .map(|expression| Root {
            expression,
            inputs: inputs(book, expression),
        })
        .collect()
}

/// The expression of an output that has a coil on its net.
fn switches_coil(see: &Snapshot, part: &Part) -> Option<String> {
    let PartKind::Output { side, when, .. } = &part.kind else {
        return None;
    };
    let pin = part.ends.get(usize::from(*side == OutputSide::HighSide))?;
    let nets = &see.signals().nets;
    let net = nets.get(nets.at(pin)?)?;
    let coil = |id: &Id<Part>| {
        see.book()
            .get(*id)
            .is_some_and(|p| matches!(p.kind, PartKind::Coil { .. }))
    };
    (!when.is_empty() && net.parts.iter().any(|(id, _)| coil(id))).then(|| when.clone())
}

/// An input whose name says that it holds something back, and of which no expression tells what.
fn ask(see: &Snapshot, judged: &BTreeSet<Id<Cavity>>, out: &mut Out) {
    let book: &Book = see.book();
    let mut missing: BTreeMap<Id<Unit>, Vec<String>> = BTreeMap::new();
    for cavity in book.all::<Cavity>().values() {
        let name = cavity.name.to_lowercase();
        let tells = TELLING.iter().any(|word| name.contains(word));
        if !tells || !is_wired(cavity) || judged.contains(&cavity.id) {
            continue;
        }
        // Named by an expression that no rule forbids: that is the builder's word on it.
        let known = book
            .all::<Expression>()
            .values()
            .any(|e| inputs(book, e).contains_key(&cavity.id));
        if let Some(unit) = see.unit_of(cavity.id).filter(|_| !known) {
            missing
                .entry(unit)
                .or_default()
                .push(super::common::words::cavity(book, cavity));
        }
    }
    for (unit, cavities) in missing {
        out.cannot(
            CHECK.name,
            unit,
            format!(
                "what is held back or let happen by {}, as an expression",
                list(&cavities)
            ),
            [],
        );
    }
}
