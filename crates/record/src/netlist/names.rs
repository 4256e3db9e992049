//! Names that SPICE takes.

use std::collections::{HashMap, HashSet};

use crimpbook_core::network::NodeId;
use crimpbook_workbook::{
    analysis::Snapshot,
    circuit::Node,
    model::{Cavity, ChassisPath, Junction, Part},
};

/// The name of each node of a state's network.
#[derive(Debug, Clone, Default)]
pub struct Names(HashMap<usize, String>);

impl Names {
    /// The nodes of a book's circuit.
    pub fn of(see: &Snapshot) -> Self {
        let (book, wiring) = (see.book(), see.wiring());
        let mut names = HashMap::new();
        let mut taken: HashSet<String> = HashSet::new();
        let mut give = |node: Option<Node>, name: &str| {
            let Some(node) = node.map(|n| n as usize).filter(|n| !names.contains_key(n)) else {
                return;
            };
            let mut name = plain(name);
            if !taken.insert(name.clone()) {
                name = format!("{name}_n{node}");
                taken.insert(name.clone());
            }
            names.insert(node, name);
        };
        give(wiring.reference, "0");
        for cavity in book.all::<Cavity>().values() {
            let name = book.cavity_name(cavity.id);
            give(wiring.nodes.unit_side(cavity.id), &name);
            give(wiring.nodes.wire_side(cavity.id), &format!("{name} w"));
        }
        for junction in book.all::<Junction>().values() {
            give(wiring.nodes.junction(junction.id), &junction.label);
        }
        let parts = book.all::<Part>().values().flat_map(|p| &p.ends);
        let paths = book.all::<ChassisPath>().values().flat_map(|p| [&p.from, &p.to]);
        for terminal in parts.chain(paths) {
            give(wiring.nodes.terminal(terminal), &book.terminal_name(terminal));
        }
        Self(names)
    }

    /// A node's name.
    pub fn at(&self, node: NodeId) -> String {
        let name = self.0.get(&node.index()).cloned();
        name.unwrap_or_else(|| format!("n{}", node.index()))
    }
}

/// Letters, digits and underscores: `AB+` is `ab_plus`, `MC-A5` is `mc_a5`.
pub(super) fn plain(name: &str) -> String {
    let name = name.trim().to_lowercase();
    let signed = match (name.strip_suffix('+'), name.strip_suffix(['-', '−'])) {
        (Some(rest), _) => format!("{rest}_plus"),
        (_, Some(rest)) => format!("{rest}_minus"),
        _ => name,
    };
    let signed = signed
        .replace("+ ", "_plus ")
        .replace("- ", "_minus ")
        .replace("− ", "_minus ");
    let mut plain = String::new();
    for c in signed.chars() {
        if c.is_ascii_alphanumeric() {
            plain.push(c);
        } else if !plain.ends_with('_') {
            plain.push('_');
        }
    }
    plain
}
