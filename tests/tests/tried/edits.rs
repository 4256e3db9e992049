//! Edits by seed, and whether rules said to stay do.

use std::{collections::BTreeSet, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    edit::{Change, Edit, Stamp, make},
    model::*,
    rules::{Class, Footings, Verdict},
    tried::Proofs,
};

/// Numbers drawn by seed (xorshift).
pub struct Draw(pub u64);

impl Draw {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn of<'t, T>(&mut self, from: &'t [T]) -> &'t T {
        &from[(self.next() % from.len() as u64) as usize]
    }

    fn row<R: Row>(&mut self, book: &Book) -> Option<R> {
        let all: Vec<&R> = book.all::<R>().values().collect();
        (!all.is_empty()).then(|| (*self.of(&all)).clone())
    }
}

fn altered<R: Row>(draw: &mut Draw, book: &Book, alter: impl FnOnce(&mut Draw, &mut R)) -> Option<Edit> {
    let before: R = draw.row(book)?;
    let mut after = before.clone();
    alter(draw, &mut after);
    let title = format!("{} altered", book.name_of(Key::of(before.id())));
    Some(Edit::design(title, vec![Change::replace(before, after)]))
}

/// An edit by lot, of what a person at the vehicle changes.
fn edit(draw: &mut Draw, book: &Book) -> Option<Edit> {
    match draw.next() % 10 {
        0 => altered::<Wire>(draw, book, |draw, w| {
            w.length_m = Some(*draw.of(&[0.2, 1.0, 4.0, 15.0, 40.0]))
        }),
        1 => altered::<Wire>(draw, book, |draw, w| {
            w.area_mm2 = Some(*draw.of(&[0.35, 0.75, 2.5]))
        }),
        2 => altered::<Wire>(draw, book, |_, w| w.to = End::Free),
        3 => make::remove(book, Key::of(draw.row::<Wire>(book)?.id)).ok(),
        4 => {
            // A wire more, from a cavity or splice to another.
            let like: Wire = draw.row(book)?;
            let (from, to): (Wire, Wire) = (draw.row(book)?, draw.row(book)?);
            let more = Wire {
                id: Id::from_bits(u128::from(draw.next())),
                label: "W901".to_owned(),
                from: from.from,
                to: to.to,
                ..like
            };
            let title = format!(
                "a wire from {} to {}",
                book.end_name(more.from),
                book.end_name(more.to)
            );
            Some(Edit::design(title, vec![Change::make(more)]))
        }
        5 => altered::<Fuse>(draw, book, |draw, f| {
            f.rating_a = *draw.of(&[1.0, 3.0, 10.0, 25.0])
        }),
        6 => altered::<Cavity>(draw, book, |draw, c| {
            if let Some(v) = &mut c.limits.on_above_v {
                *v += *draw.of(&[-2.0, -0.5, 0.5, 3.0]);
            }
        }),
        7 => altered::<Part>(draw, book, |draw, p| match &mut p.kind {
            PartKind::Load { mode, .. } => {
                *mode = LoadMode::Current {
                    current_a: *draw.of(&[0.1, 2.0, 8.0]),
                }
            }
            PartKind::Resistor { ohm } | PartKind::Contact { ohm, .. } | PartKind::Output { ohm, .. } => {
                *ohm *= *draw.of(&[0.5, 2.0, 20.0]);
            }
            _ => {}
        }),
        8 => altered::<ChassisPath>(draw, book, |draw, p| p.resistance_ohm *= *draw.of(&[2.0, 50.0])),
        _ => altered::<Switch>(draw, book, |_, s| s.note.push('!')),
    }
}

/// What came of trying edits.
#[derive(Debug, Default)]
pub struct Tally {
    /// Edits that the door took.
    pub edits: usize,
    /// Rules said to be open again, and to stay.
    pub open: usize,
    pub stay: usize,
    /// Rules whose answer is another.
    pub otherwise: usize,
    /// Rules that were said to stay, and are broken otherwise without a fault, by what is off or by what is stuck.
    pub wrong: Vec<String>,
    /// Rules that were said to stay, and are broken otherwise by a wire that touches chassis or supply.
    pub shorts: Vec<String>,
}

/// What breaks a rule: without a fault, and by which faults of these classes.
fn broken(see: &Snapshot, rule: Id<Rule>, classes: &[Class]) -> (bool, BTreeSet<String>) {
    let proof = see.proof();
    let of = proof.of_rule(rule);
    let without = match of.map(|of| &of.verdict) {
        Some(Verdict::Proven { without_fault, .. }) => without_fault.is_some(),
        _ => false,
    };
    let faults = classes
        .iter()
        .flat_map(|class| of.map_or(&[][..], |of| of.broken_by(*class)));
    let words = faults
        .filter_map(|b| proof.faults.get(b.fault))
        .map(|f| f.words.clone());
    (without, words.collect())
}

/// Tries one edit after the other and proves all rules anew each time.
pub fn try_edits(before: &Snapshot, edits: usize, seed: u64) -> Tally {
    let mut draw = Draw(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
    before.proof();
    let mut tally = Tally::default();
    // What the door refuses is tried by nobody.
    for nth in 0..20 * edits {
        if tally.edits == edits {
            break;
        }
        let Some(edit) = edit(&mut draw, before.book()) else {
            continue;
        };
        let title = edit.title.clone();
        let stamp = Stamp {
            id: Id::from_bits(1000 + nth as u128),
            at: "2024-02-01T08:00:00Z".parse().expect("a moment"),
            who: "A.".to_owned(),
        };
        let mut book = before.book().clone();
        let Ok(entry) = book.prepare(edit.because("to see"), stamp) else {
            continue;
        };
        book.apply(&entry).expect("it applies");
        let after = before.next(Arc::new(book));
        let said = Footings::between(before, &after);
        after.proof();
        let Proofs::Compared(reopened, _) = Proofs::between(before, &after) else {
            continue;
        };
        tally.edits += 1;
        tally.stay += said.stay.len();
        tally.open += said.open.len();
        tally.otherwise += reopened.len();
        for rule in said.stay {
            let label = after.book().label_of(rule);
            for (classes, out) in [
                ([Class::Open, Class::Stuck], &mut tally.wrong),
                ([Class::Chassis, Class::Supply], &mut tally.shorts),
            ] {
                let (was, is) = (broken(before, rule, &classes), broken(&after, rule, &classes));
                if was != is {
                    let differ: Vec<&String> = was.1.symmetric_difference(&is.1).collect();
                    out.push(format!("{title}: {label} {} to {} {differ:?}", was.0, is.0));
                }
            }
        }
    }
    tally
}
