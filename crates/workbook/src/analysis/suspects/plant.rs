//! A state made ready for all single faults, and all of them solved.

use std::collections::{BTreeMap, HashMap, HashSet};

use crimpbook_core::network::{Network, Solution, Start};

use super::{
    Signature, Signatures, Supply,
    behave::Behaviour,
    follow::{self, Fed},
    job::{Job, Key},
    look::{How, Volt},
    place::{self, Place},
    seen::volt,
    watch::{self, Watch, Watched},
    ways::ways,
};
use crate::{
    analysis::{
        Snapshot, StateResult,
        protect::{FuseAt, FuseZone},
        suppose::{Failing, Freed, NotSupposed, OPENS_AT, freed},
    },
    circuit::{Given, Ready, Stand, Standing, Stands, Trouble, economisers, operate},
    model::{ContactForm, Driver, Expression, Fuse, Id, Part, PartKind, PartPosition},
};

/// Looks kept of one fault.
const MOST_LOOKS: usize = 14;
/// Contacts are taken so many times as bad, and copper so much warmer, to see how far both move a reading (our own).
const POOR: f64 = 4.0;
const WARM: f64 = 1.2;

/// A state, ready.
pub(super) struct Plant<'s> {
    pub(super) see: &'s Snapshot,
    pub(super) of: &'s StateResult,
    pub(super) stands: Stands,
    /// The inside parts, beside the wiring's list, and where each stands in it.
    parts: Vec<Option<&'s Part>>,
    pub(super) place_of: HashMap<Id<Part>, usize>,
    pub(super) pulled: HashSet<Id<Part>>,
    pub(super) copper: Vec<f64>,
    pub(super) economisers: Vec<usize>,
    /// Fuses: where they sit, from which current on they open.
    pub(super) gates: Vec<(FuseAt, Id<Fuse>, f64)>,
    pub(super) behaviour: Behaviour,
    /// Beside the behaviour's driven parts: whether the state has it on; none: the state does not agree with the expression.
    pub(super) drives: Vec<Option<bool>>,
    pub(super) fed: Vec<Fed>,
    pub(super) places: Vec<Place>,
    pub(super) watched: Vec<Watched>,
    /// Parts whose current a watched thing compares with, beside `watched`.
    pub(super) usual_a: Vec<f64>,
    pub(super) usual: Vec<Volt>,
    /// The same in volts; no number where it is none.
    pub(super) usual_v: Vec<f32>,
    pub(super) all: Vec<Failing>,
}

impl<'s> Plant<'s> {
    pub(super) fn of(see: &'s Snapshot, of: &'s StateResult) -> Result<Self, NotSupposed> {
        let (book, wiring) = (see.book(), see.wiring());
        let Freed { stands, pulled } = freed(see, of)?;
        let watched = watch::watched(see);
        let asked = watched.iter().filter_map(|w| match w.watch {
            Watch::Does(id) => Some(id),
            _ => None,
        });
        let asked: Vec<Id<Expression>> = asked.collect();
        let behaviour = book
            .get(of.state)
            .map(|state| Behaviour::of(see, state, asked.into_iter()))
            .unwrap_or_default();
        let mut economisers: Vec<usize> = economisers(book, wiring).into_values().collect();
        economisers.sort_unstable();
        let gate = |zone: &FuseZone| {
            let rating_a = book.get(zone.fuse).map(|f: &Fuse| f.rating_a)?;
            (rating_a > 0.0).then_some((zone.at, zone.fuse, OPENS_AT * rating_a))
        };
        Ok(Self {
            see,
            of,
            stands,
            parts: wiring.parts.iter().map(|run| book.get(run.part)).collect(),
            place_of: (0..).zip(&wiring.parts).map(|(at, run)| (run.part, at)).collect(),
            pulled,
            copper: of.temperatures.copper(),
            economisers,
            gates: see.protection().zones.iter().filter_map(gate).collect(),
            behaviour,
            drives: Vec::new(),
            fed: follow::fed(see, of),
            places: place::places(see, of),
            usual_a: vec![0.0; watched.len()],
            watched,
            usual: Vec::new(),
            usual_v: Vec::new(),
            all: Failing::all(see),
        })
    }

    /// Solves every single fault; without `touches` only what is off, blown or stuck, which is much less work.
    pub(super) fn signatures(mut self, supply: Supply, touches: bool) -> Result<Signatures, NotSupposed> {
        let see = self.see;
        let give_v = self.give_v()?;
        let first = self.as_it_stands();
        let mut faults: Vec<Signature> = Vec::new();
        let mut jobs: Vec<Job> = Vec::new();
        for (fault, failing) in self.all.iter().copied().enumerate() {
            let (ways, cannot) = match ways(see, failing) {
                _ if failing.is_touch() && !touches => {
                    (Vec::new(), Some("it is not computed yet".to_owned()))
                }
                Ok(ways) => (ways, None),
                Err(missing) => (Vec::new(), Some(format!("missing {missing}"))),
            };
            let job = |acts| Job::new(fault, acts, first.holding.clone());
            jobs.extend(ways.into_iter().map(job));
            faults.push(Signature {
                failing,
                looks: Vec::new(),
                cannot,
            });
        }
        let standing = self.standing(&first);
        let alike = Network::new(standing.circuit.clone()).map_err(|e| Trouble::Unsolved(e.to_string()))?;
        let point = alike.operate(&self.start(&standing));
        let point = point.map_err(|e| Trouble::Unsolved(e.to_string()))?;
        self.healthy(&standing, point.solution(), &first);
        let mut queue: BTreeMap<Key, Vec<Job>> = BTreeMap::from([(first, jobs)]);
        // What follows waits until all of this round is done, so that each circuit is made ready once a round.
        while !queue.is_empty() {
            let round: Vec<(Key, Vec<Job>)> = std::mem::take(&mut queue).into_iter().collect();
            for answered in self.round(&alike, &point, &round)? {
                let Some(signature) = faults.get_mut(answered.fault) else {
                    continue;
                };
                signature.looks.extend(answered.looks);
                if let Some(why) = answered.cannot {
                    signature.cannot.get_or_insert(why);
                }
                // What is left of burnt wires takes no other look's place.
                let kept = |burnt| {
                    let looks = signature.looks.iter();
                    looks.filter(|look| (look.how == How::Burnt) == burnt).count()
                };
                let (usual, burnt) = (kept(false), kept(true));
                for job in answered.next {
                    let kept = if job.how == How::Burnt { burnt } else { usual };
                    if kept < MOST_LOOKS {
                        queue.entry(job.key()).or_default().push(job);
                    }
                }
            }
        }
        for signature in &mut faults {
            // What is left of burnt wires is weighed beside the rest, so that it moves no suspect it does not concern.
            let lasting = signature.looks.iter().filter(|l| l.how != How::Burnt);
            let sum: f64 = lasting.map(|l| l.weight).sum();
            if sum > 0.0 {
                signature.looks.iter_mut().for_each(|l| l.weight /= sum);
            }
            if signature.looks.is_empty() {
                signature
                    .cannot
                    .get_or_insert_with(|| "it touches nothing else there".to_owned());
            }
        }
        self.races(&mut faults);
        let mut assumed: Vec<String> = see
            .wiring()
            .parts
            .iter()
            .filter_map(|run| see.book().get(run.part))
            .filter(|part: &&Part| {
                place::is_untold(self.of, part) || self.of.stands.assumed.contains(&part.id)
            })
            .map(|part| part.label.clone())
            .collect();
        assumed.sort_by_cached_key(|l| crate::book::natural(l));
        let unweighed = self.unweighed();
        Ok(Signatures {
            state: self.of.state,
            supply,
            places: self.places,
            watched: self.watched,
            faults,
            assumed,
            unread: self.behaviour.unread,
            unweighed,
            usual: self.usual,
            give_v,
        })
    }

    /// Faults that end otherwise if another relay is faster are never ruled out. Relays whose contacts all close when operated
    /// end alike in any order.
    fn races(&self, faults: &mut [Signature]) {
        let see = self.see;
        let parts = see.book().all::<Part>().values();
        let opens = |part: &&Part| match part.kind {
            PartKind::Contact {
                form,
                driver: Driver::Coil { .. },
                ..
            } => form != ContactForm::NormallyOpen,
            _ => false,
        };
        if !parts.clone().any(|part| opens(&part)) {
            return;
        }
        let is_coil = |watched: usize| match self.watched.get(watched).map(|w| w.watch) {
            Some(Watch::Part(at)) => self.part(at).is_some_and(|p| watch::moves_with(&self.stands, p)),
            _ => false,
        };
        for signature in faults {
            let moves = |look: &super::Look| look.seen.iter().filter(|(at, _)| is_coil(*at as usize)).count();
            if !signature.looks.iter().any(|look| moves(look) > 1) {
                continue;
            }
            if let Ok(supposed) = see.suppose(self.of, signature.failing) {
                let racing = supposed.racing(see);
                if !racing.is_empty() {
                    let why = format!(
                        "how it ends depends on which relay is faster: {}",
                        racing.join(", ")
                    );
                    signature.cannot.get_or_insert(why);
                }
            }
        }
    }

    pub(super) fn part(&self, at: usize) -> Option<&'s Part> {
        self.parts.get(at).copied().flatten()
    }

    /// The circuit as the state has it.
    pub(super) fn as_it_stands(&self) -> Key {
        let pulled = |at: &usize| self.part(*at).is_some_and(|p| self.pulled.contains(&p.id));
        Key {
            holding: self.economisers.iter().copied().filter(pulled).collect(),
            on: Vec::new(),
        }
    }

    pub(super) fn standing(&self, key: &Key) -> Standing {
        let (book, wiring) = (self.see.book(), self.see.wiring());
        let id = |at: &usize| wiring.parts.get(*at).map(|run| run.part);
        let mut stands = self.stands.clone();
        for part in key.on.iter().filter_map(id) {
            stands = stands.with(part, PartPosition::On);
        }
        let holding: HashSet<Id<Part>> = key.holding.iter().filter_map(id).collect();
        Standing::holding(book, wiring, &stands, &holding, self.of.supply_v, &self.copper)
    }

    pub(super) fn start(&self, standing: &Standing) -> Start {
        let runs = self.see.wiring().parts.iter().zip(&standing.parts);
        let pulled = runs.filter(|(run, _)| self.pulled.contains(&run.part));
        Start::PulledIn(pulled.filter_map(|(_, link)| link.main).collect())
    }

    /// How far poor contacts and warm wires move what is read, V.
    fn give_v(&self) -> Result<Vec<f64>, Trouble> {
        let (see, of) = (self.see, self.of);
        let mut wiring = see.wiring().clone();
        wiring.contacts.iter_mut().for_each(|run| run.ohm *= POOR);
        let copper = self.copper.iter().map(|c| c * WARM).collect();
        let mut ready = Ready::default();
        let poor = operate(
            &Given {
                book: see.book(),
                wiring: &wiring,
                stands: &of.stands,
                supply_v: of.supply_v,
            },
            &mut ready,
            copper,
            |_, _| false,
        )?;
        let moved = |place: &Place| {
            let [at, ground] = place.nodes;
            let now = poor.between(at, ground).zip(of.operated.between(at, ground));
            now.map_or(0.0, |(poor, usual)| (poor - usual).abs())
        };
        Ok(self.places.iter().map(moved).collect())
    }

    /// What all shows without a fault.
    fn healthy(&mut self, standing: &Standing, solution: &Solution, key: &Key) {
        let holding: HashSet<usize> = key.holding.iter().copied().collect();
        self.usual = self
            .places
            .iter()
            .map(|p| volt(solution, standing, p.nodes))
            .collect();
        let usual_v = self.usual.iter().map(|usual| match usual {
            Volt::At(v) => *v,
            Volt::Floats | Volt::Between(..) => f32::NAN,
        });
        self.usual_v = usual_v.collect();
        let usual_a = self.watched.iter().map(|w| self.current_a(solution, standing, w));
        self.usual_a = usual_a.collect();
        let levels = self.levels(solution, standing);
        let stood = |at: usize| self.part_on(solution, standing, &holding, at);
        let driven = self.behaviour.driven.iter();
        let drives = driven.map(|(part, term)| {
            let on = self.is_driven(*part)?;
            (term.holds(&levels, &stood) == Some(on)).then_some(on)
        });
        self.drives = drives.collect();
        let seen: Vec<Option<bool>> = self.seen(solution, standing, &holding, &levels, &[]);
        for (watched, usual) in self.watched.iter_mut().zip(seen) {
            watched.usual = usual;
        }
    }

    /// Whether the state has an output or source on.
    pub(super) fn is_driven(&self, at: usize) -> Option<bool> {
        match self.of.stands.get(self.part(at)?.id) {
            Stand::Given(PartPosition::On | PartPosition::Starting) => Some(true),
            Stand::Given(PartPosition::Off) | Stand::Unknown => Some(false),
            _ => None,
        }
    }
}
