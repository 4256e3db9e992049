//! How each inside part stands in an operating state.

use std::{collections::HashSet, sync::Arc};

use crate::{
    Book,
    model::{Driver, Id, Part, PartKind, PartPosition, Quick, State, Switch},
};

/// How a part stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stand {
    /// As the state, a switch, or the part's own nature says.
    Given(PartPosition),
    /// A contact that follows this coil, or the coil itself: nobody gave a position, so the coil's voltage decides.
    Follows(Id<Part>),
    /// Nobody said: it is taken as off, and that is reported.
    Unknown,
}

/// How all parts of a book stand in a state.
#[derive(Debug, Clone, Default)]
pub struct Stands {
    /// Where each part of the book stands in `given`; states of one book share it.
    places: Arc<Quick<Id<Part>, u32>>,
    given: Vec<Stand>,
    /// Parts that are not of the book.
    beside: Vec<(Id<Part>, Stand)>,
    starts: bool,
    /// Parts whose stand is an assumption of the builder.
    pub assumed: Vec<Id<Part>>,
}

impl Stands {
    /// As `state` has them.
    pub fn of(book: &Book, state: &State) -> Self {
        Self::like(&Self::default(), book, state)
    }

    /// As `state` has them, `other` being how they stand in another state of the same book.
    pub fn like(other: &Self, book: &Book, state: &State) -> Self {
        let told: Quick<Id<Part>, PartPosition> = state.parts.iter().map(|s| (s.part, s.position)).collect();
        let switches: Quick<Id<Switch>, &str> = state
            .switches
            .iter()
            .map(|s| (s.switch, s.position.as_str()))
            .collect();
        let parts = book.all::<Part>();
        let places = if other.places.len() == parts.len() && !parts.is_empty() {
            Arc::clone(&other.places)
        } else {
            Arc::new(parts.keys().copied().zip(0..).collect())
        };
        let given = parts.values().map(|part| stand(book, part, &told, &switches));
        Self {
            places,
            given: given.collect(),
            beside: Vec::new(),
            starts: told.values().any(|p| *p == PartPosition::Starting),
            assumed: state.parts.iter().filter(|s| s.assumed).map(|s| s.part).collect(),
        }
    }

    /// How a part stands.
    pub fn get(&self, part: Id<Part>) -> Stand {
        let place = self.places.get(&part).and_then(|at| self.given.get(*at as usize));
        let beside = || self.beside.iter().rfind(|(id, _)| *id == part);
        let stand = place.copied().or_else(|| beside().map(|(_, stand)| *stand));
        stand.unwrap_or(Stand::Unknown)
    }

    fn put(&mut self, part: Id<Part>, stand: Stand) {
        let place = self
            .places
            .get(&part)
            .and_then(|at| self.given.get_mut(*at as usize));
        match place {
            Some(place) => *place = stand,
            None => self.beside.push((part, stand)),
        }
    }

    /// Whether something is at its inrush.
    pub fn starts(&self) -> bool {
        self.starts
    }

    /// The same with one part put differently.
    #[must_use]
    pub fn with(mut self, part: Id<Part>, position: PartPosition) -> Self {
        self.starts |= position == PartPosition::Starting;
        self.put(part, Stand::Given(position));
        self
    }

    /// The same with the relays left to themselves, as a fault finds them: a state tells where they stand without one. Each
    /// coil that has a pull-in voltage follows it, but those in `keep`, and each contact its coil.
    #[must_use]
    pub fn freed(mut self, book: &Book, keep: &HashSet<Id<Part>>) -> Self {
        let steady = |stand| matches!(stand, Stand::Given(PartPosition::On | PartPosition::Off));
        let free = |part: &&Part| match part.kind {
            PartKind::Coil { pull_in_v, .. } => {
                pull_in_v.is_some_and(|v| v > 0.0) && !keep.contains(&part.id) && steady(self.get(part.id))
            }
            _ => false,
        };
        let coils: HashSet<Id<Part>> = book.all::<Part>().values().filter(free).map(|p| p.id).collect();
        for part in book.all::<Part>().values() {
            match part.kind {
                PartKind::Coil { .. } if coils.contains(&part.id) => {
                    self.put(part.id, Stand::Follows(part.id));
                }
                PartKind::Contact {
                    driver: Driver::Coil { part: coil },
                    ..
                } if coils.contains(&coil) => {
                    self.put(part.id, Stand::Follows(coil));
                }
                _ => {}
            }
        }
        self
    }
}

fn stand(
    book: &Book,
    part: &Part,
    told: &Quick<Id<Part>, PartPosition>,
    switches: &Quick<Id<Switch>, &str>,
) -> Stand {
    if let Some(position) = told.get(&part.id) {
        return Stand::Given(*position);
    }
    match &part.kind {
        PartKind::Contact { driver, .. } => match driver {
            Driver::Switch { switch, operated_in } => {
                let resting = || book.get(*switch)?.positions.first().map(String::as_str);
                let at = switches.get(switch).copied().or_else(resting);
                Stand::Given(on(at.is_some_and(|at| operated_in.iter().any(|p| p == at))))
            }
            Driver::Coil { part: coil } => match told.get(coil) {
                Some(position) => Stand::Given(on(*position != PartPosition::Off)),
                None => Stand::Follows(*coil),
            },
            Driver::StateOnly => Stand::Unknown,
        },
        PartKind::Output { .. } | PartKind::Source { switched: true, .. } => Stand::Unknown,
        PartKind::Coil { .. } => Stand::Follows(part.id),
        // As a switch that is not named: at rest.
        PartKind::Potentiometer { .. } | PartKind::Ratiometric { .. } => {
            Stand::Given(PartPosition::Travel(0.0))
        }
        _ => Stand::Given(PartPosition::On),
    }
}

fn on(on: bool) -> PartPosition {
    if on { PartPosition::On } else { PartPosition::Off }
}

/// Parts that need a position and get one in no state: what they do is not known.
pub fn never_told(book: &Book) -> Vec<Id<Part>> {
    let told: std::collections::HashSet<Id<Part>> = book
        .all::<State>()
        .values()
        .flat_map(|state| state.parts.iter().map(|s| s.part))
        .collect();
    book.all::<Part>()
        .values()
        .filter(|part| {
            let needs = match &part.kind {
                PartKind::Output { .. } | PartKind::Source { switched: true, .. } => true,
                PartKind::Contact { driver, .. } => *driver == Driver::StateOnly,
                _ => false,
            };
            needs && !told.contains(&part.id)
        })
        .map(|part| part.id)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        model::{ContactForm, PartSetting, SwitchPosition},
        testing::Bench,
    };

    struct Relay {
        bench: Bench,
        state: Id<State>,
        coil: Id<Part>,
        contact: Id<Part>,
    }

    fn relay() -> Relay {
        let mut bench = Bench::new();
        let state = bench.state("KEY");
        let coil = bench.part("K1 coil", Bench::coil(85.0, 9.0), &["PB key", "PB case"]);
        let contact = bench.part(
            "K1 contact",
            Bench::contact(ContactForm::NormallyOpen, Driver::Coil { part: coil }),
            &["PB stud", "PB rail"],
        );
        Relay {
            bench,
            state,
            coil,
            contact,
        }
    }

    fn stands(bench: &Bench, state: Id<State>) -> Stands {
        let book = bench.book();
        Stands::of(&book, book.get(state).unwrap())
    }

    #[test]
    fn a_contact_takes_its_own_position_then_its_coils_then_follows() {
        let mut relay = relay();
        let get = |relay: &Relay| stands(&relay.bench, relay.state).get(relay.contact);
        assert_eq!(get(&relay), Stand::Follows(relay.coil));
        let (coil, contact) = (relay.coil, relay.contact);
        let told = |part, position| PartSetting {
            part,
            position,
            assumed: false,
        };
        relay.bench.edit(relay.state, |s: &mut State| {
            s.parts.push(told(coil, PartPosition::Starting));
        });
        assert_eq!(get(&relay), Stand::Given(PartPosition::On));
        relay.bench.edit(relay.state, |s: &mut State| {
            s.parts.push(told(contact, PartPosition::Off));
        });
        assert_eq!(get(&relay), Stand::Given(PartPosition::Off));
    }

    #[test]
    fn a_switch_contact_follows_its_switch_and_rests_where_nobody_names_it() {
        let mut bench = Bench::new();
        let (state, switch) = (
            bench.state("DRIVE"),
            bench.switch("selector", &["neutral", "forward"]),
        );
        let driver = Driver::Switch {
            switch,
            operated_in: vec!["forward".to_owned()],
        };
        let contact = bench.part(
            "forward",
            Bench::contact(ContactForm::NormallyOpen, driver),
            &["DI-A4", "DI-A5"],
        );
        assert_eq!(
            stands(&bench, state).get(contact),
            Stand::Given(PartPosition::Off)
        );
        bench.edit(state, |s: &mut State| {
            s.switches.push(SwitchPosition {
                switch,
                position: "forward".to_owned(),
            });
        });
        assert_eq!(stands(&bench, state).get(contact), Stand::Given(PartPosition::On));
    }

    #[test]
    fn an_output_that_no_state_names_is_reported() {
        let mut bench = Bench::new();
        let state = bench.state("DRIVE");
        let out = bench.part("OUT5", Bench::low_side(0.05), &["MC-A26", "MC-A4"]);
        assert_eq!(stands(&bench, state).get(out), Stand::Unknown);
        assert_eq!(never_told(&bench.book()), [out]);
        bench.set(state, out, PartPosition::On);
        assert_eq!(never_told(&bench.book()), []);
    }
}
