//! Every combination of switches with every single fault, each network solved by itself: the demo's rules as an enumeration has them.
//!
//! What this found is kept in `tests/data/rules/demo.broken.csv`. Making it takes hours, so that is not done by each run of the tests:
//! `cargo test --release -p crimpbook-workbook --test rules -- --ignored --nocapture enumerate`.

use std::{
    collections::{BTreeMap, BTreeSet, HashMap},
    io::Write,
    path::{Path, PathBuf},
    rc::Rc,
    sync::{
        Arc, Mutex,
        atomic::{AtomicUsize, Ordering},
    },
};

use crimpbook_core::rule::{Expr, Statement, parse};
use crimpbook_workbook::{
    Book,
    analysis::{Snapshot, suppose::OPENS_AT},
    model::*,
    rules::{Class, Fault, Meaning, meaning},
};

use crate::{
    apart::{self, Apart, Feed, May, Seen, With},
    demo,
};

#[path = "kept.rs"]
mod kept;

/// Threads that enumerate.
const THREADS: usize = 2;

/// Movers by their place: which may be on, which may be off.
type Stand = (u64, u64);

/// An expression over places.
enum Term {
    Switch(usize, usize),
    Cavity(usize),
    Coil(usize),
    Mover(usize),
    Not(Box<Term>),
    And(Vec<Term>),
    Or(Vec<Term>),
}

/// What moves a part.
enum Moves {
    Switch(usize, Vec<usize>),
    Coil(usize),
    When(Term),
    Nobody,
}

/// A solution by places.
struct Solved {
    cavities: Vec<May>,
    coils: Vec<Feed>,
    fuse_a: Vec<f64>,
}

/// The book by places.
struct Whole<'t> {
    apart: &'t Apart<'t>,
    switches: Vec<Switch>,
    movers: Vec<(Id<Part>, Moves)>,
    cavities: Vec<Id<Cavity>>,
    coils: Vec<Id<Part>>,
    fuses: Vec<(Id<Fuse>, f64)>,
    rules: Vec<(String, Term)>,
    /// Solutions of the circuit at hand and without a fault.
    solved: HashMap<(u64, u32), Rc<Solved>>,
    healthy: HashMap<u64, Rc<Solved>>,
    solutions: usize,
}

/// What a fault breaks: in how many combinations that hold without it, by rule.
type Broken = BTreeMap<String, u64>;

struct Maker<'b> {
    book: &'b Book,
    switches: Vec<Switch>,
    cavities: Vec<Id<Cavity>>,
    coils: Vec<Id<Part>>,
    movers: Vec<Id<Part>>,
}

fn place<T: PartialEq>(all: &mut Vec<T>, one: T) -> usize {
    all.iter().position(|known| *known == one).unwrap_or_else(|| {
        all.push(one);
        all.len() - 1
    })
}

impl Maker<'_> {
    fn term(&mut self, expr: &Expr) -> Term {
        match expr {
            Expr::Not(inner) => Term::Not(Box::new(self.term(inner))),
            Expr::And(all) => Term::And(all.iter().map(|one| self.term(one)).collect()),
            Expr::Or(all) => Term::Or(all.iter().map(|one| self.term(one)).collect()),
            Expr::Name(name) => self.named(name, "on"),
            Expr::Is { name, position } => self.named(name, position),
        }
    }

    fn named(&mut self, name: &str, is: &str) -> Term {
        let term = match meaning(self.book, name).unwrap() {
            Meaning::Switch(id) => {
                let at = self.switches.iter().position(|s| s.id == id).unwrap();
                let position = self.switches[at].positions.iter().position(|p| p == is).unwrap();
                return Term::Switch(at, position);
            }
            Meaning::Cavity(id) => Term::Cavity(place(&mut self.cavities, id)),
            Meaning::Expression(id) => self.text(&self.book.get(id).unwrap().text.clone()),
            Meaning::Part(id) => match self.movers.iter().position(|m| *m == id) {
                Some(at) => Term::Mover(at),
                None => Term::Coil(place(&mut self.coils, id)),
            },
        };
        if is == "off" {
            Term::Not(Box::new(term))
        } else {
            term
        }
    }

    fn text(&mut self, text: &str) -> Term {
        match parse(text).unwrap() {
            Statement::Never(expr) | Statement::Plain(expr) => self.term(&expr),
            Statement::Define { .. } => panic!("{text}"),
        }
    }

    fn moves(&mut self, part: &Part) -> Moves {
        match &part.kind {
            PartKind::Contact {
                driver: Driver::Switch { switch, operated_in },
                ..
            } => {
                let at = self.switches.iter().position(|s| s.id == *switch).unwrap();
                let positions = self.switches[at].positions.iter().enumerate();
                let operated = positions.filter(|(_, p)| operated_in.contains(p));
                Moves::Switch(at, operated.map(|(n, _)| n).collect())
            }
            PartKind::Contact {
                driver: Driver::Coil { part },
                ..
            } => Moves::Coil(place(&mut self.coils, *part)),
            PartKind::Output { when, .. } | PartKind::Source { when, .. } if !when.is_empty() => {
                Moves::When(self.text(when))
            }
            _ => Moves::Nobody,
        }
    }
}

impl<'t> Whole<'t> {
    fn of(apart: &'t Apart<'t>, book: &Book) -> Self {
        let movers: Vec<&Part> = apart::movers(book).collect();
        assert!(movers.len() <= 64);
        let mut maker = Maker {
            book,
            switches: book.all::<Switch>().values().cloned().collect(),
            cavities: Vec::new(),
            coils: Vec::new(),
            movers: movers.iter().map(|p| p.id).collect(),
        };
        let moves: Vec<Moves> = movers.iter().map(|part| maker.moves(part)).collect();
        let rules = book.all::<Rule>().values().filter(|r| !r.text.is_empty());
        let rules = rules.map(|r| (r.label.clone(), maker.text(&r.text))).collect();
        let fuses = book.all::<Fuse>().values().map(|f| (f.id, f.rating_a));
        Self {
            apart,
            movers: maker.movers.iter().copied().zip(moves).collect(),
            switches: maker.switches,
            cavities: maker.cavities,
            coils: maker.coils,
            fuses: fuses.collect(),
            rules,
            solved: HashMap::new(),
            healthy: HashMap::new(),
            solutions: 0,
        }
    }

    /// Every combination, as the position of each switch.
    fn combinations(&self) -> Vec<Vec<usize>> {
        self.switches.iter().fold(vec![Vec::new()], |all, switch| {
            let each = all
                .iter()
                .flat_map(|one| (0..switch.positions.len()).map(move |at| [one.as_slice(), &[at]].concat()));
            each.collect()
        })
    }

    /// How each rule stands without a fault, and how the movers do, for each combination.
    fn without_fault(&mut self, combinations: &[Vec<usize>]) -> Vec<(Stand, u64)> {
        let healthy = self.apart.with(None).remove(0);
        let all = combinations.iter().map(|at| {
            let (stand, broken) = self.settle(None, &healthy, at, None, false, None);
            (stand, broken)
        });
        all.collect()
    }

    /// In how many combinations a fault breaks each rule that holds there without it.
    fn with_fault(&mut self, fault: &Fault, combinations: &[Vec<usize>], before: &[(Stand, u64)]) -> Broken {
        let healthy = self.apart.with(None).remove(0);
        let stuck = (fault.class == Class::Stuck).then(|| {
            let (part, on) = apart::stuck(&healthy.book, fault);
            (self.movers.iter().position(|(m, _)| *m == part).unwrap(), on)
        });
        let mut broken = vec![0_u64; combinations.len()];
        for with in self.apart.with(Some(fault)) {
            self.solved.clear();
            let short = with.upset.short.is_some();
            for ((at, (service, _)), sum) in combinations.iter().zip(before).zip(&mut broken) {
                for from in [Some(*service), None] {
                    let (first, now) = self.settle(Some(&healthy), &with, at, from, false, stuck);
                    *sum |= now;
                    if short {
                        *sum |= self.settle(Some(&healthy), &with, at, Some(first), true, stuck).1;
                    }
                }
            }
        }
        let mut all = Broken::new();
        for (sum, (_, known)) in broken.iter().zip(before) {
            for (rule, (label, _)) in self.rules.iter().enumerate() {
                if (sum & !known) >> rule & 1 == 1 {
                    *all.entry(label.clone()).or_default() += 1;
                }
            }
        }
        all
    }

    fn settle(
        &mut self,
        healthy: Option<&With>,
        with: &With,
        at: &[usize],
        from: Option<Stand>,
        opens: bool,
        stuck: Option<(usize, bool)>,
    ) -> (Stand, u64) {
        let force = |(on, off): Stand| match stuck {
            Some((mover, true)) => (on | 1 << mover, off & !(1 << mover)),
            Some((mover, false)) => (on & !(1 << mover), off | 1 << mover),
            None => (on, off),
        };
        let mut stand = force(from.unwrap_or_else(|| self.begin(at)));
        let mut blown = 0_u32;
        for round in 0..100 {
            let mut cavities = vec![(false, false); self.cavities.len()];
            let mut coils = vec![Feed::default(); self.coils.len()];
            let mut worst: Option<(usize, f64)> = None;
            for on in positions(stand) {
                let seen = self.solve(healthy.is_none(), with, on, blown);
                merge(&mut cavities, &seen.cavities);
                for (known, feed) in coils.iter_mut().zip(&seen.coils) {
                    known.add(*feed);
                }
                let Some(healthy) = healthy.filter(|_| opens) else {
                    continue;
                };
                let before = self.solve(true, healthy, on, 0);
                for (fuse, (_, rating_a)) in self.fuses.iter().enumerate() {
                    let over = seen.fuse_a[fuse] / rating_a;
                    if over >= OPENS_AT
                        && seen.fuse_a[fuse] > before.fuse_a[fuse] * 1.01
                        && blown >> fuse & 1 == 0
                        && worst.is_none_or(|(_, w)| over > w)
                    {
                        worst = Some((fuse, over));
                    }
                }
            }
            let mut next = (0, 0);
            for (mover, (_, moves)) in self.movers.iter().enumerate() {
                let was = (stand.0 >> mover & 1 == 1, stand.1 >> mover & 1 == 1);
                let (on, off) = match moves {
                    Moves::Switch(switch, positions) => {
                        let is = positions.contains(&at[*switch]);
                        (is, !is)
                    }
                    Moves::Coil(coil) => coils[*coil].stand(was),
                    Moves::When(term) => value(term, at, &cavities, &coils, stand),
                    // Nothing in this book hangs on it.
                    Moves::Nobody => (false, true),
                };
                next.0 |= u64::from(on) << mover;
                next.1 |= u64::from(off) << mover;
            }
            next = force(next);
            if round >= 8 {
                next = (next.0 | stand.0, next.1 | stand.1);
            }
            let opened = worst.filter(|_| opens);
            if let Some((fuse, _)) = opened {
                blown |= 1 << fuse;
            }
            if next == stand && opened.is_none() {
                return (stand, self.broken(healthy.is_none(), with, at, stand, blown));
            }
            stand = next;
        }
        panic!("it never settles");
    }

    /// The rules that are broken in any position in which the movers may stand, each looked at by itself: a contact that may be closed
    /// and what its unit then reads go together.
    fn broken(&mut self, healthy: bool, with: &With, at: &[usize], stand: Stand, blown: u32) -> u64 {
        let mut broken = 0;
        for on in positions(stand) {
            let seen = self.solve(healthy, with, on, blown);
            for (rule, (_, never)) in self.rules.iter().enumerate() {
                broken |= u64::from(value(never, at, &seen.cavities, &seen.coils, (on, !on)).0) << rule;
            }
        }
        broken
    }

    /// At switch-on: switches where they are, all else off.
    fn begin(&self, at: &[usize]) -> Stand {
        let mut stand = (0, 0);
        for (mover, (_, moves)) in self.movers.iter().enumerate() {
            let on = matches!(moves, Moves::Switch(switch, positions) if positions.contains(&at[*switch]));
            stand.0 |= u64::from(on) << mover;
            stand.1 |= u64::from(!on) << mover;
        }
        stand
    }

    fn solve(&mut self, healthy: bool, with: &With, on: u64, blown: u32) -> Rc<Solved> {
        let known = if healthy {
            self.healthy.get(&on)
        } else {
            self.solved.get(&(on, blown))
        };
        if let Some(known) = known {
            return Rc::clone(known);
        }
        self.solutions += 1;
        let movers = self.movers.iter().enumerate();
        let on_parts: Vec<Id<Part>> = movers
            .filter(|(n, _)| on >> n & 1 == 1)
            .map(|(_, (id, _))| *id)
            .collect();
        let fuses = self.fuses.iter().enumerate();
        let open: Vec<Id<Fuse>> = fuses
            .filter(|(n, _)| blown >> n & 1 == 1)
            .map(|(_, (id, _))| *id)
            .collect();
        let seen: Seen = apart::solve(with, &on_parts, &open);
        let solved = Rc::new(Solved {
            cavities: self.cavities.iter().map(|c| seen.cavities[c]).collect(),
            coils: self.coils.iter().map(|c| seen.coils[c]).collect(),
            fuse_a: self
                .fuses
                .iter()
                .map(|(f, _)| seen.fuse_a.get(f).copied().unwrap_or(0.0))
                .collect(),
        });
        if healthy {
            self.healthy.insert(on, Rc::clone(&solved));
        } else {
            self.solved.insert((on, blown), Rc::clone(&solved));
        }
        solved
    }
}

/// Every way in which the movers may stand.
fn positions((on, off): Stand) -> Vec<u64> {
    let (unsure, mut all) = (on & off, vec![on & !off]);
    assert!(
        unsure.count_ones() <= 14,
        "{} ways to stand",
        1_u64 << unsure.count_ones()
    );
    for mover in (0..64).filter(|m| unsure >> m & 1 == 1) {
        let with: Vec<u64> = all.iter().map(|one| one | 1 << mover).collect();
        all.extend(with);
    }
    all
}

fn merge(into: &mut [May], from: &[May]) {
    for (known, may) in into.iter_mut().zip(from) {
        *known = (known.0 || may.0, known.1 || may.1);
    }
}

fn value(term: &Term, at: &[usize], cavities: &[May], coils: &[Feed], stand: Stand) -> May {
    let of = |term: &Term| value(term, at, cavities, coils, stand);
    match term {
        Term::Switch(switch, position) => {
            let is = at[*switch] == *position;
            (is, !is)
        }
        Term::Cavity(cavity) => cavities[*cavity],
        Term::Coil(coil) => coils[*coil].may(),
        Term::Mover(mover) => (stand.0 >> mover & 1 == 1, stand.1 >> mover & 1 == 1),
        Term::Not(inner) => {
            let (on, off) = of(inner);
            (off, on)
        }
        Term::And(all) => all
            .iter()
            .map(of)
            .fold((true, false), |a, b| (a.0 && b.0, a.1 || b.1)),
        Term::Or(all) => all
            .iter()
            .map(of)
            .fold((false, true), |a, b| (a.0 || b.0, a.1 && b.1)),
    }
}
