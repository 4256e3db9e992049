//! What the proof is about: switches as choices, what moves, what is read, and the expressions over them.

use std::collections::HashMap;

use crimpbook_core::{conductor::copper_factor, rule::Expr};

use super::names::{Meaning, expr_of, meaning, misnamed};
use crate::{
    Book,
    analysis::suppose::{Reads, reads},
    circuit::{Node, Wiring, drops_out_v},
    model::{Cavity, Connector, Driver, Expression, Id, Limits, LoadMode, Part, PartKind, Rule, Switch},
};

/// A switch and the choices that stand for its positions; no choice taken is its rest.
#[derive(Debug, Clone)]
pub struct Free {
    /// The switch.
    pub switch: Id<Switch>,
    /// Its first choice.
    pub first: u32,
    /// How many choices it takes.
    pub choices: u32,
    /// How many positions it has.
    pub positions: usize,
}

/// What decides whether a mover is on.
#[derive(Debug, Clone)]
pub(super) enum Moves {
    /// A switch in one of these positions.
    Switch(usize, Vec<usize>),
    /// A coil that is fed: its place among the reads.
    Coil(usize),
    /// An expression.
    When(Term),
    /// Nobody says: on and off are both reckoned with.
    Nobody,
    /// A fuse: on is blown.
    Fuse,
}

/// A contact, output, switched source or fuse.
#[derive(Debug, Clone)]
pub(super) struct Mover {
    pub what: Moved,
    pub moves: Moves,
}

/// What moves: places in the wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moved {
    Part(usize),
    /// A fuse in line with a wire.
    Wire(usize),
}

/// Something whose voltage says on, off or neither.
#[derive(Debug, Clone)]
// A limit's fields make the first larger; there are few of either.
#[allow(clippy::large_enum_variant)]
pub(super) enum Read {
    Cavity {
        cavity: Id<Cavity>,
        at: Node,
        ground: Node,
        limits: Limits,
    },
    /// A coil, lamp or load: on at and above, off below.
    Across {
        place: usize,
        ends: [Node; 2],
        on_v: f64,
        off_v: f64,
    },
}

impl Read {
    /// The unit's own ground, where one reads.
    pub(super) fn ground(&self) -> Option<Node> {
        match self {
            Self::Cavity { ground, .. } => Some(*ground),
            Self::Across { .. } => None,
        }
    }

    /// What a voltage says.
    pub(super) fn level(&self, volts: Option<f64>) -> Reads {
        match self {
            Self::Cavity { limits, .. } => reads(limits, volts).unwrap_or(Reads::Undefined),
            Self::Across { on_v, off_v, .. } => match volts.map(f64::abs) {
                Some(v) if v >= *on_v => Reads::On,
                Some(v) if v >= *off_v => Reads::Undefined,
                _ => Reads::Off,
            },
        }
    }
}

/// An expression, resolved.
#[derive(Debug, Clone)]
pub(super) enum Term {
    Switch(usize, usize),
    Read(usize),
    Mover(usize),
    /// A named expression's place.
    Named(usize),
    Not(Box<Term>),
    And(Vec<Term>),
    Or(Vec<Term>),
}

/// A rule that can be proven.
#[derive(Debug, Clone)]
pub(super) struct Proved {
    pub rule: Id<Rule>,
    pub never: Term,
}

/// Everything the proof is about.
#[derive(Debug, Clone, Default)]
pub(super) struct Model {
    pub free: Vec<Free>,
    /// Choices in all.
    pub choices: u32,
    pub movers: Vec<Mover>,
    pub reads: Vec<Read>,
    /// Named expressions that something rests on.
    pub named: Vec<(Id<Expression>, Term)>,
    pub rules: Vec<Proved>,
    /// Rules that cannot be proven, and what is missing.
    pub cannot: Vec<(Id<Rule>, String)>,
    /// Parts whose own expression cannot be read, and why; both positions are reckoned with.
    pub unread: Vec<(Id<Part>, String)>,
    read_of: HashMap<Meaning, usize>,
    mover_of: HashMap<usize, usize>,
    named_of: HashMap<Id<Expression>, Option<usize>>,
}

/// Volts below which a load whose least voltage is not told does nothing (our own).
const LEAST_V: f64 = 1.0;
/// A lamp is seen from this share of its rated voltage on (our own).
const SEEN: f64 = 0.25;

impl Model {
    pub(super) fn of(book: &Book, wiring: &Wiring) -> Self {
        let mut this = Self::default();
        let places: HashMap<Id<Part>, usize> = wiring
            .parts
            .iter()
            .enumerate()
            .map(|(at, run)| (run.part, at))
            .collect();
        let maker = Maker { book, wiring, places };
        maker.movers(&mut this);
        for rule in sorted_rules(book) {
            if rule.text.trim().is_empty() {
                continue;
            }
            let term = expr_of(&rule.text, true).and_then(|expr| maker.term(&mut this, &expr));
            match term {
                Ok(never) => this.rules.push(Proved { rule: rule.id, never }),
                Err(why) => this.cannot.push((rule.id, why)),
            }
        }
        this
    }

    /// The mover of a part by its place.
    pub(super) fn mover_of(&self, place: usize) -> Option<usize> {
        self.mover_of.get(&place).copied()
    }

    /// Adds the lamps and loads, which somebody would notice, and gives their places among the reads.
    pub(super) fn noticed(&mut self, book: &Book, wiring: &Wiring) -> Vec<usize> {
        let maker = Maker {
            book,
            wiring,
            places: HashMap::new(),
        };
        let seen = |kind: &PartKind| matches!(kind, PartKind::Lamp { .. } | PartKind::Load { .. });
        let parts = wiring.parts.iter().enumerate();
        let parts = parts.filter(|(_, run)| book.get(run.part).is_some_and(|p: &Part| seen(&p.kind)));
        parts
            .filter_map(|(place, run)| maker.across(self, run.part, place))
            .collect()
    }
}

/// Rules in the order of their labels.
pub(super) fn sorted_rules(book: &Book) -> Vec<&Rule> {
    let mut rules: Vec<&Rule> = book.all::<Rule>().values().collect();
    rules.sort_by_cached_key(|r| crate::book::natural(&r.label));
    rules
}

struct Maker<'b> {
    book: &'b Book,
    wiring: &'b Wiring,
    places: HashMap<Id<Part>, usize>,
}

impl Maker<'_> {
    fn movers(&self, this: &mut Model) {
        let mut coils = Vec::new();
        for (place, run) in self.wiring.parts.iter().enumerate() {
            let Some(part) = self.book.get(run.part) else {
                continue;
            };
            let is = match &part.kind {
                PartKind::Contact { driver, .. } => match driver {
                    Driver::Switch { switch, operated_in } => self.switched(this, *switch, operated_in),
                    Driver::Coil { part } => {
                        coils.push((this.movers.len(), *part));
                        Moves::Nobody
                    }
                    Driver::StateOnly => Moves::Nobody,
                },
                PartKind::Output { .. } | PartKind::Source { switched: true, .. } => Moves::Nobody,
                PartKind::FuseWay { .. } => Moves::Fuse,
                _ => continue,
            };
            this.mover_of.insert(place, this.movers.len());
            this.movers.push(Mover {
                what: Moved::Part(place),
                moves: is,
            });
        }
        for (at, run) in self.wiring.wires.iter().enumerate() {
            if run.fuse.is_some() {
                this.movers.push(Mover {
                    what: Moved::Wire(at),
                    moves: Moves::Fuse,
                });
            }
        }
        for (mover, coil) in coils {
            let Some(place) = self.places.get(&coil).copied() else {
                continue;
            };
            if let (Some(read), Some(mover)) = (self.across(this, coil, place), this.movers.get_mut(mover)) {
                mover.moves = Moves::Coil(read);
            }
        }
        for at in 0..this.movers.len() {
            let Some(Moved::Part(place)) = this.movers.get(at).map(|m| m.what) else {
                continue;
            };
            let part = self
                .wiring
                .parts
                .get(place)
                .and_then(|run| self.book.get(run.part));
            let Some(part) = part else { continue };
            let (PartKind::Output { when, .. } | PartKind::Source { when, .. }) = &part.kind else {
                continue;
            };
            if when.trim().is_empty() {
                continue;
            }
            match expr_of(when, false).and_then(|expr| self.term(this, &expr)) {
                Ok(term) => {
                    if let Some(mover) = this.movers.get_mut(at) {
                        mover.moves = Moves::When(term);
                    }
                }
                Err(why) => this.unread.push((part.id, why)),
            }
        }
    }

    fn switched(&self, this: &mut Model, switch: Id<Switch>, operated_in: &[String]) -> Moves {
        let Some(row) = self.book.get(switch) else {
            return Moves::Nobody;
        };
        let at = |name: &String| row.positions.iter().position(|p| p == name);
        let positions = operated_in.iter().filter_map(at).collect();
        Moves::Switch(free(this, row), positions)
    }

    /// The read across a coil, lamp or load. None: it says nothing.
    fn across(&self, this: &mut Model, id: Id<Part>, place: usize) -> Option<usize> {
        if let Some(known) = this.read_of.get(&Meaning::Part(id)) {
            return Some(*known);
        }
        let run = self.wiring.parts.get(place)?;
        let (on_v, off_v) = match self.book.get(id).map(|p: &Part| &p.kind)? {
            PartKind::Coil {
                pull_in_v,
                drop_out_v,
                ..
            } => {
                // Pull-in and drop-out are ampere-turns: they rise with the copper's temperature.
                let hot = copper_factor(run.ambient_c);
                let pull_in = pull_in_v.filter(|v| *v > 0.0)?;
                (pull_in * hot, drops_out_v(Some(pull_in), *drop_out_v)? * hot)
            }
            PartKind::Lamp { rated_v, .. } => {
                let seen = SEEN * rated_v.filter(|v| *v > 0.0).unwrap_or(12.0);
                (seen, seen)
            }
            PartKind::Load { least_v, mode, .. } => {
                let resistive = matches!(mode, LoadMode::Resistance { .. });
                let least = least_v.filter(|v| *v > 0.0 && !resistive).unwrap_or(LEAST_V);
                (least, least)
            }
            _ => return None,
        };
        let [one, other] = run.ends[..] else { return None };
        let read = Read::Across {
            place,
            ends: [one, other],
            on_v,
            off_v,
        };
        this.read_of.insert(Meaning::Part(id), this.reads.len());
        this.reads.push(read);
        Some(this.reads.len() - 1)
    }

    fn term(&self, this: &mut Model, expr: &Expr) -> Result<Term, String> {
        let many = |this: &mut Model, parts: &[Expr]| -> Result<Vec<Term>, String> {
            parts.iter().map(|part| self.term(this, part)).collect()
        };
        Ok(match expr {
            Expr::Name(name) => self.name(this, name, None)?,
            Expr::Is { name, position } => self.name(this, name, Some(position))?,
            Expr::Not(inner) => Term::Not(Box::new(self.term(this, inner)?)),
            Expr::And(parts) => Term::And(many(this, parts)?),
            Expr::Or(parts) => Term::Or(many(this, parts)?),
        })
    }

    fn name(&self, this: &mut Model, name: &str, position: Option<&str>) -> Result<Term, String> {
        let book = self.book;
        if let Some((found, expected)) = misnamed(book, name, position) {
            return Err(format!("{found} stands where {expected} is expected"));
        }
        let term = match meaning(book, name) {
            Some(Meaning::Switch(id)) => {
                let row = book.get(id).ok_or("a switch that is not there")?;
                let at = row.positions.iter().position(|p| Some(p.as_str()) == position);
                return Ok(Term::Switch(free(this, row), at.unwrap_or(0)));
            }
            Some(Meaning::Cavity(id)) => Term::Read(self.cavity(this, id)?),
            Some(Meaning::Expression(id)) => Term::Named(self.named(this, id)?),
            Some(Meaning::Part(id)) => {
                let label = || book.label_of(id);
                let crippled = || format!("{} is not joined to anything", label());
                let place = self.places.get(&id).copied().ok_or_else(crippled)?;
                match this.mover_of(place) {
                    Some(mover) => Term::Mover(mover),
                    None => {
                        let none = || format!("missing at what voltage {} works", label());
                        Term::Read(self.across(this, id, place).ok_or_else(none)?)
                    }
                }
            }
            None => return Err(format!("nothing is called {name}")),
        };
        Ok(if position == Some("off") {
            Term::Not(Box::new(term))
        } else {
            term
        })
    }

    fn cavity(&self, this: &mut Model, id: Id<Cavity>) -> Result<usize, String> {
        if let Some(known) = this.read_of.get(&Meaning::Cavity(id)) {
            return Ok(*known);
        }
        let (book, wiring) = (self.book, self.wiring);
        let name = book.cavity_name(id);
        let cavity: &Cavity = book.get(id).ok_or("a cavity that is not there")?;
        if reads(&cavity.limits, None).is_none() {
            return Err(format!("missing at which voltages {name} reads on and off"));
        }
        let nodes = &wiring.nodes;
        let at = nodes.unit_side(id).or_else(|| nodes.wire_side(id));
        let at = at.ok_or_else(|| format!("missing what {name} is joined to, wire or inside part"))?;
        let unit = book.get(cavity.connector).map(|c: &Connector| c.unit);
        let ground = unit.and_then(|unit| wiring.ground_of(unit));
        let ground = ground.ok_or_else(|| format!("missing the ground of the unit that reads {name}"))?;
        this.read_of.insert(Meaning::Cavity(id), this.reads.len());
        this.reads.push(Read::Cavity {
            cavity: id,
            at,
            ground,
            limits: cavity.limits,
        });
        Ok(this.reads.len() - 1)
    }

    fn named(&self, this: &mut Model, id: Id<Expression>) -> Result<usize, String> {
        let label = || self.book.label_of(id);
        match this.named_of.get(&id) {
            Some(Some(known)) => return Ok(*known),
            Some(None) => return Err(format!("{} is told by itself", label())),
            None => {}
        }
        this.named_of.insert(id, None);
        let row: &Expression = self.book.get(id).ok_or("an expression that is not there")?;
        let term = expr_of(&row.text, false)
            .and_then(|expr| self.term(this, &expr))
            .map_err(|why| format!("{}: {why}", label()))?;
        this.named.push((id, term));
        this.named_of.insert(id, Some(this.named.len() - 1));
        Ok(this.named.len() - 1)
    }
}

/// A switch's place among the free ones; it becomes one.
fn free(this: &mut Model, row: &Switch) -> usize {
    if let Some(at) = this.free.iter().position(|f| f.switch == row.id) {
        return at;
    }
    let positions = row.positions.len().max(1);
    let choices = usize::BITS - (positions - 1).leading_zeros();
    this.free.push(Free {
        switch: row.id,
        first: this.choices,
        choices,
        positions,
    });
    this.choices += choices;
    this.free.len() - 1
}
