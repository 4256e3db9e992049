//! What was seen and read, held against what each fault would show.

use std::collections::HashMap;

use super::{
    How, Look, Signatures, Symptom, Window,
    pairs::{Pair, pairs},
    prior::prior,
};
use crate::analysis::suppose::Failing;

/// A voltage that could be anything spreads over so many volts (our own).
const ANY_V: f64 = 12.0;
/// Beside a symptom that nobody can tell for a look, one that is told counts so much (our own).
const UNTOLD: f64 = 0.5;
/// Windows are taken no narrower than this, V (our own): no reading is worth more than its meter.
const LEAST_HALF_V: f64 = 0.1;

/// Symptoms and readings of one state.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Inquiry {
    /// What was seen.
    pub symptoms: Vec<Symptom>,
    /// What was read: place in [`Signatures::places`], V.
    pub readings: Vec<(usize, f64)>,
    /// How much what was seen and read in other states speaks for each fault; what is not in it is ruled out there. None:
    /// nothing was seen in another state.
    pub elsewhere: Option<HashMap<Failing, f64>>,
}

/// One of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Item {
    /// A symptom.
    Seen(Symptom),
    /// A reading.
    Read(usize, f64),
}

/// A fault that fits everything seen and read.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// Place in [`Signatures::faults`].
    pub fault: usize,
    /// Its share of all that fit, 0 to 1.
    pub share: f64,
    /// How far the readings lie from what it would show, as a share of what is allowed; none: nothing was read.
    pub off: Option<f64>,
    /// Its looks that fit, with their shares within the fault.
    pub looks: Vec<(usize, f64)>,
}

/// A fault that is ruled out, and what speaks against it: places in [`Found::items`].
#[derive(Debug, Clone, PartialEq)]
pub struct Unfit {
    /// Place in [`Signatures::faults`].
    pub fault: usize,
    /// What its nearest look does not show.
    pub against: Vec<usize>,
}

/// Suspects that no reading tells apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Places in [`Found::suspects`], the likeliest first.
    pub suspects: Vec<usize>,
    /// Their share together.
    pub share: f64,
}

/// What comes of an inquiry.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Found {
    /// What was seen and read, in order.
    pub items: Vec<Item>,
    /// Single faults that fit, the likeliest first.
    pub suspects: Vec<Suspect>,
    /// The same in lines, the likeliest first: those on one line look alike wherever a lead can be put, and no reading tells
    /// them apart; places in `suspects`.
    pub lines: Vec<Line>,
    /// Those that do not, the least contradicted first.
    pub unfit: Vec<Unfit>,
    /// Faults that cannot be computed: never ruled out.
    pub cannot: Vec<usize>,
    /// Faults that do not fit but ruin something, after which nobody can compute what is seen: never ruled out.
    pub ruining: Vec<usize>,
    /// No single fault fits in all states, though some would in this one.
    pub states_apart: bool,
    /// Everything is as without a fault.
    pub as_usual: bool,
    /// Where no single fault fits: the fewest items that no single fault shows together, mostly two; one alone is shown by none.
    pub contradicting: Vec<Vec<usize>>,
    /// Where no single fault fits: two faults at once that would.
    pub pairs: Vec<Pair>,
}

/// How an item fits a look.
pub(super) enum Fits {
    /// So likely; with how far off, where it is a reading that is told.
    Yes(f64, Option<f64>),
    Not,
}

impl Signatures {
    pub(super) fn fits(&self, look: Option<&Look>, item: &Item) -> Fits {
        match *item {
            Item::Seen(symptom) => match self.is_on(look, symptom.watched) {
                Some(on) if on == symptom.on => Fits::Yes(1.0, None),
                Some(_) => Fits::Not,
                None => Fits::Yes(UNTOLD, None),
            },
            Item::Read(place, volts) => match self.window(look, place) {
                None => Fits::Yes(1.0 / ANY_V, None),
                Some(window) if window.holds(volts) => {
                    let half = window.half().max(LEAST_HALF_V);
                    let off = (volts - window.middle()).abs() / half;
                    // The window is two standard deviations wide on either side.
                    let likely = (-2.0 * off * off).exp() / half;
                    Fits::Yes(likely, Some(off))
                }
                Some(_) => Fits::Not,
            },
        }
    }

    /// Whether an item is as without a fault.
    pub fn is_usual(&self, item: &Item) -> bool {
        matches!(self.fits(None, item), Fits::Yes(..))
    }

    /// Adds to what was seen that every other lamp and load does what it does without a fault. Relays are not heard by everybody,
    /// fuses not looked at, and what units do hangs together: those are left out.
    pub fn else_usual(&self, inquiry: &mut Inquiry) {
        for (watched, row) in self.watched.iter().enumerate() {
            let told = inquiry.symptoms.iter().any(|s| s.watched == watched);
            if let Some(on) = row.usual.filter(|_| !told && row.plain) {
                inquiry.symptoms.push(Symptom { watched, on });
            }
        }
    }
}

impl Inquiry {
    /// Symptoms, then readings.
    pub fn items(&self) -> Vec<Item> {
        let seen = self.symptoms.iter().copied().map(Item::Seen);
        let read = self.readings.iter().map(|(place, v)| Item::Read(*place, *v));
        seen.chain(read).collect()
    }
}

/// Single faults that fit, and what speaks against the others.
pub fn suspects(of: &Signatures, inquiry: &Inquiry) -> Found {
    let items = inquiry.items();
    let mut found = Found {
        as_usual: inquiry.elsewhere.is_none() && items.iter().all(|item| of.is_usual(item)),
        ..Found::default()
    };
    let elsewhere = |failing: Failing| match &inquiry.elsewhere {
        None => Some(1.0),
        Some(much) => much.get(&failing).copied(),
    };
    let mut sum = 0.0;
    for (fault, signature) in of.faults.iter().enumerate() {
        let Some(much) = elsewhere(signature.failing) else {
            let against = Vec::new();
            found.unfit.push(Unfit { fault, against });
            continue;
        };
        if signature.looks.is_empty() {
            found.cannot.push(fault);
            continue;
        }
        let mut looks = Vec::new();
        let mut nearest: Option<Vec<usize>> = None;
        let (mut share, mut off) = (0.0, None::<f64>);
        for (at, look) in signature.looks.iter().enumerate() {
            let (mut likely, mut far, mut against) = (look.weight, None::<f64>, Vec::new());
            for (n, item) in items.iter().enumerate() {
                match of.fits(Some(look), item) {
                    Fits::Yes(how, off) => {
                        likely *= how;
                        far = far.into_iter().chain(off).reduce(f64::max);
                    }
                    Fits::Not => against.push(n),
                }
            }
            if against.is_empty() {
                looks.push((at, likely));
                share += likely;
                off = off.into_iter().chain(far).reduce(f64::min);
            } else if nearest.as_ref().is_none_or(|n| against.len() < n.len()) {
                nearest = Some(against);
            }
        }
        if looks.is_empty() {
            let against = nearest.unwrap_or_default();
            if signature.cannot.is_some() {
                // Part of it could not be computed: that part is not ruled out.
                found.cannot.push(fault);
            } else if signature.ruins().is_some() {
                found.ruining.push(fault);
            } else {
                found.unfit.push(Unfit { fault, against });
            }
            continue;
        }
        looks.iter_mut().for_each(|(_, likely)| *likely /= share);
        let share = share * much * prior(signature.failing);
        sum += share;
        found.suspects.push(Suspect {
            fault,
            share,
            off,
            looks,
        });
    }
    found.suspects.iter_mut().for_each(|s| s.share /= sum);
    found
        .suspects
        .sort_by(|a, b| b.share.total_cmp(&a.share).then(a.fault.cmp(&b.fault)));
    found.lines = lines(of, &found.suspects);
    found.unfit.sort_by_key(|u| (u.against.len(), u.fault));
    if found.suspects.is_empty() && inquiry.elsewhere.is_some() {
        let here = Inquiry {
            elsewhere: None,
            ..inquiry.clone()
        };
        let here = suspects(of, &here);
        found.states_apart = !here.suspects.is_empty();
        found.contradicting = here.contradicting;
    } else if found.suspects.is_empty() && !found.as_usual {
        found.contradicting = contradicting(of, &items);
        found.pairs = pairs(of, &items);
    }
    found.items = items;
    found
}

/// So many suspects are held against each other; those behind stand alone.
const MOST_ALIKE: usize = 150;

fn lines(of: &Signatures, suspects: &[Suspect]) -> Vec<Line> {
    let likeliest = |suspect: &Suspect| {
        // Of several as likely the first: the plainest way in which it may lie.
        let (at, _) = suspect.looks.iter().rev().max_by(|a, b| a.1.total_cmp(&b.1))?;
        of.faults.get(suspect.fault)?.looks.get(*at)
    };
    let mut lines: Vec<(Option<&Look>, Line)> = Vec::new();
    for (n, suspect) in suspects.iter().enumerate() {
        let look = likeliest(suspect);
        let alike = |(other, _): &&mut (Option<&Look>, Line)| {
            n < MOST_ALIKE && look.zip(*other).is_some_and(|(one, other)| of.alike(one, other))
        };
        match lines.iter_mut().find(alike) {
            Some((_, line)) => {
                line.suspects.push(n);
                line.share += suspect.share;
            }
            None => lines.push((
                look,
                Line {
                    suspects: vec![n],
                    share: suspect.share,
                },
            )),
        }
    }
    let mut lines: Vec<Line> = lines.into_iter().map(|(_, line)| line).collect();
    lines.sort_by(|a, b| b.share.total_cmp(&a.share));
    lines
}

/// What several states leave of each fault together ([`Found::likelihoods`]): what one of them rules out is ruled out.
pub fn in_all(left: impl IntoIterator<Item = HashMap<Failing, f64>>) -> Option<HashMap<Failing, f64>> {
    left.into_iter().reduce(|mut all, more| {
        all.retain(|failing, _| more.contains_key(failing));
        for (failing, much) in &mut all {
            *much *= more.get(failing).copied().unwrap_or(1.0);
        }
        all
    })
}

impl Found {
    /// How much all of it speaks for each fault that it leaves, without how common that is beforehand.
    pub fn likelihoods(&self, of: &Signatures) -> HashMap<Failing, f64> {
        let failing = |fault: usize| of.faults.get(fault).map(|f| f.failing);
        let fits = self.suspects.iter().filter_map(|s| {
            let failing = failing(s.fault)?;
            Some((failing, s.share / prior(failing)))
        });
        let mut all: HashMap<Failing, f64> = fits.collect();
        // What cannot be computed here is not ruled out here.
        let least = all.values().copied().reduce(f64::min).unwrap_or(1.0);
        let cannot = self.cannot.iter().chain(&self.ruining);
        let cannot = cannot.filter_map(|fault| failing(*fault));
        all.extend(cannot.map(|failing| (failing, least)));
        all
    }
}

impl Signatures {
    /// Whether two looks are told apart nowhere: what either shows may be the other's, and all that is watched is the same.
    fn alike(&self, one: &Look, other: &Look) -> bool {
        let seen = (0..self.watched.len()).all(|at| {
            let (one, other) = (self.is_on(Some(one), at), self.is_on(Some(other), at));
            one.is_none() || other.is_none() || one == other
        });
        let within = |(a, b): (Window, Window)| a.holds(b.middle()) && b.holds(a.middle());
        seen && one.places().chain(other.places()).all(|at| {
            self.window(Some(one), at)
                .zip(self.window(Some(other), at))
                .is_none_or(within)
        })
    }
}

/// The fewest items that no single fault shows together, while each alone is shown by some: two, else three, else all.
fn contradicting(of: &Signatures, items: &[Item]) -> Vec<Vec<usize>> {
    let shows = |look: Option<&Look>| -> Vec<bool> {
        let fits = |item| matches!(of.fits(look, item), Fits::Yes(..));
        items.iter().map(fits).collect()
    };
    let looks = of.faults.iter().flat_map(|f| &f.looks);
    let looks = looks.filter(|look| look.how != How::Burnt).map(Some);
    let mut all: Vec<Vec<bool>> = looks.chain([None]).map(shows).collect();
    all.sort_unstable();
    all.dedup();
    let shown = |some: &[usize]| {
        let together = |shows: &Vec<bool>| some.iter().all(|at| shows.get(*at) == Some(&true));
        all.iter().any(together)
    };
    let mut sets: Vec<Vec<usize>> = (0..items.len())
        .filter(|at| !shown(&[*at]))
        .map(|at| vec![at])
        .collect();
    for one in 0..items.len() {
        for other in one + 1..items.len() {
            sets.extend(Some(vec![one, other]).filter(|s| !shown(s)));
        }
    }
    if sets.is_empty() {
        for one in 0..items.len() {
            for other in one + 1..items.len() {
                let thirds = (other + 1..items.len()).map(|third| vec![one, other, third]);
                sets.extend(thirds.filter(|s| !shown(s)));
            }
        }
    }
    if sets.is_empty() {
        sets.push((0..items.len()).collect());
    }
    // A set with another within it tells nothing more.
    let all = sets.clone();
    sets.retain(|set| {
        !all.iter()
            .any(|less| less.len() < set.len() && less.iter().all(|at| set.contains(at)))
    });
    sets
}
