//! End to end, power off, plugs apart: every cavity of a net from one root, the three that show a mirrored plug first.

use std::collections::{BTreeMap, HashMap};

use super::{
    neighbours::twin,
    test::{Expected, Listed, Test},
    ways::{self, Link, Through, Ways},
};
use crate::{
    Book,
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{Cavity, Connector, Decision, End, Id, Junction, JunctionKind, SignalKind, Terminal, TestKind},
};

/// The cavities that a wire or a bridge joins, connector by connector, in the order of their numbers.
pub(crate) fn joined(book: &Book) -> Vec<(&Connector, Vec<&Cavity>)> {
    let mut connectors: Vec<&Connector> = book.all::<Connector>().values().collect();
    connectors.order_by(|c| natural(&c.label));
    connectors
        .into_iter()
        .map(|connector| {
            let mut cavities = book.cavities_of(connector.id);
            cavities.retain(|c| is_joined(book, c));
            (connector, cavities)
        })
        .filter(|(_, cavities)| !cavities.is_empty())
        .collect()
}

fn is_joined(book: &Book, cavity: &Cavity) -> bool {
    let index = book.index();
    index.wires_at_cavity.contains_key(&cavity.id)
        || index.bridged_to.contains_key(&cavity.id)
        || matches!(cavity.decision, Decision::Bridged { .. })
}

/// Battery negative, where leads for grounds go.
pub(crate) fn negative(book: &Book) -> Option<Id<Junction>> {
    let about = book.all::<crate::model::About>().values().next()?;
    about.reference
}

/// The tests.
pub(super) fn tests(see: &Snapshot) -> Listed {
    let book = see.book();
    let nets = &see.signals().nets;
    let ways = Ways::of(book, Through::default());
    let grounds = negative(book).map(|id| {
        let chassis = Ways::of(
            book,
            Through {
                chassis: true,
                joints: false,
            },
        );
        (End::Junction(id), chassis.from(&Terminal::Junction(id)))
    });
    let mut listed = Listed::default();
    let mut roots: BTreeMap<usize, Option<Root>> = BTreeMap::new();
    for (connector, cavities) in joined(book) {
        let mut here = Vec::new();
        for cavity in &cavities {
            if let (Some(SignalKind::Ground), Some((end, found))) = (cavity.kind, &grounds) {
                here.push(ground(book, cavity, *end, found));
                continue;
            }
            let Some(net) = nets.at_cavity(cavity.id) else {
                continue;
            };
            let root = roots.entry(net.0).or_insert_with(|| {
                let terminals = nets.get(net).map_or(&[][..], |n| &n.terminals);
                Root::of(book, &ways, terminals)
            });
            here.extend(root.as_ref().and_then(|root| root.test(book, cavity)));
        }
        mirror_first(book, connector, &mut here);
        listed.tests.extend(here);
    }
    listed
}

/// The place of a net from which all others are measured.
struct Root {
    end: End,
    found: HashMap<Terminal, Vec<Link>>,
}

impl Root {
    /// A stud if there is one, since a clip holds there; else where the signal comes from; else the first by name.
    fn of(book: &Book, ways: &Ways, terminals: &[Terminal]) -> Option<Self> {
        let rank = |terminal: &&Terminal| match terminal {
            Terminal::Junction(id) => {
                let splice = book
                    .get(*id)
                    .is_none_or(|j: &Junction| j.kind == JunctionKind::Splice);
                // A splice is closed: no lead goes there.
                (!splice).then(|| (0, natural(&book.label_of(*id))))
            }
            Terminal::Cavity(id) => {
                let cavity: &Cavity = book.get(*id)?;
                let source = cavity.kind.is_some_and(SignalKind::is_source);
                is_joined(book, cavity).then(|| (if source { 1 } else { 2 }, natural(&book.cavity_name(*id))))
            }
            Terminal::Inner { .. } => None,
        };
        let (_, root) = terminals
            .iter()
            .filter_map(|t| Some((rank(&t)?, t)))
            .min_by(|(a, _), (b, _)| a.cmp(b))?;
        let end = match root {
            Terminal::Cavity(id) => End::Cavity(*id),
            Terminal::Junction(id) => End::Junction(*id),
            Terminal::Inner { .. } => return None,
        };
        Some(Self {
            end,
            found: ways.from(root),
        })
    }

    fn test(&self, book: &Book, cavity: &Cavity) -> Option<Test> {
        if self.end == End::Cavity(cavity.id) {
            return None;
        }
        let way = self.found.get(&Terminal::Cavity(cavity.id))?;
        let expected = ways::expected(book, way);
        let mut test = Test::ohms(TestKind::Through, cavity.id, self.end, expected);
        test.wires = ways::wires(way);
        Some(test)
    }
}

fn ground(book: &Book, cavity: &Cavity, negative: End, found: &HashMap<Terminal, Vec<Link>>) -> Test {
    let way = found.get(&Terminal::Cavity(cavity.id));
    let expected = match way {
        Some(way) => ways::expected(book, way),
        None => Expected::CannotTell(format!(
            "missing a way from {} to battery negative: a ground wire, or a chassis path",
            book.cavity_name(cavity.id)
        )),
    };
    let mut test = Test::ohms(TestKind::Ground, cavity.id, negative, expected);
    test.wires = way.map(|way| ways::wires(way)).unwrap_or_default();
    "a hand meter is coarse here: 5 to 10 A sent through and below 0.1 V says more"
        .clone_into(&mut test.hint);
    test
}

/// First, middle and last of a connector whose face is described come first: they show whether it was taken mirrored.
fn mirror_first(book: &Book, connector: &Connector, tests: &mut Vec<Test>) {
    let face = book.face_of(connector.id);
    if face.guessed {
        return;
    }
    let number = |test: &Test| book.get(test.at).map(|c: &Cavity| c.number.clone());
    let telling: Vec<(usize, Id<Cavity>)> = tests
        .iter()
        .enumerate()
        .filter_map(|(at, test)| {
            let twin = twin(&face, &number(test)?)?;
            let there = book.cavities_of(connector.id);
            let there = there.iter().find(|c| c.number.eq_ignore_ascii_case(&twin))?;
            // Two ends of one net would read alike, mirrored or not.
            let alike = tests
                .iter()
                .any(|t| t.at == there.id && t.against == test.against);
            (!alike && there.id != test.at).then_some((at, there.id))
        })
        .collect();
    let mut chosen: Vec<(usize, Id<Cavity>)> = [0, telling.len() / 2, telling.len().saturating_sub(1)]
        .into_iter()
        .filter_map(|place| telling.get(place).copied())
        .collect();
    chosen.dedup();
    let mut first = Vec::new();
    for (at, there) in chosen.iter().rev() {
        let mut test = tests.remove(*at);
        if test.kind == TestKind::Through {
            test.kind = TestKind::Mirror;
        }
        test.hint = format!(
            "if it reads open here and joined at {}, the plug was numbered mirrored: stop",
            book.cavity_name(*there)
        );
        first.insert(0, test);
    }
    first.append(tests);
    *tests = first;
}
