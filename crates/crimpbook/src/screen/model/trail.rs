//! Where one has been: the way back and the way forward again.

use crimpbook_workbook::model::{Cavity, Connector, Id};

use super::{
    Model, build::Build, kept::Kept, log::Log, meter::Meter, overview::Overview, parts::Parts,
    protection::Protection, sources::Sources, states::States, trials::Trials,
};
use crate::screen::action::Where;

/// So many places are kept.
const MOST: usize = 100;

/// The way back and the way forward.
#[derive(Debug, Clone, Default)]
pub struct Trail {
    back: Vec<Spot>,
    ahead: Vec<Spot>,
    /// A record was gone to, perhaps on the same screen.
    jumped: bool,
}

/// A screen and where its cursor was.
#[derive(Debug, Clone)]
pub struct Spot {
    place: Where,
    cursor: Cursor,
}

/// What tells where a screen's cursor is.
#[derive(Debug, Clone)]
enum Cursor {
    Face(Option<Id<Connector>>, Option<Id<Cavity>>),
    Build(Build),
    Sources(Sources),
    Protection(Protection),
    /// States stands at the Face's cavity.
    States(States, Option<Id<Connector>>, Option<Id<Cavity>>),
    Tests(Meter),
    /// The setting, and the release it is held against.
    Settings(usize, usize),
    Trials(Trials),
    Log(Log),
    Parts(Parts),
    Overview(Overview),
}

impl Spot {
    /// Where the model is.
    pub fn of(model: &Model) -> Self {
        let (connector, cavity) = (model.face.connector, model.face.cavity);
        let cursor = match model.place {
            Where::Face => Cursor::Face(connector, cavity),
            Where::Build => Cursor::Build(model.build.clone()),
            Where::Sources => Cursor::Sources(model.sources.clone()),
            Where::Protection => Cursor::Protection(model.protection.clone()),
            Where::States => Cursor::States(model.states.clone(), connector, cavity),
            Where::Tests => Cursor::Tests(model.meter.clone()),
            Where::Settings => Cursor::Settings(model.settings.at, model.settings.against),
            Where::Trials => Cursor::Trials(model.trials.clone()),
            Where::Log => Cursor::Log(Log {
                detail: None,
                from: None,
                kept: Kept::default(),
                ..model.log
            }),
            Where::Parts => Cursor::Parts(model.parts.clone()),
            _ => Cursor::Overview(model.overview.clone()),
        };
        Self {
            place: model.place,
            cursor,
        }
    }

    fn show(self, model: &mut Model) {
        model.place = self.place;
        match self.cursor {
            Cursor::Face(connector, cavity) => {
                (model.face.connector, model.face.cavity) = (connector, cavity);
            }
            Cursor::Build(build) => {
                // The bell and the side looked at are no places.
                let (bell, flipped) = (model.build.bell, model.build.flipped);
                model.build = Build {
                    bell,
                    flipped,
                    ..build
                };
            }
            Cursor::Sources(sources) => model.sources.at = sources.at,
            Cursor::Protection(protection) => model.protection = protection,
            Cursor::States(states, connector, cavity) => {
                model.states = states;
                (model.face.connector, model.face.cavity) = (connector, cavity);
            }
            Cursor::Tests(meter) => (model.meter.stage, model.meter.at) = (meter.stage, meter.at),
            Cursor::Settings(at, against) => {
                (model.settings.at, model.settings.against) = (at, against);
            }
            Cursor::Trials(trials) => model.trials = trials,
            Cursor::Log(log) => model.log.at = log.at,
            Cursor::Parts(parts) => model.parts = parts,
            Cursor::Overview(overview) => model.overview.at = overview.at,
        }
    }
}

impl Trail {
    /// Whether there is a way back.
    pub fn leads_back(&self) -> bool {
        !self.back.is_empty()
    }

    /// Whether there is a way forward again.
    pub fn leads_on(&self) -> bool {
        !self.ahead.is_empty()
    }

    /// How many places are kept, back and forward.
    #[cfg(test)]
    pub fn kept(&self) -> (usize, usize) {
        (self.back.len(), self.ahead.len())
    }

    /// A record was gone to: where one was is kept even if the screen stays the same.
    pub fn jumped(&mut self) {
        self.jumped = true;
    }
}

/// Keeps where one was before something happened, if one is elsewhere now.
pub fn keep(model: &mut Model, before: Spot) {
    let jumped = std::mem::take(&mut model.trail.jumped);
    if before.place == model.place && !jumped {
        return;
    }
    let trail = &mut model.trail;
    trail.ahead.clear();
    trail.back.push(before);
    if trail.back.len() > MOST {
        trail.back.remove(0);
    }
}

/// Goes back to where one was.
pub fn back(model: &mut Model) {
    if let Some(spot) = model.trail.back.pop() {
        let here = Spot::of(model);
        model.trail.ahead.push(here);
        spot.show(model);
    }
}

/// Goes forward again.
pub fn forward(model: &mut Model) {
    if let Some(spot) = model.trail.ahead.pop() {
        let here = Spot::of(model);
        model.trail.back.push(here);
        spot.show(model);
    }
}
