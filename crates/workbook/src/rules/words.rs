//! Examples and remarks in words.

use crimpbook_core::rule::Function;

use super::{
    fault::Fault,
    model::{Free, Model, Moved, Moves, Read, Term},
    proof::{Example, stands},
    run::{Run, Settled},
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Connector, End, Fuse, Id, Key, Part, PartKind, Switch, Terminal, Wire},
};

/// The combination of a set with the fewest switches away from rest, and what the rule names then.
pub(super) fn example(
    run: &mut Run<'_>,
    rule: usize,
    set: Function,
    settled: &Settled,
    until_fuse: bool,
) -> Example {
    let plant = run.plant;
    let book = plant.see.book();
    let choices = run.diagrams.fewest(set).unwrap_or_default();
    let taken = |choice: u32| choices.contains(&choice);
    let positions = positions(book, &plant.model.free, &taken);
    let named = run.named(&settled.movers, &settled.reads);
    let mut shows = Vec::new();
    if let Some(proved) = plant.model.rules.get(rule) {
        let mut atoms = Vec::new();
        atoms_of(&proved.never, &mut atoms);
        for atom in atoms {
            let may = run.term(atom, &settled.movers, &settled.reads, &named);
            let label = atom_words(plant.see, plant.model, atom);
            match stands(run, may, &taken) {
                (true, true) => shows.push(format!("{label} not sure")),
                (true, false) => shows.push(label),
                _ => {}
            }
        }
        if shows.is_empty() {
            for atom in off_atoms(&proved.never) {
                shows.push(format!("not {}", atom_words(plant.see, plant.model, atom)));
            }
        }
    }
    Example {
        positions,
        shows,
        until_fuse,
    }
}

impl Example {
    /// In words (`charge_lead in, key run → MC.ready`).
    pub fn words(&self, book: &Book) -> String {
        let positions = self.positions.iter();
        let mut words: Vec<String> = positions
            .map(|(id, at)| format!("{} {at}", book.label_of(*id)))
            .collect();
        if words.is_empty() {
            words.push("all switches at rest".to_owned());
        }
        let until = if self.until_fuse {
            " until the fuse opens"
        } else {
            ""
        };
        format!("{} → {}{until}", words.join(", "), self.shows.join(", "))
    }
}

impl Fault {
    /// In words, with the place (`W54 off at CH-A8`).
    pub fn told(&self, book: &Book) -> String {
        match self.end {
            Some(end) => format!("{} at {}", self.words, book.end_name(end)),
            None => self.words.clone(),
        }
    }

    /// The cavity or connector where it is to be seen on a face; none where it sits at splices and studs only.
    pub fn on_face(&self, book: &Book) -> Option<Key> {
        let cavity = |end| match end {
            End::Cavity(id) => Some(Key::of(id)),
            _ => None,
        };
        let wire: Option<&Wire> = self.at.as_id().and_then(|id| book.get(id));
        let ends = self
            .end
            .into_iter()
            .chain(wire.into_iter().flat_map(|w| [w.from, w.to]));
        if let Some(key) = ends.filter_map(cavity).next() {
            return Some(key);
        }
        if self.at.as_id::<Connector>().is_some() {
            return Some(self.at);
        }
        let fuse = self.at.as_id::<Fuse>();
        let part = match fuse {
            Some(fuse) => book
                .all::<Part>()
                .values()
                .find(|p| matches!(p.kind, PartKind::FuseWay { fuse: f } if f == fuse)),
            None => self.at.as_id().and_then(|id| book.get(id)),
        };
        part?.ends.iter().find_map(|end| match end {
            Terminal::Cavity(id) => Some(Key::of(*id)),
            _ => None,
        })
    }
}

/// Positions away from rest.
fn positions(book: &Book, free: &[Free], taken: &dyn Fn(u32) -> bool) -> Vec<(Id<Switch>, String)> {
    let mut all = Vec::new();
    for one in free {
        let bits = (0..one.choices).filter(|bit| taken(one.first + bit));
        let at: usize = bits.map(|bit| 1 << bit).sum();
        if let Some(position) = book
            .get(one.switch)
            .and_then(|s| s.positions.get(at))
            .filter(|_| at > 0)
        {
            all.push((one.switch, position.clone()));
        }
    }
    all
}

/// What a rule names besides switches.
fn atoms_of<'t>(term: &'t Term, out: &mut Vec<&'t Term>) {
    match term {
        Term::Switch(..) => {}
        Term::Read(_) | Term::Mover(_) | Term::Named(_) => out.push(term),
        Term::Not(inner) => atoms_of(inner, out),
        Term::And(parts) | Term::Or(parts) => parts.iter().for_each(|p| atoms_of(p, out)),
    }
}

fn off_atoms(term: &Term) -> Vec<&Term> {
    let mut out = Vec::new();
    atoms_of(term, &mut out);
    out
}

fn atom_words(see: &Snapshot, model: &Model, atom: &Term) -> String {
    let book = see.book();
    let part = |place: usize| {
        see.wiring()
            .parts
            .get(place)
            .map(|run| book.label_of(run.part))
            .unwrap_or_default()
    };
    match atom {
        Term::Read(at) => match model.reads.get(*at) {
            Some(Read::Cavity { cavity, .. }) => format!("{} reads on", book.cavity_name(*cavity)),
            Some(Read::Across { place, .. }) => format!("{} fed", part(*place)),
            None => String::new(),
        },
        Term::Mover(at) => match model.movers.get(*at).map(|m| m.what) {
            Some(Moved::Part(place)) => format!("{} on", part(place)),
            _ => String::new(),
        },
        Term::Named(at) => model
            .named
            .get(*at)
            .map(|(id, _)| book.label_of(*id))
            .unwrap_or_default(),
        _ => String::new(),
    }
}

/// Signals that a rule names and that, without a fault, tell no more than one switch does.
pub(super) fn trusts(run: &mut Run<'_>, rule: usize, settled: &Settled) -> Vec<(String, String)> {
    let plant = run.plant;
    let named = run.named(&settled.movers, &settled.reads);
    let mut out = Vec::new();
    let Some(proved) = plant.model.rules.get(rule) else {
        return out;
    };
    let mut atoms = Vec::new();
    atoms_of(&proved.never, &mut atoms);
    for atom in atoms {
        if !reads_something(plant.model, atom) {
            continue;
        }
        let may = run.term(atom, &settled.movers, &settled.reads, &named);
        for (switch, free) in plant.model.free.iter().enumerate() {
            for at in 0..free.positions {
                let fact = run.term(&Term::Switch(switch, at), &[], &[], &[]);
                let row = plant.see.book().get(free.switch);
                let position = row.and_then(|s| s.positions.get(at)).cloned().unwrap_or_default();
                let label = plant.see.book().label_of(free.switch);
                // Of two positions each is the other's opposite: one remark is enough.
                if may == fact {
                    out.push((
                        atom_words(plant.see, plant.model, atom),
                        format!("{label} is {position}"),
                    ));
                } else if free.positions > 2 && may.on == fact.off && may.off == fact.on {
                    out.push((
                        atom_words(plant.see, plant.model, atom),
                        format!("not {label} is {position}"),
                    ));
                }
            }
        }
    }
    out
}

fn reads_something(model: &Model, term: &Term) -> bool {
    match term {
        Term::Read(at) => matches!(model.reads.get(*at), Some(Read::Cavity { .. })),
        Term::Named(at) => model
            .named
            .get(*at)
            .is_some_and(|(_, inner)| reads_something(model, inner)),
        Term::Switch(..) | Term::Mover(_) => false,
        Term::Not(inner) => reads_something(model, inner),
        Term::And(parts) | Term::Or(parts) => parts.iter().any(|p| reads_something(model, p)),
    }
}

/// What the proof takes for granted, in sentences.
pub(super) fn assumed(see: &Snapshot, model: &Model) -> Vec<String> {
    let book = see.book();
    let mut nobody: Vec<String> = Vec::new();
    for mover in &model.movers {
        let Moved::Part(place) = mover.what else { continue };
        let part: Option<&Part> = see.wiring().parts.get(place).and_then(|run| book.get(run.part));
        if let (Moves::Nobody, Some(part)) = (&mover.moves, part)
            && !matches!(part.kind, PartKind::FuseWay { .. })
        {
            nobody.push(part.label.clone());
        }
    }
    nobody.sort_by_cached_key(|label| crate::book::natural(label));
    let mut all = Vec::new();
    if !nobody.is_empty() {
        let many = if nobody.len() == 1 { "it" } else { "each" };
        all.push(format!(
            "Nothing says when {} is on: {many} is reckoned with on and off.",
            nobody.join(", ")
        ));
    }
    for (part, why) in &model.unread {
        all.push(format!(
            "When {} is on cannot be read: {why}.",
            book.label_of(*part)
        ));
    }
    all
}
