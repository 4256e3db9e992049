//! How the circuit hangs together, and which of its records a rule rests on ([`super::footing`]).

use std::collections::{BTreeMap, HashSet};

use super::{
    fault::fuse_of,
    graph::{Edge, Element, Graph, edges},
    model::{Model, Moves, Read, Term},
};
use crate::{
    analysis::Snapshot,
    circuit::{Node, Wiring},
    model::{Cavity, Connector, Id, Junction, Key, Part, PartKind, Rule, Terminal},
};

/// What a rule rests on.
#[derive(Debug, Default)]
pub(super) struct Footing {
    pub records: HashSet<Key>,
    /// Points between which it reads, by what is read.
    pub reads: BTreeMap<Key, [Node; 2]>,
}

/// How a book's circuit hangs together.
pub(super) struct Hang<'s> {
    pub see: &'s Snapshot,
    pub model: Model,
    edges: Vec<Edge>,
    graph: Graph,
    /// Edges at each point.
    at: Vec<Vec<u32>>,
    /// Splices and studs.
    junctions: HashSet<Node>,
}

/// A walk from one rule.
#[derive(Default)]
struct Walk {
    records: HashSet<Key>,
    reads: BTreeMap<Key, [Node; 2]>,
    seen: HashSet<Node>,
    /// Points that battery and chassis hold, where what was seen hangs on them.
    borders: HashSet<Node>,
    edges: HashSet<u32>,
    known: HashSet<Want>,
    wants: Vec<Want>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Want {
    Read(usize),
    Mover(usize),
    Named(usize),
}

impl Walk {
    fn want(&mut self, want: Want) {
        if self.known.insert(want) {
            self.wants.push(want);
        }
    }
}

impl<'s> Hang<'s> {
    pub(super) fn of(see: &'s Snapshot) -> Self {
        let (book, wiring) = (see.book(), see.wiring());
        let model = Model::of(book, wiring);
        let edges = edges(book, wiring, &model);
        let is_fuse = |at: usize| matches!(model.movers.get(at).map(|m| &m.moves), Some(Moves::Fuse));
        let graph = Graph::of(wiring, &edges, &[], &[], None, &|_| false, &is_fuse);
        let mut at = vec![Vec::new(); wiring.nodes.count()];
        for (number, edge) in (0..).zip(&edges) {
            for end in [edge.a, edge.b] {
                if let Some(list) = at.get_mut(end as usize) {
                    list.push(number);
                }
            }
        }
        let junctions = book.all::<Junction>().keys();
        let junctions = junctions.filter_map(|id| wiring.nodes.junction(*id));
        Self {
            see,
            model,
            edges,
            graph,
            at,
            junctions: junctions.collect(),
        }
    }

    /// What a rule rests on; nothing but itself where it cannot be proven, or is not there.
    pub(super) fn footing(&self, rule: Id<Rule>) -> Footing {
        let mut walk = Walk::default();
        walk.records.insert(Key::of(rule));
        let Some(proved) = self.model.rules.iter().find(|proved| proved.rule == rule) else {
            return Footing {
                records: walk.records,
                reads: walk.reads,
            };
        };
        self.term(&mut walk, &proved.never);
        let kept = loop {
            while let Some(want) = walk.wants.pop() {
                self.follow(&mut walk, want);
            }
            let kept = self.ways(&mut walk);
            let before = walk.borders.len();
            self.lost_grounds(&mut walk, &kept);
            if walk.wants.is_empty() && walk.borders.len() == before {
                break kept;
            }
        };
        self.beneath_fuses(&mut walk, kept);
        self.records(&mut walk);
        Footing {
            records: walk.records,
            reads: walk.reads,
        }
    }

    fn term(&self, walk: &mut Walk, term: &Term) {
        match term {
            Term::Switch(free, _) => {
                let free = self.model.free.get(*free);
                walk.records.extend(free.map(|f| Key::of(f.switch)));
            }
            Term::Read(at) => walk.want(Want::Read(*at)),
            Term::Mover(at) => walk.want(Want::Mover(*at)),
            Term::Named(at) => walk.want(Want::Named(*at)),
            Term::Not(inner) => self.term(walk, inner),
            Term::And(all) | Term::Or(all) => all.iter().for_each(|term| self.term(walk, term)),
        }
    }

    fn follow(&self, walk: &mut Walk, want: Want) {
        match want {
            Want::Named(at) => {
                if let Some((id, term)) = self.model.named.get(at) {
                    walk.records.insert(Key::of(*id));
                    self.term(walk, term);
                }
            }
            Want::Mover(at) => {
                let Some(mover) = self.model.movers.get(at) else {
                    return;
                };
                match &mover.moves {
                    Moves::Switch(free, _) => {
                        let free = self.model.free.get(*free);
                        walk.records.extend(free.map(|f| Key::of(f.switch)));
                    }
                    Moves::Coil(read) => walk.want(Want::Read(*read)),
                    Moves::When(term) => self.term(walk, term),
                    Moves::Nobody | Moves::Fuse => {}
                }
            }
            Want::Read(at) => {
                let (key, points) = match self.model.reads.get(at) {
                    Some(Read::Cavity {
                        cavity, at, ground, ..
                    }) => (Some(Key::of(*cavity)), [*at, *ground]),
                    Some(Read::Across { place, ends, .. }) => {
                        let run = self.see.wiring().parts.get(*place);
                        (run.map(|run| Key::of(run.part)), *ends)
                    }
                    None => return,
                };
                if let Some(key) = key {
                    walk.records.insert(key);
                    walk.reads.insert(key, points);
                }
                self.grow(walk, points);
            }
        }
    }

    fn is_held(&self, node: Node) -> bool {
        self.graph.is_core(self.graph.of_node(node))
    }

    fn is_ground(&self, node: Node) -> bool {
        self.graph.ground() == Some(self.graph.of_node(node))
    }

    fn is_fuse(&self, edge: &Edge) -> bool {
        edge.mover.is_some_and(|(mover, _)| {
            let mover = self.model.movers.get(mover);
            matches!(mover.map(|m| &m.moves), Some(Moves::Fuse))
        })
    }

    fn edges_at(&self, node: Node) -> impl Iterator<Item = (u32, &Edge)> {
        let numbers = self.at.get(node as usize).into_iter().flatten();
        numbers.filter_map(|n| Some((*n, self.edges.get(*n as usize)?)))
    }

    /// All that hangs together with these points, up to what battery and chassis hold.
    fn grow(&self, walk: &mut Walk, from: impl IntoIterator<Item = Node>) {
        let mut waiting: Vec<Node> = from.into_iter().collect();
        while let Some(node) = waiting.pop() {
            if self.is_held(node) {
                walk.borders.insert(node);
                continue;
            }
            if !walk.seen.insert(node) {
                continue;
            }
            for (number, edge) in self.edges_at(node) {
                walk.edges.insert(number);
                if let Some((mover, _)) = edge.mover {
                    walk.want(Want::Mover(mover));
                }
                let beyond = if edge.a == node { edge.b } else { edge.a };
                if !self.is_fuse(edge) || self.is_fed_from(beyond, node) {
                    waiting.push(beyond);
                }
            }
        }
    }

    /// Whether what lies beyond a fuse could feed what is on this side of it; else it is a branch of its own.
    fn is_fed_from(&self, beyond: Node, here: Node) -> bool {
        let mut been = HashSet::from([here]);
        // What hangs together with this side without the fuse is this side.
        self.spread(here, &mut been, &|edge| !self.is_fuse(edge));
        if been.contains(&beyond) || self.is_held(beyond) {
            return true;
        }
        self.spread(beyond, &mut been, &|_| true)
    }

    /// Goes on from a point over such edges up to what is held; whether anything there could feed it.
    fn spread(&self, from: Node, been: &mut HashSet<Node>, over: &dyn Fn(&Edge) -> bool) -> bool {
        let (mut waiting, mut fed) = (vec![from], false);
        been.insert(from);
        while let Some(node) = waiting.pop() {
            for (_, edge) in self.edges_at(node).filter(|(_, edge)| over(edge)) {
                let beyond = if edge.a == node { edge.b } else { edge.a };
                if self.is_held(beyond) {
                    fed |= edge.gives || edge.joins && !self.is_ground(beyond);
                } else if been.insert(beyond) {
                    waiting.push(beyond);
                }
            }
        }
        fed
    }

    /// The ways between the borders and what holds them: of what is held, all that is no dead end. Gives its points.
    fn ways(&self, walk: &mut Walk) -> HashSet<Node> {
        let held = |edge: &&Edge| edge.joins && !edge.gives && self.is_held(edge.a) && self.is_held(edge.b);
        let mut ends = walk.borders.clone();
        ends.extend(self.see.wiring().reference);
        for edge in self.edges.iter().filter(|e| e.gives && e.mover.is_none()) {
            ends.extend([edge.a, edge.b]);
        }
        let mut left: Vec<usize> = vec![0; self.at.len()];
        let mut kept: HashSet<u32> = HashSet::new();
        for (number, edge) in (0..).zip(&self.edges).filter(|(_, edge)| held(edge)) {
            kept.insert(number);
            for end in [edge.a, edge.b] {
                if let Some(count) = left.get_mut(end as usize) {
                    *count += 1;
                }
            }
        }
        let dead = |node: Node, left: &[usize]| {
            !ends.contains(&node) && left.get(node as usize).is_some_and(|n| *n == 1)
        };
        let mut waiting: Vec<Node> = (0..).take(left.len()).filter(|n| dead(*n, &left)).collect();
        while let Some(node) = waiting.pop() {
            if !dead(node, &left) {
                continue;
            }
            let Some((number, edge)) = self.edges_at(node).find(|(number, _)| kept.contains(number)) else {
                continue;
            };
            kept.remove(&number);
            for end in [edge.a, edge.b] {
                if let Some(count) = left.get_mut(end as usize) {
                    *count -= 1;
                }
            }
            waiting.push(if edge.a == node { edge.b } else { edge.a });
        }
        let points = kept.iter().filter_map(|n| self.edges.get(*n as usize));
        let points: HashSet<Node> = points.flat_map(|e| [e.a, e.b]).chain(ends).collect();
        walk.edges.extend(kept);
        walk.seen.extend(&points);
        points
    }

    /// What hangs on a unit's own ground that one thing off takes away from what is read: it then finds its way through that. Of a
    /// ground that units share all would rest on all; that is left to the proof.
    fn lost_grounds(&self, walk: &mut Walk, ways: &HashSet<Node>) {
        let grounds: Vec<Node> = ways.iter().copied().filter(|n| self.is_ground(*n)).collect();
        let way = |edge: &Edge| edge.joins && ways.contains(&edge.a) && ways.contains(&edge.b);
        let ways: Vec<u32> = (0..)
            .zip(&self.edges)
            .filter(|(_, edge)| way(edge) && self.is_ground(edge.a) && self.is_ground(edge.b))
            .map(|(number, _)| number)
            .collect();
        for off in ways {
            let mut held: HashSet<Node> = self.see.wiring().reference.into_iter().collect();
            let mut waiting: Vec<Node> = held.iter().copied().collect();
            while let Some(node) = waiting.pop() {
                for (_, edge) in self.edges_at(node).filter(|(n, edge)| *n != off && edge.joins) {
                    let beyond = if edge.a == node { edge.b } else { edge.a };
                    if self.is_ground(beyond) && held.insert(beyond) {
                        waiting.push(beyond);
                    }
                }
            }
            if grounds.iter().all(|node| held.contains(node)) {
                continue;
            }
            let lost = (0..).take(self.at.len());
            let lost: Vec<Node> = lost.filter(|n| self.is_ground(*n) && !held.contains(n)).collect();
            if lost.iter().any(|n| self.junctions.contains(n)) {
                continue;
            }
            for node in lost {
                for (number, edge) in self.edges_at(node) {
                    walk.edges.insert(number);
                    let beyond = if edge.a == node { edge.b } else { edge.a };
                    if !self.is_ground(beyond) {
                        self.grow(walk, [beyond]);
                    }
                }
            }
        }
    }

    /// What shares a fuse with a way that feeds: from its points on, up to the next fuse.
    fn beneath_fuses(&self, walk: &mut Walk, from: HashSet<Node>) {
        let mut waiting: Vec<Node> = from.into_iter().filter(|n| !self.is_ground(*n)).collect();
        let mut been: HashSet<Node> = waiting.iter().copied().collect();
        while let Some(node) = waiting.pop() {
            for (number, edge) in self.edges_at(node).filter(|(_, edge)| edge.joins) {
                walk.edges.insert(number);
                let beyond = if edge.a == node { edge.b } else { edge.a };
                if !self.is_fuse(edge) && !edge.gives && !self.is_ground(beyond) && been.insert(beyond) {
                    waiting.push(beyond);
                }
            }
        }
        walk.seen.extend(been);
    }

    /// The records of what was seen.
    fn records(&self, walk: &mut Walk) {
        let (book, wiring) = (self.see.book(), self.see.wiring());
        let fuse_at = |edge: &Edge| {
            let (mover, _) = edge.mover?;
            fuse_of(self.see, self.model.movers.get(mover)?.what)
        };
        for edge in walk.edges.iter().filter_map(|n| self.edges.get(*n as usize)) {
            walk.records.extend(element(wiring, edge.what));
            // The rating of a fuse of another branch matters to that branch alone.
            if walk.seen.contains(&edge.a) && walk.seen.contains(&edge.b) {
                walk.records.extend(fuse_at(edge).map(Key::of));
            }
        }
        let seen = |node: Option<Node>| node.is_some_and(|n| walk.seen.contains(&n));
        let mut more: Vec<Key> = Vec::new();
        let whose = |cavity: &Cavity, more: &mut Vec<Key>| {
            more.extend([Key::of(cavity.id), Key::of(cavity.connector)]);
            let connector: Option<&Connector> = book.get(cavity.connector);
            more.extend(connector.map(|c| Key::of(c.unit)));
        };
        for cavity in book.all::<Cavity>().values() {
            if seen(wiring.nodes.unit_side(cavity.id)) || seen(wiring.nodes.wire_side(cavity.id)) {
                whose(cavity, &mut more);
            }
        }
        for junction in book.all::<Junction>().values() {
            if seen(wiring.nodes.junction(junction.id)) {
                more.push(Key::of(junction.id));
            }
        }
        // What cannot be reckoned with yet may join where it hangs on what was seen.
        let hangs = |end: &Terminal| seen(wiring.nodes.terminal(end));
        for part in book.all::<Part>().values().filter(|p| p.ends.iter().any(hangs)) {
            if matches!(part.kind, PartKind::Load { .. } | PartKind::Lamp { .. }) {
                // A load that hangs on what is held moves its volts at most.
                let loose = |end: &Terminal| wiring.nodes.terminal(end).is_some_and(|n| !self.is_held(n));
                if !part.ends.iter().any(loose) {
                    continue;
                }
            }
            more.extend([Key::of(part.id), Key::of(part.unit)]);
        }
        walk.records.extend(more);
    }
}

fn element(wiring: &Wiring, what: Element) -> Option<Key> {
    match what {
        Element::Wire(at) => wiring.wires.get(at).map(|run| Key::of(run.wire)),
        Element::Contact(at) => wiring.contacts.get(at).map(|run| Key::of(run.cavity)),
        Element::Path(at) => wiring.paths.get(at).map(|(id, ..)| Key::of(*id)),
        Element::Part(at) => wiring.parts.get(at).map(|run| Key::of(run.part)),
        Element::Fixed => None,
    }
}
