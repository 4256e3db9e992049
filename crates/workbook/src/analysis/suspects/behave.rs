//! What units make of what they read, in one operating state: expressions over levels, three-valued.

use crate::{
    Book,
    analysis::{
        Snapshot,
        suppose::{Reads, reads},
    },
    circuit::Node,
    model::{Expression, Id, Limits, Part, PartKind, State, Switch},
    rules::{Meaning, expr_of, meaning},
};
use crimpbook_core::rule::Expr;

/// Expressions deeper than this are taken as told by themselves.
const DEEPEST: usize = 24;

/// An expression, resolved for a state.
#[derive(Debug, Clone)]
pub(super) enum Term {
    Fact(bool),
    /// A level, by its place.
    Level(usize),
    /// How an inside part stands, by its place in the wiring.
    Part(usize),
    Not(Box<Term>),
    And(Vec<Term>),
    Or(Vec<Term>),
}

/// A voltage that says on or off.
#[derive(Debug, Clone)]
pub(super) struct Level {
    pub nodes: [Node; 2],
    limits: Limits,
}

impl Level {
    pub(super) fn reads(&self, volts: Option<f64>) -> Reads {
        reads(&self.limits, volts).unwrap_or(Reads::Undefined)
    }
}

/// All expressions of a book in one state.
#[derive(Debug, Clone, Default)]
pub(super) struct Behaviour {
    pub levels: Vec<Level>,
    cavities: Vec<Id<crate::model::Cavity>>,
    /// Beside the book's expressions in the order asked for.
    pub does: Vec<(Id<Expression>, Option<Term>)>,
    /// Parts that follow an expression: their places in the wiring.
    pub driven: Vec<(usize, Term)>,
    /// What cannot be read, and why.
    pub unread: Vec<String>,
}

impl Behaviour {
    pub(super) fn of(see: &Snapshot, state: &State, asked: impl Iterator<Item = Id<Expression>>) -> Self {
        let mut this = Self::default();
        let book = see.book();
        for id in asked {
            let term = book.get(id).and_then(|e: &Expression| {
                let label = || book.label_of(id);
                this.read(see, state, &e.text)
                    .map_err(|why| this.unread.push(format!("{}: {why}", label())))
                    .ok()
            });
            this.does.push((id, term));
        }
        for (at, run) in see.wiring().parts.iter().enumerate() {
            let Some(part): Option<&Part> = book.get(run.part) else {
                continue;
            };
            let (PartKind::Output { when, .. } | PartKind::Source { when, .. }) = &part.kind else {
                continue;
            };
            if when.trim().is_empty() {
                continue;
            }
            match this.read(see, state, when) {
                Ok(term) => this.driven.push((at, term)),
                Err(why) => this.unread.push(format!("{}: {why}", part.label)),
            }
        }
        this
    }

    fn read(&mut self, see: &Snapshot, state: &State, text: &str) -> Result<Term, String> {
        let expr = expr_of(text, false)?;
        self.term(see, state, &expr, 0)
    }

    fn term(&mut self, see: &Snapshot, state: &State, expr: &Expr, deep: usize) -> Result<Term, String> {
        if deep > DEEPEST {
            return Err("it is told by itself".to_owned());
        }
        let mut many = |parts: &[Expr]| -> Result<Vec<Term>, String> {
            parts
                .iter()
                .map(|part| self.term(see, state, part, deep + 1))
                .collect()
        };
        Ok(match expr {
            Expr::And(parts) => Term::And(many(parts)?),
            Expr::Or(parts) => Term::Or(many(parts)?),
            Expr::Not(inner) => Term::Not(Box::new(self.term(see, state, inner, deep + 1)?)),
            Expr::Name(name) => self.name(see, state, name, None, deep)?,
            Expr::Is { name, position } => self.name(see, state, name, Some(position), deep)?,
        })
    }

    fn name(
        &mut self,
        see: &Snapshot,
        state: &State,
        name: &str,
        position: Option<&str>,
        deep: usize,
    ) -> Result<Term, String> {
        let book = see.book();
        let term = match meaning(book, name).ok_or_else(|| format!("nothing is called {name}"))? {
            Meaning::Switch(id) => return Ok(Term::Fact(stands(book, state, id) == position)),
            Meaning::Expression(id) => {
                let row: &Expression = book.get(id).ok_or("an expression that is not there")?;
                let expr = expr_of(&row.text, false)?;
                self.term(see, state, &expr, deep + 1)?
            }
            Meaning::Part(id) => {
                let at = see.wiring().parts.iter().position(|run| run.part == id);
                Term::Part(at.ok_or_else(|| format!("{} is not joined to anything", book.label_of(id)))?)
            }
            Meaning::Cavity(id) => Term::Level(self.level(see, id)?),
        };
        Ok(if position == Some("off") {
            Term::Not(Box::new(term))
        } else {
            term
        })
    }

    fn level(&mut self, see: &Snapshot, id: Id<crate::model::Cavity>) -> Result<usize, String> {
        if let Some(at) = self.cavities.iter().position(|c| *c == id) {
            return Ok(at);
        }
        let (book, wiring) = (see.book(), see.wiring());
        let name = book.cavity_name(id);
        let limits = book.get(id).ok_or("a cavity that is not there")?.limits;
        reads(&limits, None).ok_or_else(|| format!("missing at which voltages {name} reads on and off"))?;
        let at = wiring.nodes.unit_side(id).or_else(|| wiring.nodes.wire_side(id));
        let at = at.ok_or_else(|| format!("missing what {name} is joined to"))?;
        let ground = see.unit_of(id).and_then(|unit| wiring.ground_of(unit));
        let ground = ground.ok_or_else(|| format!("missing the ground of the unit that reads {name}"))?;
        self.cavities.push(id);
        self.levels.push(Level {
            nodes: [at, ground],
            limits,
        });
        Ok(self.levels.len() - 1)
    }
}

/// Where a switch stands in a state; one that is not named rests.
fn stands<'b>(book: &'b Book, state: &'b State, switch: Id<Switch>) -> Option<&'b str> {
    let named = state.switches.iter().find(|s| s.switch == switch);
    named
        .map(|s| s.position.as_str())
        .or_else(|| book.get(switch)?.positions.first().map(String::as_str))
}

impl Term {
    /// Whether it holds; none: nobody can say.
    pub(super) fn holds(&self, levels: &[Reads], part: &dyn Fn(usize) -> Option<bool>) -> Option<bool> {
        match self {
            Self::Fact(fact) => Some(*fact),
            Self::Level(at) => match levels.get(*at)? {
                Reads::On => Some(true),
                Reads::Off => Some(false),
                Reads::Undefined => None,
            },
            Self::Part(at) => part(*at),
            Self::Not(inner) => inner.holds(levels, part).map(|on| !on),
            Self::And(parts) => {
                let all: Vec<Option<bool>> = parts.iter().map(|p| p.holds(levels, part)).collect();
                if all.contains(&Some(false)) {
                    Some(false)
                } else if all.contains(&None) {
                    None
                } else {
                    Some(true)
                }
            }
            Self::Or(parts) => {
                let all: Vec<Option<bool>> = parts.iter().map(|p| p.holds(levels, part)).collect();
                if all.contains(&Some(true)) {
                    Some(true)
                } else if all.contains(&None) {
                    None
                } else {
                    Some(false)
                }
            }
        }
    }
}
