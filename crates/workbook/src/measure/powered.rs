//! The circuit with power on as it is set up for a test: which plugs are off, which switch is held, how far sensors are moved.

use std::collections::HashSet;

use crimpbook_core::{conductor::copper_factor, network::Potential};

use super::test::{Expected, Known};
use crate::{
    Book,
    analysis::Snapshot,
    circuit::{Given, Node, Operated, Ready, Stands, Trouble, Wiring, operate},
    model::{
        About, Cavity, Driver, End, Id, Part, PartKind, PartPosition, State, SwitchPosition, Terminal, Unit,
    },
};

/// A battery is read to so much, V; so is the window around what was read. Our own bound.
const READ_V: f64 = 0.1;
/// The coldest copper that is measured, °C. Our own bound, as for readings in ohms.
const COLD_C: f64 = 10.0;
/// What a hand meter may be off: V, and share of the reading. Our own bound.
const METER_V: f64 = 0.05;
const METER_SHARE: f64 = 0.005;

/// What a list of tests is made for.
#[derive(Clone, Copy)]
pub(super) struct Making<'a> {
    /// The book with what is computed of it.
    pub see: &'a Snapshot,
    /// What the builder knows while testing.
    pub known: &'a Known,
    /// Whether windows are wanted; else only which tests there are.
    pub windows: bool,
}

impl Making<'_> {
    /// Solves a setup over the range of the supply and of the copper's warmth.
    pub fn solve(&self, setup: &Setup) -> Result<Solved, String> {
        if !self.windows {
            return Err(String::new());
        }
        let about = self.see.book().all::<About>().values().next();
        let state = self.see.book().get(setup.state).and_then(|s| s.supply_v);
        let supplies = match (self.known.supply_v, about.map(|a| a.supply)) {
            (Some(read), _) => vec![read - READ_V, read, read + READ_V],
            (None, Some(supply)) => vec![supply.least_v, state.unwrap_or(supply.nominal_v), supply.most_v],
            (None, None) => return Err("missing the supply's range on the workbook's page".to_owned()),
        };
        Solved::of(self.see, setup, &supplies)
    }
}

/// How the vehicle is set up.
#[derive(Clone)]
pub(super) struct Setup {
    pub state: Id<State>,
    /// Units whose plugs are off.
    pub off: HashSet<Id<Unit>>,
    /// Relays follow their coils, where the state tells of them as with everything plugged in.
    pub freed: bool,
    /// A switch that is held elsewhere than the state has it.
    pub held: Option<SwitchPosition>,
    /// Sensors and outputs that are moved by hand.
    pub moved: Vec<(Id<Part>, PartPosition)>,
    /// Resistances other than the workbook has them.
    pub ohms: Vec<(Id<Part>, f64)>,
}

impl Setup {
    /// A state with all plugs on.
    pub fn of(state: Id<State>) -> Self {
        Self {
            state,
            off: HashSet::new(),
            freed: false,
            held: None,
            moved: Vec::new(),
            ohms: Vec::new(),
        }
    }

    /// A state with the plugs of these units off.
    pub fn without(state: Id<State>, off: HashSet<Id<Unit>>) -> Self {
        Self {
            off,
            freed: true,
            ..Self::of(state)
        }
    }

    fn stands(&self, book: &Book, state: &State) -> Stands {
        let mut stands = Stands::of(book, state);
        if self.freed {
            stands = stands.freed(book, &HashSet::new());
        }
        for part in book.all::<Part>().values() {
            match &part.kind {
                // What gives by its unit's own doing gives nothing while that has no plug.
                PartKind::Source { switched: true, .. } if self.off.contains(&part.unit) => {
                    stands = stands.with(part.id, PartPosition::Off);
                }
                PartKind::Contact {
                    driver: Driver::Switch { switch, operated_in },
                    ..
                } => {
                    if let Some(held) = self.held.as_ref().filter(|held| held.switch == *switch) {
                        let operated = operated_in.contains(&held.position);
                        let position = if operated {
                            PartPosition::On
                        } else {
                            PartPosition::Off
                        };
                        stands = stands.with(part.id, position);
                    }
                }
                _ => {}
            }
        }
        for (part, position) in &self.moved {
            stands = stands.with(*part, *position);
        }
        stands
    }

    fn wiring(&self, see: &Snapshot) -> Wiring {
        let mut wiring = see.wiring().clone();
        if !self.off.is_empty() {
            let plugged =
                |cavity: Id<Cavity>| see.unit_of(cavity).is_none_or(|unit| !self.off.contains(&unit));
            wiring.contacts.retain(|run| plugged(run.cavity));
        }
        for (part, ohm) in &self.ohms {
            // A bridge of other ohms in the part's place.
            let Some(at) = wiring.parts.iter().position(|run| run.part == *part) else {
                continue;
            };
            let run = wiring.parts.remove(at);
            let cavity = see.book().get(*part).and_then(|part| {
                part.ends.iter().find_map(|end| match end {
                    Terminal::Cavity(id) => Some(*id),
                    _ => None,
                })
            });
            if let (Some(cavity), [one, other]) = (cavity, run.ends.as_slice()) {
                wiring.bridges.push((cavity, *one, *other, *ohm));
            }
        }
        wiring
    }
}

/// A setup solved at some voltages of the supply, with copper cold and as warm as currents and zones make it.
pub(super) struct Solved {
    wiring: Wiring,
    points: Vec<Operated>,
    /// Cavities of plugs that are off are measured on the wires' side.
    off: HashSet<Id<Cavity>>,
}

impl Solved {
    /// Solves it at each of the voltages.
    pub fn of(see: &Snapshot, setup: &Setup, supplies: &[f64]) -> Result<Self, String> {
        let book = see.book();
        let state = book
            .get(setup.state)
            .ok_or_else(|| "the state is not in the workbook any more".to_owned())?;
        let (wiring, stands) = (setup.wiring(see), setup.stands(book, state));
        let off = see
            .wiring()
            .contacts
            .iter()
            .map(|run| run.cavity)
            .filter(|id| see.unit_of(*id).is_some_and(|unit| setup.off.contains(&unit)))
            .collect();
        let mut ready = Ready::default();
        let warmth = see.warmth();
        let solve = |(volts, cold): (&f64, bool)| {
            let given = Given {
                book,
                wiring: &wiring,
                stands: &stands,
                supply_v: *volts,
            };
            let copper = if cold {
                vec![copper_factor(COLD_C); wiring.wires.len()]
            } else {
                warmth.idle()
            };
            operate(&given, &mut ready, copper, |currents_a, copper| {
                !cold && warmth.warm(&wiring, currents_a, copper)
            })
        };
        let outer = [supplies.first(), supplies.last()].into_iter().flatten();
        let points = supplies
            .iter()
            .map(|volts| (volts, false))
            .chain(outer.map(|volts| (volts, true)))
            .map(solve)
            .collect::<Result<Vec<Operated>, Trouble>>()
            .map_err(|trouble| format!("is not computed: {}", trouble.words(book)))?;
        if let Some(trouble) = points.iter().flat_map(|p| &p.trouble).next() {
            return Err(format!("is not computed: {}", trouble.words(book)));
        }
        Ok(Self { wiring, points, off })
    }

    fn node(&self, cavity: Id<Cavity>) -> Option<Node> {
        let nodes = &self.wiring.nodes;
        let (unit, wire) = (nodes.unit_side(cavity), nodes.wire_side(cavity));
        if self.off.contains(&cavity) {
            wire.or(unit)
        } else {
            unit.or(wire)
        }
    }

    fn nodes(&self, at: Id<Cavity>, against: End) -> Option<(Node, Node)> {
        let ground = match against {
            End::Cavity(id) => self.node(id),
            End::Junction(id) => self.wiring.nodes.junction(id),
            End::Free => self.wiring.reference,
        };
        Some((self.node(at)?, ground?))
    }

    /// Volts between a cavity and another place at the first voltage of the supply; none: they float against each other.
    pub fn first_v(&self, at: Id<Cavity>, against: End) -> Option<f64> {
        let (at, ground) = self.nodes(at, against)?;
        self.points.first()?.between(at, ground)
    }

    /// What a meter between a cavity and its ground should show.
    pub fn volts(&self, at: Id<Cavity>, against: End) -> Expected {
        self.nodes(at, against)
            .map_or(Expected::Floats, |(at, ground)| self.between(at, ground))
    }

    /// The same at a cavity against its unit's own ground, else against battery negative.
    pub fn volts_own(&self, see: &Snapshot, at: Id<Cavity>) -> Expected {
        let Some(node) = self.node(at) else {
            return Expected::Floats;
        };
        let own = see.unit_of(at).and_then(|unit| self.wiring.ground_of(unit));
        let both = [own, self.wiring.reference].into_iter().flatten();
        both.map(|ground| self.between(node, ground))
            .find(|expected| *expected != Expected::Floats)
            .unwrap_or(Expected::Floats)
    }

    fn between(&self, at: Node, ground: Node) -> Expected {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut floats = 0;
        for point in &self.points {
            let unsteady = [at, ground].into_iter().find_map(|node| match point.volts(node) {
                Potential::Unsteady { least_v, most_v } => Some((least_v, most_v)),
                _ => None,
            });
            if let Some((least_v, most_v)) = unsteady {
                return Expected::CannotTell(format!(
                    "goes to and fro between {least_v:.1} and {most_v:.1} V"
                ));
            }
            match point.between(at, ground) {
                Some(volts) => (least, most) = (least.min(volts), most.max(volts)),
                None => floats += 1,
            }
        }
        if floats == self.points.len() {
            return Expected::Floats;
        }
        if floats > 0 {
            return Expected::CannotTell(
                "floats at some voltages of the supply and not at others".to_owned(),
            );
        }
        let off = |volts: f64| METER_V + METER_SHARE * volts.abs();
        // Adding zero takes the sign off a rounded nothing.
        let round = |volts: f64| (volts * 100.0).round() / 100.0 + 0.0;
        Expected::within(round(least - off(least)), round(most + off(most)))
    }

    /// Least and most that flows into a unit at a cavity, A; none: it is in no circuit.
    pub fn flows_in_a(&self, cavity: Id<Cavity>) -> Option<(f64, f64)> {
        let at = self.wiring.contacts.iter().position(|run| run.cavity == cavity)?;
        Some(range(self.points.iter().map(|point| -point.contact_a(at))))
    }

    /// Least and most that flows through a part, A; none: it is in no circuit.
    pub fn through_a(&self, part: Id<Part>) -> Option<(f64, f64)> {
        let at = self.wiring.parts.iter().position(|run| run.part == part)?;
        Some(range(self.points.iter().map(|point| point.part_a(at))))
    }
}

fn range(of: impl Iterator<Item = f64>) -> (f64, f64) {
    of.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), a| {
        (least.min(a), most.max(a))
    })
}
