//! Where the next reading tells most.

use std::collections::HashSet;

use super::{Found, Inquiry, Look, Signatures, Window};

/// Suspects that are told apart, and whose figures are given.
const MOST_SUSPECTS: usize = 120;
/// Classes of what a meter may show are told apart only among so many bits; less than this tells nothing.
const LEAST_BITS: f64 = 0.02;

/// A place to measure next.
#[derive(Debug, Clone, PartialEq)]
pub struct Next {
    /// Place in [`Signatures::places`].
    pub place: usize,
    /// How much it tells, bits.
    pub bits: f64,
    /// What the likeliest suspects would show there.
    pub shows: Vec<Shows>,
    /// What it shows without a fault; none: that cannot be told.
    pub usual: Option<Window>,
}

/// What one suspect would show.
#[derive(Debug, Clone, PartialEq)]
pub struct Shows {
    /// Place in [`Signatures::faults`].
    pub fault: usize,
    /// Each look that fits; none: that cannot be told.
    pub windows: Vec<Option<Window>>,
}

/// Places in the order of how much a reading there tells, easily reached ones first where two tell nearly as much.
pub fn next_places(of: &Signatures, inquiry: &Inquiry, found: &Found, most: usize) -> Vec<Next> {
    let mut all: Vec<(f64, f64, usize)> = Vec::new();
    let moved = moved(of, found);
    for (at, place) in of.places.iter().enumerate() {
        if place.untold || !moved.contains(&at) || inquiry.readings.iter().any(|(read, _)| *read == at) {
            continue;
        }
        let bits = bits(of, found, at);
        if bits > LEAST_BITS {
            all.push((bits * place.ease, bits, at));
        }
    }
    all.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    let next = |(_, bits, place): (f64, f64, usize)| {
        let shows = found.suspects.iter().take(8).map(|suspect| {
            let look = |at: &usize| of.faults.get(suspect.fault).and_then(|f| f.looks.get(*at));
            let mut windows: Vec<Option<Window>> = Vec::new();
            for (at, share) in &suspect.looks {
                let window = of.window(look(at), place);
                if *share > 0.05 && !windows.contains(&window) {
                    windows.push(window);
                }
            }
            Shows {
                fault: suspect.fault,
                windows,
            }
        });
        Next {
            place,
            bits,
            shows: shows.collect(),
            usual: of.window(None, place),
        }
    };
    // A place that tells the same suspects apart as one before it is left out.
    let mut told: Vec<Vec<bool>> = Vec::new();
    let mut chosen = Vec::new();
    for next in all.into_iter().map(next) {
        if chosen.len() >= most {
            break;
        }
        let apart = next.apart();
        if !told.contains(&apart) {
            told.push(apart);
            chosen.push(next);
        }
    }
    chosen
}

/// Places where some look of a suspect moves the voltage: elsewhere all show the same, and a reading tells nothing.
fn moved(of: &Signatures, found: &Found) -> HashSet<usize> {
    let suspects = found.suspects.iter().take(MOST_SUSPECTS);
    let looks = suspects.flat_map(|suspect| {
        let looks = suspect.looks.iter();
        looks.filter_map(|(at, _)| of.faults.get(suspect.fault)?.looks.get(*at))
    });
    looks.flat_map(Look::places).collect()
}

impl Next {
    /// Of every two of the likeliest suspects, whether a reading tells them apart.
    fn apart(&self) -> Vec<bool> {
        let windows = |shows: &Shows| shows.windows.first().copied().flatten();
        let pairs = self.shows.iter().enumerate().flat_map(|(n, one)| {
            let others = self.shows.iter().skip(n + 1);
            others.map(move |other| (windows(one), windows(other)))
        });
        let apart = |pair: (Option<Window>, Option<Window>)| match pair {
            (Some(one), Some(other)) => !one.holds(other.middle()) && !other.holds(one.middle()),
            _ => false,
        };
        pairs.map(apart).collect()
    }
}

/// What a reading at a place would tell of which suspect it is, bits: what a meter may show falls in classes that do not
/// overlap, and each suspect is in some of them.
fn bits(of: &Signatures, found: &Found, place: usize) -> f64 {
    let mut shown: Vec<(Window, usize, f64)> = Vec::new();
    let mut told = 0.0;
    for (n, suspect) in found.suspects.iter().take(MOST_SUSPECTS).enumerate() {
        for (at, share) in &suspect.looks {
            let look = of.faults.get(suspect.fault).and_then(|f| f.looks.get(*at));
            if let Some(window) = of.window(look, place) {
                shown.push((window, n, suspect.share * share));
                told += suspect.share * share;
            }
        }
    }
    shown.sort_by(|a, b| a.0.least_v.total_cmp(&b.0.least_v));
    let mut classes: Vec<Vec<(usize, f64)>> = Vec::new();
    let mut until = f64::NEG_INFINITY;
    for (window, suspect, share) in shown {
        if window.least_v > until || classes.is_empty() {
            classes.push(Vec::new());
        }
        until = until.max(window.most_v);
        if let Some(class) = classes.last_mut() {
            class.push((suspect, share));
        }
    }
    if classes.len() < 2 || told <= 0.0 {
        return 0.0;
    }
    let spread = |p: f64| if p > 0.0 { -p * p.log2() } else { 0.0 };
    let mass = |class: &Vec<(usize, f64)>| class.iter().map(|c| c.1).sum::<f64>();
    let between: f64 = classes.iter().map(|c| spread(mass(c) / told)).sum();
    // What a suspect's own looks are spread over tells nothing of which suspect it is.
    let mut own: Vec<Vec<f64>> = vec![vec![0.0; classes.len()]; found.suspects.len().min(MOST_SUSPECTS)];
    for (n, class) in classes.iter().enumerate() {
        for (suspect, share) in class {
            if let Some(place) = own.get_mut(*suspect).and_then(|o| o.get_mut(n)) {
                *place += share;
            }
        }
    }
    let within: f64 = own
        .iter()
        .map(|o| {
            let sum: f64 = o.iter().sum();
            if sum > 0.0 {
                sum / told * o.iter().map(|s| spread(s / sum)).sum::<f64>()
            } else {
                0.0
            }
        })
        .sum();
    ((between - within) * told).max(0.0)
}
