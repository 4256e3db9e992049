//! One operating point: solving, and settling what the linear network leaves open.

use std::collections::HashMap;

use crimpbook_core::{
    conductor::copper_factor,
    network::{ElementId, NodeId, Potential, Solution, solve},
};

use super::{
    Link, Node, Stand, Stands, What, Wiring,
    stamp::{Stamp, Stamped},
};
use crate::{
    Book,
    model::{Id, LoadMode, Part, PartKind, PartPosition},
};

/// Rounds before it is said that nothing settles.
const MOST_ROUNDS: usize = 80;
/// A coil that changes so often buzzes.
const MOST_FLIPS: u8 = 6;
/// A power load is settled when its voltage moves by less than this, V.
const SETTLED_V: f64 = 1e-4;

/// How a source works.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum SourceMode {
    /// At its voltage behind its resistance.
    #[default]
    Voltage,
    /// At its limit.
    Limited,
    /// Something drives it higher than it would go; a converter takes nothing back.
    Blocked,
}

/// What the linear network cannot decide: found by going round.
#[derive(Debug, Clone, Default)]
pub(super) struct Choices {
    coils: HashMap<Id<Part>, bool>,
    flips: HashMap<Id<Part>, u8>,
    sources: HashMap<usize, SourceMode>,
    diodes: HashMap<usize, bool>,
    powers: HashMap<usize, f64>,
}

impl Choices {
    pub(super) fn source(&self, at: usize) -> SourceMode {
        self.sources.get(&at).copied().unwrap_or_default()
    }

    pub(super) fn conducts(&self, at: usize) -> bool {
        self.diodes.get(&at).copied().unwrap_or(true)
    }

    pub(super) fn power_v(&self, at: usize) -> Option<f64> {
        self.powers.get(&at).copied()
    }

    /// Whether a contact is operated or a coil pulled in.
    pub(super) fn pulled(&self, stand: Stand) -> bool {
        match stand {
            Stand::Given(PartPosition::On | PartPosition::Travel(_)) => true,
            Stand::Given(PartPosition::Off | PartPosition::Starting) | Stand::Unknown => false,
            Stand::Follows(coil) => self.coils.get(&coil).copied().unwrap_or(false),
        }
    }
}

/// Why an operating point is not what it seems.
#[derive(Debug, Clone, PartialEq)]
pub enum Trouble {
    /// The book names no point from which voltages count, and has no source that would show it.
    NoReference,
    /// The network has no solution, in a sentence.
    Unsolved(String),
    /// A relay that never settles.
    Chatters(Id<Part>),
    /// It did not settle.
    Unsettled,
}

/// An operating point.
#[derive(Debug, Clone)]
pub struct Operated {
    solution: Solution,
    nodes: Vec<NodeId>,
    wires: Vec<ElementId>,
    contacts: Vec<ElementId>,
    parts: Vec<Link>,
    what: Vec<What>,
    pulled: HashMap<Id<Part>, bool>,
    /// What went wrong.
    pub trouble: Vec<Trouble>,
}

impl Operated {
    /// Voltage of a point against battery negative.
    pub fn volts(&self, node: Node) -> Potential {
        self.nodes
            .get(node as usize)
            .map_or(Potential::Floating, |n| self.solution.voltage(*n))
    }

    /// Volts of one point above another, where they hang together.
    pub fn between(&self, one: Node, other: Node) -> Option<f64> {
        let at = |node: Node| self.nodes.get(node as usize).copied();
        self.solution.between(at(one)?, at(other)?)
    }

    /// Current of a wire from its `from` end to its `to` end, A; by its place in [`Wiring::wires`].
    pub fn wire_a(&self, at: usize) -> f64 {
        self.wires.get(at).map_or(0.0, |e| self.solution.current_a(*e))
    }

    /// Current of a contact into its unit's wire, A; by its place in [`Wiring::contacts`].
    pub fn contact_a(&self, at: usize) -> f64 {
        self.contacts.get(at).map_or(0.0, |e| self.solution.current_a(*e))
    }

    /// A part's own current from its first end to its second (a source: what it delivers), A; by its place in [`Wiring::parts`].
    pub fn part_a(&self, at: usize) -> f64 {
        self.element(at, |l| l.main)
    }

    /// A sensor's supply current, A.
    pub fn part_supply_a(&self, at: usize) -> f64 {
        self.element(at, |l| l.other)
    }

    fn element(&self, at: usize, which: impl Fn(&Link) -> Option<ElementId>) -> f64 {
        let element = self.parts.get(at).and_then(which);
        element.map_or(0.0, |e| self.solution.current_a(e))
    }

    /// Whether a part is in the network at all as it stands (a contact closed, an output on).
    pub fn conducts(&self, at: usize) -> bool {
        self.parts.get(at).is_some_and(|l| l.main.is_some())
    }

    /// Coils whose position followed from their voltage.
    pub fn pulled(&self) -> &HashMap<Id<Part>, bool> {
        &self.pulled
    }

    /// What the elements of the network stand for.
    pub fn what(&self) -> &[What] {
        &self.what
    }
}

/// The operating point of a wiring as its parts stand.
///
/// `warm` is told the wires' currents, sets the factors on their copper's resistance, and says whether that changes
/// anything worth another round.
///
/// # Errors
/// [`Trouble`] where there is no solution at all.
pub fn operate(
    book: &Book,
    wiring: &Wiring,
    stands: &Stands,
    supply_v: f64,
    mut copper: Vec<f64>,
    mut warm: impl FnMut(&[f64], &mut [f64]) -> bool,
) -> Result<Operated, Trouble> {
    if wiring.reference.is_none() {
        return Err(Trouble::NoReference);
    }
    let mut choices = Choices::default();
    let mut trouble = Vec::new();
    for round in 0.. {
        let stamped = Stamp {
            book,
            wiring,
            stands,
            choices: &choices,
            copper: &copper,
            supply_v,
        }
        .write();
        let solution = solve(&stamped.circuit).map_err(|e| Trouble::Unsolved(e.to_string()))?;
        let look = Look {
            book,
            wiring,
            stands,
            supply_v,
            stamped: &stamped,
            solution: &solution,
        };
        let mut changed = look.settle(&mut choices, &mut trouble);
        if !changed {
            let currents: Vec<f64> = stamped.wires.iter().map(|e| solution.current_a(*e)).collect();
            changed = warm(&currents, &mut copper);
        }
        if changed && round >= MOST_ROUNDS {
            trouble.push(Trouble::Unsettled);
        }
        if !changed || round >= MOST_ROUNDS {
            return Ok(Operated {
                solution,
                nodes: stamped.nodes,
                wires: stamped.wires,
                contacts: stamped.contacts,
                parts: stamped.parts,
                what: stamped.what,
                pulled: choices.coils,
                trouble,
            });
        }
    }
    Err(Trouble::Unsettled)
}

/// A solution looked at to see whether the choices behind it hold.
struct Look<'a> {
    book: &'a Book,
    wiring: &'a Wiring,
    stands: &'a Stands,
    supply_v: f64,
    stamped: &'a Stamped,
    solution: &'a Solution,
}

impl Look<'_> {
    /// Corrects the choices; whether any changed.
    fn settle(&self, choices: &mut Choices, trouble: &mut Vec<Trouble>) -> bool {
        let mut changed = false;
        let mut relays_wait = false;
        for (at, run) in self.wiring.parts.iter().enumerate() {
            let Some(part) = self.book.get(run.part) else {
                continue;
            };
            let moved = match &part.kind {
                PartKind::Source {
                    volts_v,
                    limit_a: Some(limit),
                    ..
                } => self.source(choices, at, volts_v.unwrap_or(self.supply_v), *limit, true),
                PartKind::Reference {
                    volts_v,
                    limit_a: Some(limit),
                    ..
                } => self.source(choices, at, *volts_v, *limit, false),
                PartKind::Diode { forward_v } => self.diode(choices, at, *forward_v),
                PartKind::Load {
                    mode: LoadMode::Power { .. },
                    ..
                } => self.power(choices, at),
                _ => false,
            };
            changed |= moved;
            relays_wait |= moved;
        }
        // Relays move on a network that is otherwise at rest, all together.
        if !relays_wait {
            let seen: Vec<(Id<Part>, bool)> = self
                .wiring
                .parts
                .iter()
                .enumerate()
                .filter_map(|(at, run)| Some((run.part, self.coil(choices, at, self.book.get(run.part)?)?)))
                .collect();
            for (coil, pulled) in seen {
                let flips = choices.flips.entry(coil).or_default();
                *flips += 1;
                if *flips > MOST_FLIPS {
                    if *flips == MOST_FLIPS + 1 {
                        trouble.push(Trouble::Chatters(coil));
                    }
                    continue;
                }
                choices.coils.insert(coil, pulled);
                changed = true;
            }
        }
        changed
    }

    fn across(&self, at: usize) -> Option<f64> {
        let ends = &self.wiring.parts.get(at)?.ends;
        let node = |which: usize| ends.get(which).map(|n| self.stamped.at(*n));
        self.solution.between(node(0)?, node(1)?)
    }

    fn current(&self, at: usize) -> Option<f64> {
        let element = self.stamped.parts.get(at)?.main?;
        Some(self.solution.current_a(element))
    }

    fn source(&self, choices: &mut Choices, at: usize, emf_v: f64, limit_a: f64, blocks: bool) -> bool {
        let now = choices.source(at);
        let next = match now {
            SourceMode::Voltage => match self.current(at) {
                Some(a) if a > limit_a * (1.0 + 1e-9) => SourceMode::Limited,
                Some(a) if blocks && a < -1e-9 => SourceMode::Blocked,
                _ => now,
            },
            SourceMode::Limited | SourceMode::Blocked => match self.across(at) {
                Some(v) if now == SourceMode::Limited && v > emf_v => SourceMode::Voltage,
                Some(v) if now == SourceMode::Blocked && v < emf_v => SourceMode::Voltage,
                None => SourceMode::Voltage,
                _ => now,
            },
        };
        choices.sources.insert(at, next);
        next != now
    }

    fn diode(&self, choices: &mut Choices, at: usize, forward_v: f64) -> bool {
        let now = choices.conducts(at);
        let next = if now {
            self.current(at).is_some_and(|a| a > -1e-12)
        } else {
            self.across(at).is_some_and(|v| v > forward_v + 1e-9)
        };
        choices.diodes.insert(at, next);
        next != now
    }

    fn power(&self, choices: &mut Choices, at: usize) -> bool {
        let before = choices.power_v(at).unwrap_or(self.supply_v);
        let now = self.across(at).unwrap_or(0.0).max(0.0);
        choices.powers.insert(at, now);
        (now - before).abs() > SETTLED_V
    }

    /// The position a coil goes to, if it goes.
    fn coil(&self, choices: &Choices, at: usize, part: &Part) -> Option<bool> {
        let PartKind::Coil {
            pull_in_v,
            drop_out_v,
            ..
        } = part.kind
        else {
            return None;
        };
        let stand = self.stands.get(part.id);
        if !matches!(stand, Stand::Follows(_)) {
            return None;
        }
        let pulled = choices.pulled(stand);
        let volts = self.across(at).unwrap_or(0.0);
        // Pull-in and drop-out are ampere-turns: their volts rise with the copper's resistance.
        let hot = copper_factor(self.wiring.parts.get(at)?.ambient_c);
        let pull_in = pull_in_v? * hot;
        let drop_out = drop_out_v.map_or(0.1 * pull_in, |v| v * hot);
        let next = if pulled {
            volts >= drop_out
        } else {
            volts >= pull_in
        };
        (next != pulled).then_some(next)
    }
}
