//! How the circuit hangs together: what is one conductor, what holds it, and which movers decide that.

use std::collections::BTreeMap;

use crate::{
    Book,
    circuit::{Node, Wiring},
    model::{ContactForm, OutputSide, Part, PartKind},
};

use super::model::{Model, Moved};

/// Up to this resistance a joint makes two points one conductor, Ω (our own; the figures themselves come from the solution).
const JOINT_OHM: f64 = 1.0;

/// What lies between two points.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub a: Node,
    pub b: Node,
    /// It joins (a wire, a contact); else it only lets something through (a pull, a lamp).
    pub joins: bool,
    /// It gives a voltage of its own.
    pub gives: bool,
    /// The mover that closes it, and whether it is closed when that is on.
    pub mover: Option<(usize, bool)>,
    pub what: Element,
}

/// What an edge stands for, by its place in the wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Element {
    Wire(usize),
    Contact(usize),
    Path(usize),
    Part(usize),
    /// Something no fault takes away.
    Fixed,
}

/// Every edge of a wiring.
pub(super) fn edges(book: &Book, wiring: &Wiring, model: &Model) -> Vec<Edge> {
    let mut all = Vec::new();
    let plain = |a, b, joins, what| Edge {
        a,
        b,
        joins,
        gives: false,
        mover: None,
        what,
    };
    let inline = |at: usize| model.movers.iter().position(|m| m.what == Moved::Wire(at));
    for (at, run) in wiring.wires.iter().enumerate() {
        all.push(Edge {
            mover: inline(at).map(|m| (m, false)),
            ..plain(run.from, run.to, true, Element::Wire(at))
        });
    }
    for (at, run) in wiring.contacts.iter().enumerate() {
        all.push(plain(run.unit_side, run.wire_side, true, Element::Contact(at)));
    }
    for (_, one, other, _) in &wiring.bridges {
        all.push(plain(*one, *other, true, Element::Fixed));
    }
    for (at, (_, from, to, ohm)) in wiring.paths.iter().enumerate() {
        all.push(plain(*from, *to, *ohm <= JOINT_OHM, Element::Path(at)));
    }
    for (from, to) in wiring.pull_ends() {
        all.push(plain(from, to, false, Element::Fixed));
    }
    for (place, run) in wiring.parts.iter().enumerate() {
        if let Some(part) = book.get(run.part) {
            part_edges(&mut all, model, place, part, &run.ends);
        }
    }
    all
}

fn part_edges(all: &mut Vec<Edge>, model: &Model, place: usize, part: &Part, ends: &[Node]) {
    let mover = model.mover_of(place);
    let mut add = |one: usize, other: usize, joins: bool, gives: bool, closed_on: Option<bool>| {
        let (Some(a), Some(b)) = (ends.get(one).copied(), ends.get(other).copied()) else {
            return;
        };
        all.push(Edge {
            a,
            b,
            joins,
            gives,
            mover: closed_on.and_then(|on| Some((mover?, on))),
            what: Element::Part(place),
        });
    };
    match &part.kind {
        PartKind::Source { ohm, switched, .. } => {
            add(0, 1, *ohm <= JOINT_OHM / 2.0, true, switched.then_some(true));
        }
        // A reference gives only little: it holds nothing up.
        PartKind::Reference { .. } => add(0, 1, false, true, None),
        PartKind::Resistor { ohm } => add(0, 1, *ohm <= JOINT_OHM, false, None),
        PartKind::Contact { form, ohm, .. } => {
            let joins = *ohm <= JOINT_OHM;
            match form {
                ContactForm::NormallyOpen => add(0, 1, joins, false, Some(true)),
                ContactForm::NormallyClosed => add(0, 1, joins, false, Some(false)),
                ContactForm::ChangeOver => {
                    add(0, 2, joins, false, Some(true));
                    add(0, 1, joins, false, Some(false));
                }
            }
        }
        PartKind::Output { side, ohm, .. } => {
            let joins = *ohm <= JOINT_OHM;
            add(0, 1, joins, false, Some(true));
            if *side == OutputSide::PushPull {
                add(0, 2, joins, false, Some(false));
            }
        }
        PartKind::FuseWay { .. } => add(0, 1, true, false, Some(false)),
        PartKind::Potentiometer { .. } => {
            add(0, 2, false, false, None);
            add(2, 1, false, false, None);
        }
        PartKind::Ratiometric { .. } => {
            add(0, 1, false, false, None);
            add(0, 2, false, false, None);
            add(1, 2, false, false, None);
        }
        PartKind::Terminator { .. }
        | PartKind::Load { .. }
        | PartKind::Lamp { .. }
        | PartKind::Coil { .. }
        | PartKind::Diode { .. } => add(0, 1, false, false, None),
    }
}

/// An edge between two conductors.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    pub a: u32,
    pub b: u32,
    pub joins: bool,
    pub gives: bool,
    pub mover: Option<(usize, bool)>,
    /// Its points, to know what it touches.
    pub points: [Node; 2],
}

/// The circuit as conductors, with a fault in it or without.
#[derive(Debug, Clone)]
pub(super) struct Graph {
    /// The conductor of each point.
    pub conductor: Vec<u32>,
    /// Edges at each conductor, one after the other: walks go over them by the hundred thousand.
    links: Vec<Between>,
    /// Where each conductor's begin, and where the last one's end.
    starts: Vec<u32>,
    /// Conductors that battery and chassis hold whatever moves.
    pub core: Vec<bool>,
    reference: Option<u32>,
}

impl Graph {
    /// The conductor of battery negative, or what stands for it.
    pub(super) fn ground(&self) -> Option<u32> {
        self.reference
    }

    /// `grounds`: points against which is read; `gone`: elements that conduct no more; `touching`: points that touch; `moving`: fuses
    /// that may be blown.
    pub(super) fn of(
        wiring: &Wiring,
        edges: &[Edge],
        grounds: &[Node],
        gone: &[Element],
        touching: Option<(Node, Node)>,
        moving: &dyn Fn(usize) -> bool,
        is_fuse: &dyn Fn(usize) -> bool,
    ) -> Self {
        let count = wiring.nodes.count();
        let mut sets = Sets::new(count);
        let settled = |edge: &Edge| match edge.mover {
            Some((mover, _)) => is_fuse(mover) && !moving(mover),
            None => true,
        };
        for edge in edges {
            if edge.joins && !edge.gives && settled(edge) && !gone.contains(&edge.what) {
                sets.join(edge.a, edge.b);
            }
        }
        let conductor: Vec<u32> = (0..).take(count).map(|node| sets.find(node)).collect();
        let of = |node: Node| conductor.get(node as usize).copied().unwrap_or(0);
        let mut between = Vec::new();
        for edge in edges {
            let (a, b) = (of(edge.a), of(edge.b));
            if a == b || gone.contains(&edge.what) {
                continue;
            }
            let link = Between {
                a,
                b,
                joins: edge.joins,
                gives: edge.gives,
                mover: if settled(edge) { None } else { edge.mover },
                points: [edge.a, edge.b],
            };
            between.push(link);
        }
        if let Some((one, other)) = touching {
            let (a, b) = (of(one), of(other));
            if a != b {
                let link = Between {
                    a,
                    b,
                    joins: true,
                    gives: false,
                    mover: None,
                    points: [one, other],
                };
                between.push(link);
            }
        }
        let reference = wiring.reference.map(|node| stands_for(of(node), grounds, &of));
        let mut ends = vec![0usize; count];
        for end in between.iter().flat_map(|link| [link.a, link.b]) {
            if let Some(number) = ends.get_mut(end as usize) {
                *number += 1;
            }
        }
        // A source that hangs on one end gives nothing: what is at its other is where that is, but for its volts.
        let loose = |end: u32| Some(end) != reference && ends.get(end as usize) == Some(&1);
        for link in &mut between {
            link.gives &= !link.joins || link.mover.is_some() || !loose(link.a) && !loose(link.b);
        }
        let (links, starts) = at_ends(&between, count);
        let mut this = Self {
            conductor,
            links,
            starts,
            core: vec![false; count],
            reference,
        };
        this.hold();
        this
    }

    pub(super) fn of_node(&self, node: Node) -> u32 {
        self.conductor.get(node as usize).copied().unwrap_or(0)
    }

    pub(super) fn is_core(&self, conductor: u32) -> bool {
        self.core.get(conductor as usize).copied().unwrap_or(false)
    }

    pub(super) fn links(&self, conductor: u32) -> std::slice::Iter<'_, Between> {
        let at = conductor as usize;
        let range = self.starts.get(at).zip(self.starts.get(at + 1));
        let range = range.and_then(|(from, to)| self.links.get(*from as usize..*to as usize));
        range.unwrap_or_default().iter()
    }

    /// Marks battery negative's conductor, and what sources that are never off hold against it.
    fn hold(&mut self) {
        let mut waiting: Vec<u32> = self.reference.into_iter().collect();
        while let Some(conductor) = waiting.pop() {
            match self.core.get_mut(conductor as usize) {
                Some(known) if !*known => *known = true,
                _ => continue,
            }
            let holding = |link: &&Between| link.gives && link.joins && link.mover.is_none();
            let holding = self.links(conductor).filter(holding);
            waiting.extend(holding.map(|link| link.beyond(conductor)));
        }
    }
}

impl Between {
    /// The conductor at its other end.
    pub(super) fn beyond(&self, conductor: u32) -> u32 {
        if self.a == conductor { self.b } else { self.a }
    }
}

/// What stands for battery negative: itself while anything is read against it. Where it came off all that is, volts are told from what
/// most is read against, since all else hangs on that.
fn stands_for(reference: u32, grounds: &[Node], of: &dyn Fn(Node) -> u32) -> u32 {
    let mut count: BTreeMap<u32, usize> = BTreeMap::new();
    for node in grounds {
        *count.entry(of(*node)).or_default() += 1;
    }
    if count.contains_key(&reference) {
        return reference;
    }
    let most = count.into_iter().max_by_key(|(_, count)| *count);
    most.map_or(reference, |(conductor, _)| conductor)
}

/// Every edge at both of its ends, by conductor in order, and where each conductor's begin.
fn at_ends(between: &[Between], count: usize) -> (Vec<Between>, Vec<u32>) {
    let mut all: Vec<(u32, Between)> = between
        .iter()
        .flat_map(|link| [(link.a, *link), (link.b, *link)])
        .collect();
    all.sort_by_key(|(conductor, _)| *conductor);
    let mut starts = vec![0u32; count + 1];
    for (conductor, _) in &all {
        if let Some(next) = starts.get_mut(*conductor as usize + 1) {
            *next += 1;
        }
    }
    let mut sum = 0;
    for start in &mut starts {
        sum += *start;
        *start = sum;
    }
    (all.into_iter().map(|(_, link)| link).collect(), starts)
}

/// Points that are one conductor.
pub(super) struct Sets(Vec<u32>);

impl Sets {
    pub(super) fn new(count: usize) -> Self {
        Self((0..).take(count).collect())
    }

    pub(super) fn find(&mut self, item: u32) -> u32 {
        let mut at = item;
        loop {
            let above = self.0.get(at as usize).copied().unwrap_or(at);
            if above == at {
                return at;
            }
            let further = self.0.get(above as usize).copied().unwrap_or(above);
            if let Some(place) = self.0.get_mut(at as usize) {
                *place = further;
            }
            at = further;
        }
    }

    pub(super) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.find(a), self.find(b));
        if let Some(place) = self.0.get_mut(a.max(b) as usize) {
            *place = a.min(b);
        }
    }
}
