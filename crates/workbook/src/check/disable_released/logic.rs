//! What the builder's expressions make of an input: whether its being on lets something happen or holds it back.

use std::collections::BTreeMap;

use crimpbook_core::rule::{Expr, parse};

use crate::{
    Book,
    model::{Cavity, Expression, Id},
    rules::{Meaning, meaning},
};

/// Expressions name each other no deeper than this.
const DEEPEST: usize = 12;

/// Which way a name counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Ways {
    /// Its being on lets the whole happen.
    pub lets: bool,
    /// Its being on holds the whole back.
    pub holds: bool,
}

/// The names of a text with the way each counts; none where it cannot be read, which the proof of rules tells.
pub(super) fn names(text: &str) -> Vec<(String, Ways)> {
    let mut found = BTreeMap::new();
    if let Ok(statement) = parse(text) {
        look(statement.expr(), true, &mut found);
    }
    found.into_iter().collect()
}

fn look(expr: &Expr, plain: bool, found: &mut BTreeMap<String, Ways>) {
    match expr {
        Expr::Name(name) | Expr::Is { name, .. } => {
            let ways = found.entry(name.clone()).or_default();
            ways.lets |= plain;
            ways.holds |= !plain;
        }
        Expr::Not(inner) => look(inner, !plain, found),
        Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| look(part, plain, found)),
    }
}

/// The cavities that an expression rests on, through all that it names, with the way each counts.
pub(super) fn inputs(book: &Book, root: &Expression) -> BTreeMap<Id<Cavity>, Ways> {
    let mut found = BTreeMap::new();
    let outer = Ways {
        lets: true,
        holds: false,
    };
    walk(book, &root.text, outer, 0, &mut found);
    found
}

fn walk(book: &Book, text: &str, outer: Ways, depth: usize, found: &mut BTreeMap<Id<Cavity>, Ways>) {
    if depth > DEEPEST {
        return;
    }
    for (name, inner) in names(text) {
        let ways = Ways {
            lets: (outer.lets && inner.lets) || (outer.holds && inner.holds),
            holds: (outer.lets && inner.holds) || (outer.holds && inner.lets),
        };
        match meaning(book, &name) {
            Some(Meaning::Expression(id)) => {
                if let Some(expression) = book.get(id) {
                    walk(book, &expression.text, ways, depth + 1, found);
                }
            }
            Some(Meaning::Cavity(cavity)) => {
                let entry = found.entry(cavity).or_default();
                entry.lets |= ways.lets;
                entry.holds |= ways.holds;
            }
            Some(Meaning::Switch(_) | Meaning::Part(_)) | None => {}
        }
    }
}

/// The expression that a name stands for.
pub(super) fn expression<'a>(book: &'a Book, name: &str) -> Option<&'a Expression> {
    match meaning(book, name)? {
        Meaning::Expression(id) => book.get(id),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ways(text: &str) -> Vec<(String, bool, bool)> {
        names(text)
            .into_iter()
            .map(|(n, w)| (n, w.lets, w.holds))
            .collect()
    }

    #[test]
    fn a_name_counts_by_the_nots_before_it() {
        let name = |n: &str, lets, holds| (n.to_owned(), lets, holds);
        assert_eq!(
            ways("MC.key and not MC.inhibit and (F or R) and not (F and R)"),
            [
                name("F", true, true),
                name("MC.inhibit", false, true),
                name("MC.key", true, false),
                name("R", true, true)
            ]
        );
        assert_eq!(
            ways("never charge_lead is in and not [MAIN+ coil]"),
            [name("MAIN+ coil", false, true), name("charge_lead", true, false)]
        );
        assert_eq!(ways("not not A"), [name("A", true, false)]);
        assert_eq!(ways(""), []);
        assert_eq!(ways("((("), []);
    }
}
