//! Nets: terminals and wires that are one conductor.

use std::collections::{BTreeMap, HashMap};

use super::{join::Groups, origin::Upstream};
use crate::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, Connector, Decision, End, Id, Part, Quick, Terminal, TerminalNumber, Wire},
};

/// A net's place in [`Nets`]; holds for one state of the book only.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NetId(pub usize);

/// All that is joined without passing through a load, a switch or a fuse's way.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Net {
    /// Cavities, splices, studs and inner nodes of units, in order of kind and id.
    pub terminals: Vec<Terminal>,
    /// Wires, in order of id.
    pub wires: Vec<Id<Wire>>,
    /// Inside parts at its terminals, with the place of their end.
    pub parts: Vec<(Id<Part>, usize)>,
}

impl Net {
    /// Its cavities.
    pub fn cavities(&self) -> impl Iterator<Item = Id<Cavity>> {
        self.terminals.iter().filter_map(|t| match t {
            Terminal::Cavity(id) => Some(*id),
            _ => None,
        })
    }

    /// What people call it: what its wires say they carry, else its splice or stud, else its first cavity.
    pub fn name(&self, book: &Book) -> String {
        if let [only] = self.wires.as_slice()
            && let Some(wire) = book.get(*only).filter(|w| !w.signal.is_empty())
        {
            return wire.signal.clone();
        }
        let mut words: BTreeMap<&str, usize> = BTreeMap::new();
        for wire in self.wires.iter().filter_map(|w| book.get::<Wire>(*w)) {
            if !wire.signal.is_empty() {
                *words.entry(wire.signal.as_str()).or_default() += 1;
            }
        }
        let by_word = words.iter().max_by_key(|(_, n)| **n).map(|(word, n)| (*word, *n));
        let junction = self.terminals.iter().find(|t| matches!(t, Terminal::Junction(_)));
        match (by_word, junction, self.terminals.first()) {
            (Some((word, n)), _, _) if n > 1 => word.to_owned(),
            (_, Some(junction), _) => book.terminal_name(junction),
            (Some((word, _)), ..) => word.to_owned(),
            (_, _, Some(first)) => book.terminal_name(first),
            _ => self.wires.first().map_or_else(String::new, |w| book.label_of(*w)),
        }
    }
}

/// Every net of a book.
#[derive(Debug, Clone, Default)]
pub struct Nets {
    nets: Vec<Net>,
    /// What gives each net a level, and what leads to it from upstream.
    pub(super) upstream: Vec<Upstream>,
    at: Quick<Terminal, NetId>,
    of_wire: Quick<Id<Wire>, NetId>,
}

impl Nets {
    /// The nets of this book. Every cavity, splice and stud is in one, if only by itself.
    pub fn of(book: &Book) -> Self {
        let mut joiner = Joiner {
            groups: Groups::new(),
            nodes: Quick::default(),
            order: Vec::new(),
        };
        joiner.terminals(book);
        joiner.bridges(book);
        joiner.couplings(book);
        let wires = joiner.wires(book);
        let mut nets = joiner.collect(wires);
        nets.place_parts(book);
        nets
    }

    /// Every net with its id.
    pub fn all(&self) -> impl Iterator<Item = (NetId, &Net)> {
        self.nets
            .iter()
            .enumerate()
            .map(|(place, net)| (NetId(place), net))
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.nets.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.nets.is_empty()
    }

    /// A net by id.
    pub fn get(&self, id: NetId) -> Option<&Net> {
        self.nets.get(id.0)
    }

    /// The net at a terminal.
    pub fn at(&self, terminal: &Terminal) -> Option<NetId> {
        self.at.get(terminal).copied()
    }

    /// The net at a cavity.
    pub fn at_cavity(&self, cavity: Id<Cavity>) -> Option<NetId> {
        self.at(&Terminal::Cavity(cavity))
    }

    /// Terminal numbers of DIN 72552 given to the net of a place, each once.
    pub fn terminal_numbers<'a>(&self, book: &'a Book, at: &Terminal) -> Vec<&'a str> {
        let Some(net) = self.at(at) else {
            return Vec::new();
        };
        let given = book.all::<TerminalNumber>().values();
        let mut numbers: Vec<&str> = given
            .filter(|given| self.at(&given.at) == Some(net))
            .map(|given| given.number.as_str())
            .collect();
        numbers.order_by(|number| natural(number));
        numbers.dedup();
        numbers
    }

    /// The net a wire is part of.
    pub fn of_wire(&self, wire: Id<Wire>) -> Option<NetId> {
        self.of_wire.get(&wire).copied()
    }

    fn place_parts(&mut self, book: &Book) {
        for part in book.all::<Part>().values() {
            for (place, end) in part.ends.iter().enumerate() {
                if let Some(net) = self.at.get(end).and_then(|id| self.nets.get_mut(id.0)) {
                    net.parts.push((part.id, place));
                }
            }
        }
        self.upstream = self.nets.iter().map(|net| self.upstream_of(book, net)).collect();
    }
}

struct Joiner {
    groups: Groups,
    nodes: Quick<Terminal, usize>,
    /// Terminals by node; none: the free end of a wire.
    order: Vec<Option<Terminal>>,
}

impl Joiner {
    fn node(&mut self, terminal: Terminal) -> usize {
        if let Some(node) = self.nodes.get(&terminal) {
            return *node;
        }
        let node = self.groups.add();
        self.order.push(Some(terminal.clone()));
        self.nodes.insert(terminal, node);
        node
    }

    fn free(&mut self) -> usize {
        self.order.push(None);
        self.groups.add()
    }

    fn join(&mut self, a: Terminal, b: Terminal) {
        let (a, b) = (self.node(a), self.node(b));
        self.groups.join(a, b);
    }

    fn terminals(&mut self, book: &Book) {
        let tables = book.tables();
        for id in tables.cavities.keys() {
            self.node(Terminal::Cavity(*id));
        }
        for id in tables.junctions.keys() {
            self.node(Terminal::Junction(*id));
        }
        for part in tables.parts.values() {
            for end in &part.ends {
                self.node(end.clone());
            }
        }
        for path in tables.chassis_paths.values() {
            self.node(path.from.clone());
            self.node(path.to.clone());
        }
    }

    fn bridges(&mut self, book: &Book) {
        for cavity in book.all::<Cavity>().values() {
            if let Decision::Bridged { to } = cavity.decision {
                self.join(Terminal::Cavity(cavity.id), Terminal::Cavity(to));
            }
        }
    }

    /// Halves of an inline coupling: cavities with the same number meet.
    fn couplings(&mut self, book: &Book) {
        for half in book.all::<Connector>().values() {
            let Some(other) = half.couples_to else { continue };
            let theirs: HashMap<String, Id<Cavity>> = book
                .cavities_of(other)
                .into_iter()
                .map(|c| (c.number.to_lowercase(), c.id))
                .collect();
            for mine in book.cavities_of(half.id) {
                if let Some(id) = theirs.get(&mine.number.to_lowercase()) {
                    self.join(Terminal::Cavity(mine.id), Terminal::Cavity(*id));
                }
            }
        }
    }

    fn wires(&mut self, book: &Book) -> Vec<(Id<Wire>, usize)> {
        let mut wires = Vec::new();
        for wire in book.all::<Wire>().values() {
            let mut node = |end| match end {
                End::Cavity(id) => self.node(Terminal::Cavity(id)),
                End::Junction(id) => self.node(Terminal::Junction(id)),
                End::Free => self.free(),
            };
            let (from, to) = (node(wire.from), node(wire.to));
            self.groups.join(from, to);
            wires.push((wire.id, from));
        }
        wires
    }

    fn collect(mut self, wires: Vec<(Id<Wire>, usize)>) -> Nets {
        let mut nets = Nets::default();
        nets.at.reserve(self.order.len());
        nets.of_wire.reserve(wires.len());
        let mut of_head: Vec<Option<NetId>> = vec![None; self.order.len()];
        let mut net_of = |groups: &mut Groups, list: &mut Vec<Net>, node: usize| {
            let mut make = || {
                list.push(Net::default());
                NetId(list.len() - 1)
            };
            match of_head.get_mut(groups.head(node)) {
                Some(of) => *of.get_or_insert_with(make),
                None => make(),
            }
        };
        for (node, terminal) in self.order.iter().enumerate() {
            let id = net_of(&mut self.groups, &mut nets.nets, node);
            if let (Some(terminal), Some(net)) = (terminal, nets.nets.get_mut(id.0)) {
                net.terminals.push(terminal.clone());
                nets.at.insert(terminal.clone(), id);
            }
        }
        for (wire, node) in wires {
            let id = net_of(&mut self.groups, &mut nets.nets, node);
            if let Some(net) = nets.nets.get_mut(id.0) {
                net.wires.push(wire);
                nets.of_wire.insert(wire, id);
            }
        }
        for net in &mut nets.nets {
            net.terminals.sort_unstable();
        }
        nets
    }
}
