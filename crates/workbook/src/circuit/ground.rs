//! Each unit's own ground: the point its own voltages count from.

use std::collections::HashMap;

use crate::{
    Book,
    model::{Cavity, ChassisPath, Decision, Id, JunctionKind, Part, SignalKind, Terminal, Unit},
};

/// The ground of each unit that has one: its first ground cavity that is wired, else its case where the case is joined to
/// something, else a post of its own that battery negative is counted from.
pub fn unit_grounds(book: &Book) -> HashMap<Id<Unit>, Terminal> {
    let mut grounds = HashMap::new();
    let index = book.index();
    for unit in book.all::<Unit>().values() {
        let cavities = index
            .connectors_of
            .get(&unit.id)
            .into_iter()
            .flatten()
            .filter_map(|connector| index.cavities_of.get(connector))
            .flatten()
            .filter_map(|id| book.get(*id));
        let is_ground = |c: &&Cavity| c.kind == Some(SignalKind::Ground) && joined(book, c);
        if let Some(cavity) = cavities.clone().find(is_ground) {
            grounds.insert(unit.id, Terminal::Cavity(cavity.id));
        }
    }
    let ends = book.all::<Part>().values().flat_map(|p| &p.ends);
    let paths = book.all::<ChassisPath>().values().flat_map(|p| [&p.from, &p.to]);
    for terminal in ends.chain(paths) {
        if let Terminal::Inner { unit, node } = terminal
            && node == "case"
        {
            grounds.entry(*unit).or_insert_with(|| terminal.clone());
        }
    }
    let posts = book.all::<crate::model::Junction>().values();
    for post in posts.filter(|j| j.kind != JunctionKind::Splice) {
        let counts = crate::circuit::wiring::reference(book) == Some(Terminal::Junction(post.id));
        if let Some(unit) = post.unit.filter(|_| counts) {
            grounds.entry(unit).or_insert(Terminal::Junction(post.id));
        }
    }
    grounds
}

fn joined(book: &Book, cavity: &Cavity) -> bool {
    matches!(cavity.decision, Decision::Bridged { .. })
        || book.index().wires_at_cavity.contains_key(&cavity.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;

    #[test]
    fn the_first_wired_ground_cavity_wins_then_the_case() {
        let mut bench = Bench::new();
        for number in ["33", "5", "4"] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        }
        bench.wire("W25", "MC-A5", "G2", 1.5, 1.0);
        bench.wire("W67", "MC-A33", "G2", 0.5, 1.0);
        bench.chassis("PB case", "G2", 0.001);
        let book = bench.book();
        let grounds = unit_grounds(&book);
        let named = |unit: &str| {
            let id = book.index().labelled::<Unit>(unit).unwrap();
            grounds.get(&id).map(|t| book.terminal_name(t))
        };
        assert_eq!(named("MC").as_deref(), Some("MC-A5"), "A4 has no wire");
        assert_eq!(named("PB").as_deref(), Some("PB case"));
    }
}
