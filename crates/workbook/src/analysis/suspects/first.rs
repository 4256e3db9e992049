//! Where to measure first for the likeliest symptoms: what the record tells whoever has no program at hand.

use super::{Inquiry, Signatures, Symptom, Watch, next_places, prior::prior, suspects};
use crate::{
    analysis::{Snapshot, StateResult},
    circuit::Stand,
    model::PartPosition,
};

/// Symptoms that are told.
pub const MOST_SYMPTOMS: usize = 12;
/// Measurements of each.
pub const MOST_MEASURES: usize = 3;
/// States that are looked at: those in which most is on, since what is off tells little.
const MOST_STATES: usize = 4;
/// Suspects named of each.
const MOST_SUSPECTS: usize = 4;

/// A place to measure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstMeasure {
    /// Where both leads go.
    pub leads: String,
    /// What is read there without a fault; none: that cannot be told.
    pub usual: Option<String>,
    /// What is read, and which suspects then fit.
    pub shows: Vec<(String, Vec<String>)>,
}

/// A symptom with its first measurements.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct First {
    /// The state it shows in, by label.
    pub state: String,
    /// What the vehicle does (`fault lamp: off`).
    pub symptom: String,
    /// The likeliest faults.
    pub suspects: Vec<String>,
    /// How many more fit.
    pub more: usize,
    /// Where to measure, in order.
    pub measures: Vec<FirstMeasure>,
}

/// The likeliest symptoms that single faults show, each in the state where most faults show it, with where to measure first.
/// Faults in which a wire touches something are left out: they mostly end in a blown fuse, which is among them.
pub fn first_measures(see: &Snapshot) -> Vec<First> {
    let on = |of: &&StateResult| {
        let parts = see.wiring().parts.iter();
        let on = parts.filter(|run| of.stands.get(run.part) == Stand::Given(PartPosition::On));
        std::cmp::Reverse(on.count())
    };
    let mut states: Vec<&StateResult> = see.states().iter().collect();
    states.sort_by_key(on);
    let states = states.into_iter().take(MOST_STATES);
    let all: Vec<_> = states
        .filter_map(|of| see.signatures_of(of, None, false).ok())
        .collect();
    let label = |of: &Signatures, s: Symptom| of.watched.get(s.watched).map(|w| w.words(s.on));
    let mut ranked: Vec<(f64, usize, Symptom)> = Vec::new();
    for (state, of) in all.iter().enumerate() {
        for (symptom, much) in symptoms(of) {
            let same = |(_, other, s): &&mut (f64, usize, Symptom)| {
                all.get(*other).and_then(|other| label(other, *s)) == label(of, symptom)
            };
            match ranked.iter_mut().find(same) {
                Some(known) if known.0 >= much => {}
                Some(known) => *known = (much, state, symptom),
                None => ranked.push((much, state, symptom)),
            }
        }
    }
    ranked.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then((a.1, a.2.watched).cmp(&(b.1, b.2.watched)))
    });
    let told = ranked.into_iter().take(MOST_SYMPTOMS);
    told.filter_map(|(_, state, symptom)| Some(first(see, all.get(state)?, symptom)))
        .collect()
}

/// What is seen otherwise with some fault, and how likely that is beside others.
fn symptoms(of: &Signatures) -> Vec<(Symptom, f64)> {
    let mut much = vec![0.0; of.watched.len()];
    for signature in &of.faults {
        for look in &signature.looks {
            for (at, now) in &look.seen {
                let watched = of.watched.get(*at as usize);
                let usual = watched.and_then(|w| w.usual);
                // A fuse is looked at once something else is seen.
                let seen = watched.is_some_and(|w| !matches!(w.watch, Watch::Fuse(_)));
                if let (Some(usual), Some(now), true) = (usual, *now, seen)
                    && usual != now
                    && let Some(sum) = much.get_mut(*at as usize)
                {
                    *sum += look.weight * prior(signature.failing);
                }
            }
        }
    }
    let all = much.into_iter().enumerate().filter(|(_, much)| *much > 0.0);
    all.filter_map(|(watched, much)| {
        let on = !of.watched.get(watched)?.usual?;
        Some((Symptom { watched, on }, much))
    })
    .collect()
}

fn first(see: &Snapshot, of: &Signatures, symptom: Symptom) -> First {
    let inquiry = Inquiry {
        symptoms: vec![symptom],
        ..Inquiry::default()
    };
    let mut found = suspects(of, &inquiry);
    // What is left out here is not told as "cannot be computed".
    found
        .suspects
        .retain(|s| of.faults.get(s.fault).is_some_and(|f| !f.failing.is_touch()));
    let measures = next_places(of, &inquiry, &found, MOST_MEASURES);
    let named = found.suspects.iter().take(MOST_SUSPECTS);
    First {
        state: see.book().label_of(of.state),
        symptom: of
            .watched
            .get(symptom.watched)
            .map_or_else(String::new, |w| w.words(symptom.on)),
        suspects: named.map(|s| of.fault_words(see, s.fault)).collect(),
        more: found.suspects.len().saturating_sub(MOST_SUSPECTS),
        measures: measures
            .iter()
            .map(|next| FirstMeasure {
                leads: of.leads_words(see, next.place),
                usual: next.usual.map(|usual| usual.words()),
                shows: of.shows_words(see, next),
            })
            .collect(),
    }
}
