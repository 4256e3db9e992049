//! What a fault is supposed to do, solved from nothing by `suppose`, held against core's update of a factorised network:
//! the same volts, the same relays, the same fuses, for every wire of the demonstration vehicle.

use std::collections::BTreeSet;

use crimpbook_core::network::{FuseGate, Network, Potential, Solution};

use super::{
    job::{Job, Key},
    plant::Plant,
    solve::Base,
    ways::{Act, ways},
};
use crate::{
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Moment, Supposed},
    },
    circuit::{Node, Standing},
    model::{Cavity, End, Fuse, Id, PartKind, State},
    testing,
};

/// Both solve to far less; the demo's volts lie around 13.
const SAME_V: f64 = 2e-5;

/// What differs in a moment, in words.
fn differs(
    see: &Snapshot,
    standing: &Standing,
    moment: &Moment,
    solution: &Solution,
    volts: bool,
) -> Vec<String> {
    let wiring = see.wiring();
    let operated = &moment.result.operated;
    let mut off = Vec::new();
    let contacts = wiring.contacts.iter().map(|run| run.cavity);
    let sides = contacts.flat_map(|id: Id<Cavity>| [wiring.nodes.wire_side(id), wiring.nodes.unit_side(id)]);
    let ends = wiring.wires.iter().flat_map(|run| [Some(run.from), Some(run.to)]);
    let nodes: Vec<Node> = sides.chain(ends).flatten().collect();
    for node in nodes.into_iter().filter(|_| volts) {
        let anew = operated.volts(node);
        let updated = standing
            .node(node)
            .map_or(Potential::Floating, |n| solution.voltage(n));
        let same = match (anew, updated) {
            (Potential::At(a), Potential::At(b)) => (a - b).abs() < SAME_V,
            (Potential::Floating, Potential::Floating) => true,
            (Potential::Unsteady { .. }, Potential::Unsteady { .. }) => true,
            _ => false,
        };
        if !same {
            off.push(format!("{node:?}: {anew:?} anew, {updated:?} updated"));
        }
    }
    for (at, run) in wiring.parts.iter().enumerate() {
        let coil = see
            .book()
            .get(run.part)
            .is_some_and(|p| matches!(p.kind, PartKind::Coil { .. }));
        let element = standing.parts.get(at).and_then(|link| link.main).filter(|_| coil);
        if let Some(element) = element
            && operated.condition(at) != Some(solution.condition(element))
        {
            let updated = solution.condition(element);
            let label = see.book().label_of(run.part);
            off.push(format!(
                "{label}: {:?} anew, {updated:?} updated",
                operated.condition(at)
            ));
        }
    }
    off
}

/// The way in which `suppose` has it lie.
fn way(see: &Snapshot, supposed: &Supposed) -> Option<Vec<Act>> {
    let all = ways(see, supposed.failing).ok()?;
    let nodes = &see.wiring().nodes;
    let touched = supposed.at.and_then(|end| match end {
        End::Cavity(id) => nodes.wire_side(id).or_else(|| nodes.unit_side(id)),
        End::Junction(id) => nodes.junction(id),
        End::Free => None,
    });
    all.into_iter().find(|acts| match acts.as_slice() {
        [Act::Short(node, _)] => Some(*node) == touched,
        [Act::OpenWire(_)] => true,
        _ => false,
    })
}

#[derive(Default)]
struct Held {
    compared: usize,
    after_fuses: usize,
    economisers: usize,
    off: Vec<String>,
}

fn hold(see: &Snapshot, of: &StateResult, held: &mut Held) {
    let plant = Plant::of(see, of).unwrap();
    let key: Key = plant.as_it_stands();
    let standing = plant.standing(&key);
    let network = Network::new(standing.circuit.clone()).unwrap();
    let point = network.operate(&plant.start(&standing)).unwrap();
    let gates = plant.fuse_gates(&standing);
    let base = Base {
        standing: &standing,
        faults: point.faults(),
        holding: key.holding.iter().copied().collect(),
        places: Vec::new(),
        gates: gates.clone(),
    };
    let gates: Vec<FuseGate> = gates.iter().map(|(gate, _)| *gate).collect();
    for (fault, failing) in Failing::all(see).into_iter().enumerate() {
        if !matches!(failing, Failing::Wire(..)) {
            continue;
        }
        let name = failing.typed(see);
        let supposed = see.suppose(of, failing).unwrap();
        let acts = way(see, &supposed).unwrap_or_else(|| panic!("{name}: no way of it"));
        let job = Job::new(fault, acts, key.holding.clone());
        let moments = base
            .faults
            .moments(&plant.changes(&standing, &job), &gates)
            .unwrap();
        let first = moments.first.solution();
        if plant.rehold(&base, &first).is_some() || plant.rehold(&base, &moments.last().solution()).is_some()
        {
            // A coil's economiser lets go: that circuit is made ready anew, and no update of this one.
            held.economisers += 1;
            continue;
        }
        held.compared += 1;
        let mut off = differs(see, &standing, &supposed.first, &first, true);
        let opened: BTreeSet<Id<Fuse>> = supposed.opened.iter().map(|o| o.fuse).collect();
        let updated = moments.opened.iter().filter_map(|(element, _)| {
            let gate = base.gates.iter().find(|(gate, _)| gate.fuse == *element);
            gate.map(|(_, id)| *id)
        });
        if opened != updated.collect::<BTreeSet<_>>() {
            off.push("other fuses open".to_owned());
        }
        if !opened.is_empty() {
            held.after_fuses += 1;
            // Wires are warmer then, which moves volts a little.
            off.extend(differs(
                see,
                &standing,
                &supposed.lasting,
                &moments.last().solution(),
                false,
            ));
        }
        let label = see.book().label_of(of.state);
        let (count, some) = (off.len(), off.into_iter().take(3));
        if count > 0 {
            held.off.push(format!(
                "{label} {name}: {count}: {}",
                some.collect::<Vec<_>>().join("; ")
            ));
        }
    }
}

#[test]
fn what_is_supposed_of_every_wire_is_what_an_update_of_the_network_says() {
    let see = Snapshot::of(&testing::demo());
    let mut held = Held::default();
    for label in ["DRIVE", "CHARGE", "KEY"] {
        let state = see.book().index().labelled::<State>(label).unwrap();
        hold(&see, see.state(state).unwrap(), &mut held);
    }
    let Held {
        compared,
        after_fuses,
        economisers,
        off,
    } = held;
    assert!(off.is_empty(), "{} of {compared}: {off:#?}", off.len());
    assert!(
        compared > 600 && after_fuses > 50,
        "{compared} compared, {after_fuses} after fuses opened"
    );
    assert!(economisers < compared / 10, "{economisers} left out");
}
