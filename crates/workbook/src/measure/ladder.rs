//! In which order tests are made: power off, then step by step with power, stopping at the first wrong value.

use super::{
    apart, crimps, loom, neighbours, parts,
    test::{Known, Listed},
    volts,
};
use crate::{
    Book,
    analysis::Snapshot,
    model::{Connector, Id, State, TestKind},
};

/// A stage of testing: one way of holding the leads, or one state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Stage {
    /// End to end.
    Through,
    /// A sweep with one lead on chassis.
    Chassis,
    /// A sweep with one lead on battery positive.
    Supply,
    /// Pairs beside each other.
    Neighbours,
    /// CAN pairs, coils, potentiometers, sensors, rails.
    Parts,
    /// Contacts by millivolts at a known current.
    Crimps,
    /// Power on, the plugs of units with electronics off, in a state.
    PlugsOff(Id<State>),
    /// Power on, all plugs on, in a state.
    PlugsOn(Id<State>),
}

/// What is always in sight while there is power.
pub const CAUTIONS: &[&str] = &[
    "Control wiring up to 60 V only; traction locked out, wheels off the ground.",
    "Supply limited to 1 A or a 1 A fuse; never spread a contact with a probe.",
];

/// A rung of the ladder from no power to driving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rung {
    /// `P0` …
    pub name: &'static str,
    /// What is set up.
    pub setup: &'static str,
    /// What to expect; anything else is a stop.
    pub expect: &'static str,
}

/// The rungs (common practice, no source; the units' manuals win).
pub fn ladder() -> &'static [Rung] {
    &[
        Rung {
            name: "P0",
            setup: "supply limited to 1 A or a 1 A fuse, all units off, one rail after the other",
            expect: "the supply's volts at the rail, less than 10 mA drawn",
        },
        Rung {
            name: "P1",
            setup: "key off, plugs of units with electronics off, battery on",
            expect: "permanent feeds at the battery's volts, everything else at 0",
        },
        Rung {
            name: "P2",
            setup: "key on, those plugs still off, each switch through its positions",
            expect: "every cavity as listed for the state",
        },
        Rung {
            name: "P3",
            setup: "the motor controller's plug on, nothing else, limited supply",
            expect: "its sensor supplies, no output on, a small draw",
        },
        Rung {
            name: "P4",
            setup: "sensors on: pedal at rest and full, potentiometers, temperatures, encoder by hand",
            expect: "their volts and directions as the manuals give them",
        },
        Rung {
            name: "P5",
            setup: "the other units one by one",
            expect: "every cavity as listed for the state; the CAN pair right after each",
        },
        Rung {
            name: "P6",
            setup: "stop chain and contactor coils, service plug out",
            expect: "clicks and auxiliary contacts; release in less than 0.2 s at stop, key off and inertia",
        },
        Rung {
            name: "P7",
            setup: "charge lead in, key on",
            expect: "no drive",
        },
        Rung {
            name: "P8",
            setup: "the pack, by a person licensed for it, precharge watched",
            expect: "at least 90 % of the pack's volts before the main contactor closes",
        },
        Rung {
            name: "P9",
            setup: "wheels off the ground, low limits",
            expect: "direction, brake, stop",
        },
    ]
}

/// The stages of a book, in order.
pub fn stages(book: &Book) -> Vec<Stage> {
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.sort_by_key(|s| (s.order, s.label.clone()));
    let dead = [
        Stage::Through,
        Stage::Chassis,
        Stage::Supply,
        Stage::Neighbours,
        Stage::Parts,
        Stage::Crimps,
    ];
    let off = states.iter().map(|s| Stage::PlugsOff(s.id));
    let on = states.iter().map(|s| Stage::PlugsOn(s.id));
    dead.into_iter().chain(off).chain(on).collect()
}

/// The tests of a stage.
pub fn listed(see: &Snapshot, stage: Stage, known: &Known) -> Listed {
    match stage {
        Stage::Through => loom::tests(see),
        Stage::Chassis => apart::chassis(see),
        Stage::Supply => apart::supply(see),
        Stage::Neighbours => neighbours::tests(see),
        Stage::Parts => parts::tests(see),
        Stage::Crimps => crimps::tests(see, known),
        Stage::PlugsOff(state) => volts::tests(see, state, TestKind::PlugsOff, known),
        Stage::PlugsOn(state) => volts::tests(see, state, TestKind::PlugsOn, known),
    }
}

impl Stage {
    /// Whether there is power.
    pub fn is_live(self) -> bool {
        matches!(self, Self::PlugsOff(_) | Self::PlugsOn(_))
    }

    /// Its state, with power.
    pub fn state(self) -> Option<Id<State>> {
        match self {
            Self::PlugsOff(state) | Self::PlugsOn(state) => Some(state),
            _ => None,
        }
    }

    /// In a few words.
    pub fn title(self, book: &Book) -> String {
        match self {
            Self::Through => "end to end".to_owned(),
            Self::Chassis => "sweep: open to chassis".to_owned(),
            Self::Supply => "sweep: open to battery +".to_owned(),
            Self::Neighbours => "sweep: open to neighbours".to_owned(),
            Self::Parts => "CAN, coils, sensors, rails".to_owned(),
            Self::Crimps => "contacts by millivolts".to_owned(),
            Self::PlugsOff(state) => format!("{}, plugs off", book.label_of(state)),
            Self::PlugsOn(state) => format!("{}, plugs on", book.label_of(state)),
        }
    }

    /// What is set up for it, and when to stop.
    pub fn setup(self, book: &Book) -> String {
        match self {
            Self::Through => "Power off, fuses out, plugs apart. First the cavities that show a mirrored plug.".to_owned(),
            Self::Chassis => "Power off, fuses out, plugs apart. One lead on chassis, the other along the plug.".to_owned(),
            Self::Supply => {
                "Power off, fuses out, plugs apart. One lead on battery + of the loom, the other along the plug.".to_owned()
            }
            Self::Neighbours => "Power off, plugs apart. Both leads on cavities beside each other.".to_owned(),
            Self::Parts => {
                "Power off. CAN and rails with plugs on, from the wire side; the others at the unit, its plug off.".to_owned()
            }
            Self::Crimps => "Power off, plugs apart. A known current of 1 to 5 A through the wire, volts over it.".to_owned(),
            Self::PlugsOff(_) => {
                let mut off: Vec<String> = volts::electronic(book)
                    .into_iter()
                    .flat_map(|unit| book.index().connectors_of.of(&unit).to_vec())
                    .map(|id: Id<Connector>| book.label_of(id))
                    .collect();
                off.sort_by_cached_key(|label| crate::book::natural(label));
                format!("Off: {}. Stop at the first wrong value.", off.join(" "))
            }
            Self::PlugsOn(_) => "Plugs on, one unit after the other. Stop at the first wrong value.".to_owned(),
        }
    }

    /// The rung of the ladder it is on; none without power.
    pub fn rung(self, book: &Book) -> Option<&'static Rung> {
        let first = stages(book).iter().find_map(|s| s.state());
        let name = match self {
            Self::PlugsOff(state) if Some(state) == first => "P1",
            Self::PlugsOff(_) => "P2",
            Self::PlugsOn(_) => "P5",
            _ => return None,
        };
        ladder().iter().find(|rung| rung.name == name)
    }
}
