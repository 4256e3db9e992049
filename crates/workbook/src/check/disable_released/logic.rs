//! What the builder's expressions make of an input: whether its being on lets something happen or holds it back.
//!
//! Only as much of the language is read as that takes: `and`, `or`, `not`, brackets, names, `NAME is POSITION`, `[part] is on`.

use std::collections::BTreeMap;

use crate::{
    Book,
    model::{Cavity, Expression, Id},
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

/// The names of a text with the way each counts. A word behind `is` is a position, not a name.
pub(super) fn names(text: &str) -> Vec<(String, Ways)> {
    let mut reader = Reader {
        tokens: tokens(text),
        at: 0,
        found: BTreeMap::new(),
    };
    if reader.tokens.first().is_some_and(|t| t == "never") {
        reader.at = 1;
    }
    reader.or(true);
    reader.found.into_iter().collect()
}

/// The cavities that an expression rests on, through all that it names, with the way each counts.
pub(super) fn inputs(book: &Book, root: &Expression) -> BTreeMap<Id<Cavity>, Ways> {
    let mut found = BTreeMap::new();
    walk(
        book,
        &root.text,
        Ways {
            lets: true,
            holds: false,
        },
        0,
        &mut found,
    );
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
        if let Some(expression) = expression(book, &name) {
            walk(book, &expression.text, ways, depth + 1, found);
        } else if let Some(cavity) = book.find_cavity(&name) {
            let entry = found.entry(cavity).or_default();
            entry.lets |= ways.lets;
            entry.holds |= ways.holds;
        }
    }
}

/// The expression of this name.
pub(super) fn expression<'a>(book: &'a Book, name: &str) -> Option<&'a Expression> {
    book.get(book.index().labelled::<Expression>(name)?)
}

struct Reader {
    tokens: Vec<String>,
    at: usize,
    found: BTreeMap<String, Ways>,
}

impl Reader {
    fn next_is(&mut self, word: &str) -> bool {
        let is = self.tokens.get(self.at).is_some_and(|t| t == word);
        self.at += usize::from(is);
        is
    }

    fn or(&mut self, plain: bool) {
        self.and(plain);
        while self.next_is("or") {
            self.and(plain);
        }
    }

    fn and(&mut self, plain: bool) {
        self.not(plain);
        while self.next_is("and") {
            self.not(plain);
        }
    }

    fn not(&mut self, plain: bool) {
        if self.next_is("not") {
            self.not(!plain);
        } else if self.next_is("(") {
            self.or(plain);
            self.next_is(")");
        } else if let Some(name) = self.tokens.get(self.at).cloned() {
            self.at += 1;
            let mut negated = false;
            if self.next_is("is") {
                negated = self.next_is("not");
                self.at += 1;
            }
            let ways = self.found.entry(name).or_default();
            if plain != negated {
                ways.lets = true;
            } else {
                ways.holds = true;
            }
        }
    }
}

fn tokens(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut word = String::new();
    let mut bracket = false;
    for c in text.chars() {
        match c {
            '[' => bracket = true,
            ']' => bracket = false,
            '(' | ')' if !bracket => {
                all.push(std::mem::take(&mut word));
                all.push(c.to_string());
                continue;
            }
            c if c.is_whitespace() && !bracket => {
                all.push(std::mem::take(&mut word));
                continue;
            }
            _ => {}
        }
        word.push(c);
    }
    all.push(word);
    all.retain(|t| !t.is_empty());
    all
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
            ways("never charge_lead is in and not [MAIN+ coil] is on"),
            [
                name("[MAIN+ coil]", false, true),
                name("charge_lead", true, false)
            ]
        );
        assert_eq!(ways("not not A"), [name("A", true, false)]);
        assert_eq!(ways("A is not in"), [name("A", false, true)]);
        assert_eq!(ways(""), []);
        assert_eq!(ways("((("), []);
    }
}
