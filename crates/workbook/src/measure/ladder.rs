//! In which order tests are made: power off, then step by step with power, stopping at the first wrong value.

use super::{
    apart, contactors, crimps, joining, loom, neighbours, parts,
    powered::Making,
    rails,
    roles::{self, Roles},
    sensing,
    test::{Known, Listed},
    volts,
};
use crate::book::InOrder;
use crate::{
    Book,
    analysis::Snapshot,
    model::{Connector, Id, State, TestKind, Unit},
};
use std::collections::HashSet;

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
    /// The first power: each fused rail.
    Rails,
    /// Power on, the plugs of units with electronics off, in a state.
    PlugsOff(Id<State>),
    /// The controller's plug on, nothing else.
    Controller,
    /// The sensors on.
    Sensors,
    /// The other units one by one.
    Joining,
    /// Contactor coils without the pack.
    Contactors,
    /// The precharge, as far as control wiring shows it.
    Precharge,
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
            setup: "the controller's plug on, nothing else, limited supply",
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
    let roles = Roles::of(book);
    let on = |rung: &'static str| {
        let states = roles.states.iter().filter(|state| roles.rung(state) == rung);
        states
            .map(|state| Stage::PlugsOn(state.id))
            .collect::<Vec<Stage>>()
    };
    let mut all = vec![
        Stage::Through,
        Stage::Chassis,
        Stage::Supply,
        Stage::Neighbours,
        Stage::Parts,
        Stage::Crimps,
        Stage::Rails,
    ];
    all.extend(roles.states.iter().map(|state| Stage::PlugsOff(state.id)));
    all.extend([Stage::Controller, Stage::Sensors, Stage::Joining]);
    all.extend(on("P5"));
    all.push(Stage::Contactors);
    all.extend(on("P6"));
    all.extend(on("P7"));
    all.push(Stage::Precharge);
    all.extend(on("P8"));
    all.extend(on("P9"));
    all
}

/// The tests of a stage.
pub fn listed(see: &Snapshot, stage: Stage, known: &Known) -> Listed {
    let making = Making {
        see,
        known,
        windows: true,
    };
    made(making, &Roles::of(see.book()), stage)
}

/// The tests of a stage, with their windows where they are wanted.
pub(super) fn made(making: Making<'_>, roles: &Roles<'_>, stage: Stage) -> Listed {
    let Making { see, known, .. } = making;
    match stage {
        Stage::Through => loom::tests(see),
        Stage::Chassis => apart::chassis(see),
        Stage::Supply => apart::supply(see),
        Stage::Neighbours => neighbours::tests(see),
        Stage::Parts => parts::tests(see, known),
        Stage::Crimps => crimps::tests(see, known),
        Stage::Rails => rails::tests(making, roles),
        Stage::PlugsOff(state) => volts::tests(making, state, TestKind::PlugsOff),
        Stage::Controller => joining::controller(making, roles),
        Stage::Sensors => sensing::tests(making, roles),
        Stage::Joining => joining::tests(making, roles),
        Stage::Contactors => contactors::tests(making, roles),
        Stage::Precharge => contactors::precharge(making, roles),
        Stage::PlugsOn(state) => volts::tests(making, state, TestKind::PlugsOn),
    }
}

impl Stage {
    /// Whether there is power.
    pub fn is_live(self) -> bool {
        !matches!(
            self,
            Self::Through | Self::Chassis | Self::Supply | Self::Neighbours | Self::Parts | Self::Crimps
        )
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
            Self::Rails => "first power: each rail".to_owned(),
            Self::Controller => "controller's plug on".to_owned(),
            Self::Sensors => "sensors at rest and full".to_owned(),
            Self::Joining => "the other units one by one".to_owned(),
            Self::Contactors => "contactor coils, no pack".to_owned(),
            Self::Precharge => "precharge".to_owned(),
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
            Self::Rails => format!(
                "Supply limited to 1 A. Off: {}. One fuse in after the other, {STOP}",
                plugs(book, &roles::electronic(book))
            ),
            Self::PlugsOff(_) => format!("Off: {}. {STOP}", plugs(book, &roles::electronic(book))),
            Self::Controller | Self::Sensors | Self::Joining => self.joined_so_far(book),
            Self::Contactors => format!(
                "Service plug out; where that opens the interlock, a temporary link stands in for it. Switches held as named. {STOP}"
            ),
            Self::Precharge => {
                "Only by a person licensed for the pack. Traction volts are not measured with this.".to_owned()
            }
            Self::PlugsOn(_) => format!("All plugs on. {STOP}"),
        }
    }

    /// What is plugged in while plugs go on one after the other.
    fn joined_so_far(self, book: &Book) -> String {
        let roles = Roles::of(book);
        let name = |unit: Option<Id<Unit>>| unit.map_or_else(|| "?".to_owned(), |unit| book.label_of(unit));
        let state = roles
            .idle
            .map_or_else(|| "?".to_owned(), |state| state.label.clone());
        let controller = name(roles.controller);
        match self {
            Self::Controller => format!(
                "{state}, supply limited. Of the units with electronics only {controller} (most outputs) has its plug on. {STOP}"
            ),
            Self::Sensors => {
                format!(
                    "{state}. {controller} and the sensors it feeds have their plugs on. Moved by hand. {STOP}"
                )
            }
            _ => format!(
                "{state}. {controller} and its sensors on; now one unit after the other, in this order. {STOP}"
            ),
        }
    }

    /// The rung of the ladder it is on; none without power.
    pub fn rung(self, book: &Book) -> Option<&'static Rung> {
        self.rung_in(&Roles::of(book))
    }

    /// The same where it is known who is who.
    pub(super) fn rung_in(self, roles: &Roles<'_>) -> Option<&'static Rung> {
        let name = match self {
            Self::Through | Self::Chassis | Self::Supply | Self::Neighbours | Self::Parts | Self::Crimps => {
                return None;
            }
            Self::Rails => "P0",
            Self::PlugsOff(state) if roles.states.first().is_some_and(|first| first.id == state) => "P1",
            Self::PlugsOff(_) => "P2",
            Self::Controller => "P3",
            Self::Sensors => "P4",
            Self::Joining => "P5",
            Self::Contactors => "P6",
            Self::Precharge => "P8",
            Self::PlugsOn(state) => {
                let state = roles.states.iter().find(|s| s.id == state)?;
                roles.rung(state)
            }
        };
        ladder().iter().find(|rung| rung.name == name)
    }
}

/// What ends every step of the ladder.
const STOP: &str = "Stop at the first wrong value.";

/// The plugs of some units.
fn plugs(book: &Book, units: &HashSet<Id<Unit>>) -> String {
    let mut labels: Vec<String> = units
        .iter()
        .flat_map(|unit| book.index().connectors_of.of(unit).to_vec())
        .map(|id: Id<Connector>| book.label_of(id))
        .collect();
    labels.order_by(|label| crate::book::natural(label));
    labels.join(" ")
}
