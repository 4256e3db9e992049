//! The same question asked in the plainest way: one combination, one fault, the whole circuit solved from nothing until nothing changes.
//!
//! It shares with the proof how a workbook becomes a circuit, and the grammar. It knows no pieces, no updates and no decision diagrams.

use std::{
    cell::RefCell,
    collections::{BTreeMap, HashMap},
    path::Path,
    rc::Rc,
};

use crimpbook_core::{
    conductor::copper_factor,
    rule::{Expr, Statement, parse},
};
use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot,
        suppose::{OPENS_AT, Reads, reads},
    },
    circuit::{Given, Node, Ready, Stands, Upset, Wiring},
    model::*,
    rules::{Class, Fault, Meaning, meaning},
};

#[path = "network.rs"]
mod network;

pub use network::solve;
use network::{Reading, end_node, fuse_places, reading, stud};

pub fn read(path: &Path) -> Tables {
    let text = std::fs::read_to_string(path).unwrap();
    tables(serde_json::from_str(&text).unwrap())
}

pub fn tables(mut value: serde_json::Value) -> Tables {
    let records: RecordLists = serde_json::from_value(value["records"].take()).unwrap();
    let mut tables = Tables::default();
    records
        .into_records()
        .into_iter()
        .for_each(|record| tables.put(record));
    tables
}

/// A combination of switches, by label; one that is not named rests.
pub type Combination = BTreeMap<String, String>;

/// It may be on, it may be off.
pub type May = (bool, bool);

/// How parts stand that move, by id.
type Stand = BTreeMap<Id<Part>, May>;

/// What a coil may get, over all ways in which the parts may stand.
#[derive(Debug, Clone, Copy, Default)]
pub struct Feed {
    /// Enough to pull in.
    pub pulls: bool,
    /// Between drop-out and pull-in.
    pub between: bool,
    /// Too little to hold.
    pub drops: bool,
}

impl Feed {
    /// How the coil counts in an expression.
    pub fn may(self) -> May {
        (self.pulls || self.between, self.drops || self.between)
    }

    /// How its contacts stand then. Between drop-out and pull-in they stay as they were; where the feed itself may be there or not,
    /// they may be operated and may be at rest.
    pub fn stand(self, was: May) -> May {
        (
            self.pulls || self.between && was.0,
            self.drops || self.between && was.1,
        )
    }

    pub fn add(&mut self, other: Self) {
        self.pulls |= other.pulls;
        self.between |= other.between;
        self.drops |= other.drops;
    }
}

/// What one solution says.
pub struct Seen {
    pub cavities: HashMap<Id<Cavity>, May>,
    pub coils: HashMap<Id<Part>, Feed>,
    pub fuse_a: HashMap<Id<Fuse>, f64>,
}

/// What everything settles to, or one of the positions in it.
struct End {
    stand: Stand,
    cavities: HashMap<Id<Cavity>, May>,
    coils: HashMap<Id<Part>, Feed>,
}

/// A combination of positions, with the contacts that are made and the fuses that are open.
type Told = (String, Vec<Id<Part>>, Vec<Id<Fuse>>);

/// A book that questions are asked of, with one fault.
pub struct Apart<'t> {
    tables: &'t Tables,
    /// Where a wire touches supply.
    live: End2,
    solved: HashMap<Told, Rc<Seen>>,
    pub solutions: usize,
}

type End2 = crimpbook_workbook::model::End;

/// A book with one fault, or without.
pub struct With {
    name: String,
    pub book: Book,
    wiring: Wiring,
    copper: Vec<f64>,
    pub upset: Upset,
    reading: Vec<Reading>,
    /// Networks joined alike share their order of elimination; each is written, factorised and solved by itself.
    ready: RefCell<Ready>,
}

impl<'t> Apart<'t> {
    /// `live`: the end at which the unswitched supply is reached.
    pub fn of(tables: &'t Tables, live: End2) -> Self {
        Self {
            tables,
            live,
            solved: HashMap::new(),
            solutions: 0,
        }
    }

    /// Whether a rule may be broken in a combination, with a fault or without, from either start and in either moment. What is not sure
    /// how it stands is looked at in each position by itself.
    pub fn breaks(&mut self, rule: Id<Rule>, at: &Combination, fault: Option<&Fault>) -> bool {
        self.ends(at, fault).iter().any(|(book, end)| {
            let text = &book.get(rule).unwrap().text;
            let Ok(Statement::Never(expr)) = parse(text) else {
                panic!("{text}")
            };
            value(book, &expr, at, end).0
        })
    }

    fn ends(&mut self, at: &Combination, fault: Option<&Fault>) -> Vec<(Book, End)> {
        let healthy = self.with(None).remove(0);
        let (before, each) = self.settle(&healthy, &healthy, at, None, false, None);
        let Some(fault) = fault else {
            return each.into_iter().map(|end| (healthy.book.clone(), end)).collect();
        };
        let stuck = (fault.class == Class::Stuck).then(|| stuck(&healthy.book, fault));
        let mut ends = Vec::new();
        for with in self.with(Some(fault)) {
            let short = with.upset.short.is_some();
            for from in [Some(&before.stand), None] {
                let (first, mut each) = self.settle(&healthy, &with, at, from, false, stuck);
                if short {
                    each.extend(
                        self.settle(&healthy, &with, at, Some(&first.stand), true, stuck)
                            .1,
                    );
                }
                ends.extend(each.into_iter().map(|end| (with.book.clone(), end)));
            }
        }
        ends
    }

    /// The book with a fault, once for each way it can touch.
    pub fn with(&self, fault: Option<&Fault>) -> Vec<With> {
        let mut tables = self.tables.clone();
        if let Some(path) = fault.and_then(|f| f.at.as_id::<ChassisPath>()) {
            tables.chassis_paths.remove(&path);
        }
        let make = || {
            let see = Snapshot::of(&Book::from_tables(tables.clone(), None));
            let wiring = see.wiring().clone();
            With {
                name: fault.map(|f| f.words.clone()).unwrap_or_default(),
                copper: see.warmth().idle(),
                book: see.book().clone(),
                reading: reading(see.book(), &wiring),
                wiring,
                upset: Upset::default(),
                ready: RefCell::default(),
            }
        };
        let mut one = make();
        let Some(fault) = fault else { return vec![one] };
        match fault.class {
            Class::Open => {
                let wires = one.wiring.wires.iter().enumerate();
                if let Some(wire) = fault.at.as_id::<Wire>() {
                    one.upset.open_wires = vec![one.wiring.wire_at(wire).unwrap()];
                } else if let Some(fuse) = fault.at.as_id::<Fuse>() {
                    (one.upset.open_wires, one.upset.open_parts) = fuse_places(&one, fuse);
                } else if let Some(plug) = fault.at.as_id::<Connector>() {
                    let here =
                        |end| matches!(end, End2::Cavity(c) if one.book.get(c).unwrap().connector == plug);
                    let ends = |run: &crimpbook_workbook::circuit::WireRun| {
                        let wire = one.book.get(run.wire).unwrap();
                        here(wire.from) || here(wire.to)
                    };
                    one.upset.open_wires = wires.filter(|(_, run)| ends(run)).map(|(at, _)| at).collect();
                }
                vec![one]
            }
            Class::Stuck => vec![one],
            Class::Chassis | Class::Supply => {
                let wire = fault.at.as_id::<Wire>().unwrap();
                let row = one.book.get(wire).unwrap().clone();
                let run = one.wiring.wires[one.wiring.wire_at(wire).unwrap()].clone();
                let mut all = Vec::new();
                for (end, node) in [(row.from, run.from), (row.to, run.to)] {
                    let mut with = make();
                    let touched = if fault.class == Class::Supply {
                        end_node(&with, self.live)
                    } else {
                        stud(&with, end)
                    };
                    if touched != node {
                        with.name = format!("{} {node}", with.name);
                        with.upset.short = Some((node, touched, 0.001));
                        all.push(with);
                    }
                }
                all
            }
        }
    }

    fn settle(
        &mut self,
        healthy: &With,
        with: &With,
        at: &Combination,
        from: Option<&Stand>,
        opens: bool,
        stuck: Option<(Id<Part>, bool)>,
    ) -> (End, Vec<End>) {
        let book = &with.book;
        let force = |stand: &mut Stand| {
            if let Some((part, on)) = stuck {
                stand.insert(part, (on, !on));
            }
        };
        let mut stand = from.cloned().unwrap_or_else(|| begin(book, at));
        force(&mut stand);
        let mut blown: Vec<Id<Fuse>> = Vec::new();
        for round in 0..100 {
            let (mut cavities, mut coils) = (HashMap::new(), HashMap::new());
            let mut worst: Option<(Id<Fuse>, f64)> = None;
            let mut each = Vec::new();
            for on in positions(&stand) {
                let before = self.solve(healthy, &on, &[]);
                let seen = self.solve(with, &on, &blown);
                merge(&mut cavities, &seen.cavities);
                for (coil, feed) in &seen.coils {
                    let known: &mut Feed = coils.entry(*coil).or_default();
                    known.add(*feed);
                }
                let sure = |part: &Id<Part>| (*part, (on.contains(part), !on.contains(part)));
                each.push(End {
                    stand: stand.keys().map(sure).collect(),
                    cavities: seen.cavities.clone(),
                    coils: seen.coils.clone(),
                });
                for (fuse, a) in &seen.fuse_a {
                    let rating_a = book.get(*fuse).unwrap().rating_a;
                    let over = a / rating_a;
                    if over >= OPENS_AT
                        && *a > before.fuse_a[fuse] * 1.01
                        && !blown.contains(fuse)
                        && worst.is_none_or(|(_, w)| over > w)
                    {
                        worst = Some((*fuse, over));
                    }
                }
            }
            let end = End {
                stand: stand.clone(),
                cavities,
                coils,
            };
            let mut next = moved(book, at, &end);
            force(&mut next);
            if round >= 8 {
                for (part, may) in &mut next {
                    let old = stand[part];
                    *may = (may.0 || old.0, may.1 || old.1);
                }
            }
            let opened = worst.filter(|_| opens);
            blown.extend(opened.map(|(fuse, _)| fuse));
            if next == stand && opened.is_none() {
                return (end, each);
            }
            stand = next;
        }
        panic!("it never settles");
    }

    fn solve(&mut self, with: &With, on: &[Id<Part>], blown: &[Id<Fuse>]) -> Rc<Seen> {
        let key = (with.name.clone(), on.to_vec(), blown.to_vec());
        if let Some(known) = self.solved.get(&key) {
            return Rc::clone(known);
        }
        self.solutions += 1;
        let seen = Rc::new(solve(with, on, blown));
        self.solved.insert(key, Rc::clone(&seen));
        seen
    }
}

/// The contact that is stuck, and whether it stands as if it were operated.
pub fn stuck(book: &Book, fault: &Fault) -> (Id<Part>, bool) {
    let part = fault.at.as_id::<Part>().unwrap();
    let closed = fault.words.ends_with("closed");
    let normally_open = matches!(
        book.get(part).unwrap().kind,
        PartKind::Contact {
            form: ContactForm::NormallyOpen,
            ..
        }
    );
    (part, closed == normally_open)
}

/// Parts that move, in a fixed order.
pub fn movers(book: &Book) -> impl Iterator<Item = &Part> {
    book.all::<Part>().values().filter(|p| {
        matches!(
            p.kind,
            PartKind::Contact { .. } | PartKind::Output { .. } | PartKind::Source { switched: true, .. }
        )
    })
}

/// At switch-on: switches where they are, all else off.
fn begin(book: &Book, at: &Combination) -> Stand {
    let is = |part: &Part| match &part.kind {
        PartKind::Contact {
            driver: Driver::Switch { switch, operated_in },
            ..
        } => operated_in.contains(&position(book, *switch, at)),
        _ => false,
    };
    movers(book).map(|p| (p.id, (is(p), !is(p)))).collect()
}

fn position(book: &Book, switch: Id<Switch>, at: &Combination) -> String {
    let row = book.get(switch).unwrap();
    at.get(&row.label).unwrap_or(&row.positions[0]).clone()
}

/// How all stands by what is read. What nobody tells is left off: nothing in these books hangs on it.
fn moved(book: &Book, at: &Combination, end: &End) -> Stand {
    let rest = begin(book, at);
    let of = |part: &Part| match &part.kind {
        PartKind::Contact {
            driver: Driver::Coil { part: coil },
            ..
        } => end.coils[coil].stand(end.stand[&part.id]),
        PartKind::Output { when, .. } | PartKind::Source { when, .. } if !when.is_empty() => {
            let Ok(Statement::Plain(expr)) = parse(when) else {
                panic!("{when}")
            };
            value(book, &expr, at, end)
        }
        _ => rest[&part.id],
    };
    movers(book).map(|p| (p.id, of(p))).collect()
}

/// Every way in which the parts may stand.
fn positions(stand: &Stand) -> Vec<Vec<Id<Part>>> {
    let mut all: Vec<Vec<Id<Part>>> = vec![Vec::new()];
    for (part, may) in stand {
        let with: Vec<Vec<Id<Part>>> = all.iter().map(|on| [on.clone(), vec![*part]].concat()).collect();
        match may {
            (true, true) => all.extend(with),
            (true, false) => all = with,
            _ => {}
        }
    }
    assert!(all.len() <= 256, "{} ways to stand", all.len());
    all
}

fn merge<K: std::hash::Hash + Eq + Copy>(into: &mut HashMap<K, May>, from: &HashMap<K, May>) {
    for (key, may) in from {
        let known = into.entry(*key).or_insert((false, false));
        *known = (known.0 || may.0, known.1 || may.1);
    }
}

fn value(book: &Book, expr: &Expr, at: &Combination, end: &End) -> May {
    match expr {
        Expr::Not(inner) => {
            let (on, off) = value(book, inner, at, end);
            (off, on)
        }
        Expr::And(parts) => parts
            .iter()
            .map(|p| value(book, p, at, end))
            .fold((true, false), |a, b| (a.0 && b.0, a.1 || b.1)),
        Expr::Or(parts) => parts
            .iter()
            .map(|p| value(book, p, at, end))
            .fold((false, true), |a, b| (a.0 || b.0, a.1 && b.1)),
        Expr::Name(name) => named(book, name, "on", at, end),
        Expr::Is { name, position } => named(book, name, position, at, end),
    }
}

fn named(book: &Book, name: &str, is: &str, at: &Combination, end: &End) -> May {
    let (on, off) = match meaning(book, name).unwrap() {
        Meaning::Switch(id) => {
            let is = position(book, id, at) == is;
            return (is, !is);
        }
        Meaning::Cavity(id) => end.cavities[&id],
        Meaning::Expression(id) => {
            let Ok(Statement::Plain(expr)) = parse(&book.get(id).unwrap().text) else {
                panic!("{name}")
            };
            value(book, &expr, at, end)
        }
        Meaning::Part(id) => end
            .stand
            .get(&id)
            .copied()
            .unwrap_or_else(|| end.coils[&id].may()),
    };
    if is == "off" { (off, on) } else { (on, off) }
}
