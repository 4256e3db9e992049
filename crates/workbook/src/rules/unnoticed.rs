//! Wires whose loss breaks a rule and shows nowhere until then.

use crimpbook_core::rule::Function;

use super::{
    fault::Fault,
    model::{Model, Read},
    proof::{Proof, Unnoticed, stands},
    run::{Run, Settled},
    tried::Tried,
};
use crate::{
    analysis::Snapshot,
    model::{Id, Rule, State, Wire},
};

/// The usual states as choices taken, one list a state.
pub(super) fn states(see: &Snapshot, model: &Model) -> Vec<Vec<bool>> {
    let book = see.book();
    let of = |state: &State| {
        let mut taken = vec![false; model.choices as usize];
        for at in &state.switches {
            let Some(free) = model.free.iter().find(|f| f.switch == at.switch) else {
                continue;
            };
            let row = book.get(at.switch);
            let position = row
                .and_then(|s| s.positions.iter().position(|p| *p == at.position))
                .unwrap_or(0);
            for bit in 0..free.choices {
                if let Some(place) = taken.get_mut((free.first + bit) as usize) {
                    *place = position >> bit & 1 == 1;
                }
            }
        }
        taken
    };
    book.all::<State>().values().map(of).collect()
}

/// Whether in every usual state in which the rule is not broken yet nothing else changes: no lamp, load, coil, output, and no input
/// but the one the wire itself leads to.
pub(super) fn is(
    run: &mut Run<'_>,
    fault: &Fault,
    broken: Function,
    before: &Settled,
    after: &Settled,
    states: &[Vec<bool>],
) -> bool {
    let plant = run.plant;
    let Some(wire) = fault.at.as_id::<Wire>() else {
        return false;
    };
    let wiring = plant.see.wiring();
    let Some(at) = wiring.wire_at(wire).and_then(|at| wiring.wires.get(at)) else {
        return false;
    };
    let (super::fault::Does::Gone(gone), from) = (&fault.does, at.from) else {
        return false;
    };
    let mut case = run.case(gone.clone(), None);
    let mut pairs: Vec<_> = before
        .movers
        .iter()
        .copied()
        .zip(after.movers.iter().copied())
        .collect();
    for (read, what) in plant.model.reads.iter().enumerate() {
        let own = matches!(what, Read::Cavity { at, .. } if run.is_one(*at, from));
        if own {
            continue;
        }
        let now = match after.reads.get(read) {
            Some(now) => *now,
            None => run.read_as(&mut case, read, &after.movers),
        };
        pairs.extend(before.reads.get(read).map(|was| (*was, now)));
    }
    states.iter().all(|state| {
        let taken = |choice: u32| state.get(choice as usize).copied().unwrap_or(false);
        run.diagrams.holds(broken, &taken)
            || pairs
                .iter()
                .all(|(was, now)| stands(run, *was, &taken) == stands(run, *now, &taken))
    })
}

/// Per wire the rules it breaks unnoticed.
pub(super) fn wires(proof: &Proof, model: &Model, tried: &[Tried]) -> Vec<Unnoticed> {
    let mut all: Vec<Unnoticed> = Vec::new();
    for one in tried.iter().filter(|t| t.unnoticed) {
        let wire = proof
            .faults
            .get(one.broken.fault)
            .and_then(|f| f.at.as_id::<Wire>());
        let rule: Option<Id<Rule>> = model.rules.get(one.rule).map(|r| r.rule);
        let (Some(wire), Some(rule)) = (wire, rule) else {
            continue;
        };
        match all.iter_mut().find(|u| u.wire == wire) {
            Some(known) => known.rules.push(rule),
            None => all.push(Unnoticed {
                wire,
                rules: vec![rule],
            }),
        }
    }
    all
}
