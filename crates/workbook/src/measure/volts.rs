//! Volts to expect in a state, from the solution of the whole network over the range of the supply.

use std::collections::HashSet;

use crimpbook_core::network::Potential;

use super::{
    loom::{joined, negative},
    test::{Expected, Known, Listed, Test},
};
use crate::{
    Book,
    analysis::Snapshot,
    circuit::{Operated, Ready, Stands, Trouble, Wiring, operate},
    model::{About, Cavity, Connector, End, Id, Part, PartKind, State, Terminal, TestKind, Unit},
};

/// A battery is read to so much, V; so is the window around what was read. Our own bound.
const READ_V: f64 = 0.1;
/// What a hand meter may be off: V, and share of the reading. Our own bound.
const METER_V: f64 = 0.05;
const METER_SHARE: f64 = 0.005;

/// Units with electronics: their plugs stay off while the loom is powered for the first time.
pub(super) fn electronic(book: &Book) -> HashSet<Id<Unit>> {
    let decides = |part: &&Part| {
        matches!(
            part.kind,
            PartKind::Output { .. }
                | PartKind::Reference { .. }
                | PartKind::Ratiometric { .. }
                | PartKind::Terminator { .. }
                | PartKind::Source { switched: true, .. }
        )
    };
    book.all::<Part>()
        .values()
        .filter(decides)
        .map(|part| part.unit)
        .collect()
}

/// The tests of a state, with the plugs of units with electronics off, or with all plugs on.
pub(super) fn tests(see: &Snapshot, state: Id<State>, kind: TestKind, known: &Known) -> Listed {
    let book = see.book();
    let off = (kind == TestKind::PlugsOff).then(|| electronic(book));
    let solved = Solved::of(see, state, off.as_ref(), known);
    let mut listed = Listed::default();
    for (connector, cavities) in joined(book) {
        if off.as_ref().is_some_and(|off| !off.contains(&connector.unit)) {
            continue;
        }
        for cavity in cavities {
            listed
                .tests
                .push(one(see, state, kind, connector, cavity, &solved));
        }
    }
    listed
}

fn one(
    see: &Snapshot,
    state: Id<State>,
    kind: TestKind,
    connector: &Connector,
    cavity: &Cavity,
    solved: &Result<Solved, String>,
) -> Test {
    let against = ground_of(see, connector.unit, cavity.id);
    let expected = match solved {
        Ok(solved) => solved.expected(cavity.id, against),
        Err(why) => Expected::CannotTell(why.clone()),
    };
    let nets = &see.signals().nets;
    let net = nets.at_cavity(cavity.id).and_then(|net| nets.get(net));
    Test {
        kind,
        at: cavity.id,
        against,
        state: Some(state),
        expected,
        wires: net.map(|net| net.wires.clone()).unwrap_or_default(),
        hint: String::new(),
    }
}

/// Where the second lead goes: the unit's own ground, else battery negative.
pub(crate) fn ground_of(see: &Snapshot, unit: Id<Unit>, at: Id<Cavity>) -> End {
    let fallback = || negative(see.book()).map_or(End::Free, End::Junction);
    match see.wiring().grounds.get(&unit) {
        Some(Terminal::Cavity(id)) if *id != at => End::Cavity(*id),
        Some(Terminal::Junction(id)) => End::Junction(*id),
        _ => fallback(),
    }
}

/// A state solved at some voltages of the supply.
struct Solved {
    wiring: Wiring,
    points: Vec<Operated>,
    plugs_off: bool,
}

impl Solved {
    fn of(
        see: &Snapshot,
        id: Id<State>,
        off: Option<&HashSet<Id<Unit>>>,
        known: &Known,
    ) -> Result<Self, String> {
        let book = see.book();
        let state = book
            .get(id)
            .ok_or_else(|| "the state is not in the workbook any more".to_owned())?;
        let about = book.all::<About>().values().next();
        let supplies = match (known.supply_v, about.map(|a| a.supply)) {
            (Some(read), _) => vec![read - READ_V, read, read + READ_V],
            (None, Some(supply)) => vec![
                supply.least_v,
                state.supply_v.unwrap_or(supply.nominal_v),
                supply.most_v,
            ],
            (None, None) => return Err("missing the supply's range on the workbook's page".to_owned()),
        };
        let mut wiring = see.wiring().clone();
        let mut stands = Stands::of(book, state);
        if let Some(off) = off {
            let unit = |cavity: Id<Cavity>| see.unit_of(cavity);
            wiring
                .contacts
                .retain(|run| unit(run.cavity).is_none_or(|unit| !off.contains(&unit)));
            // What the state tells of a coil is told of it with its driver plugged in.
            stands = stands.freed(book, &HashSet::new());
        }
        let mut ready = Ready::default();
        let solve = |volts| {
            let copper = see.warmth().idle();
            operate(book, &wiring, &stands, volts, &mut ready, copper, |_, _| false)
        };
        let points = supplies
            .into_iter()
            .map(solve)
            .collect::<Result<Vec<Operated>, Trouble>>()
            .map_err(|trouble| format!("is not computed: {}", trouble.words(book)))?;
        if let Some(trouble) = points.iter().flat_map(|p| &p.trouble).next() {
            return Err(format!("is not computed: {}", trouble.words(book)));
        }
        Ok(Self {
            wiring,
            points,
            plugs_off: off.is_some(),
        })
    }

    /// What a meter between a cavity and its ground should show.
    fn expected(&self, at: Id<Cavity>, against: End) -> Expected {
        let nodes = &self.wiring.nodes;
        let node = |cavity: Id<Cavity>| {
            let (unit, wire) = (nodes.unit_side(cavity), nodes.wire_side(cavity));
            if self.plugs_off {
                wire.or(unit)
            } else {
                unit.or(wire)
            }
        };
        let ground = match against {
            End::Cavity(id) => node(id),
            End::Junction(id) => nodes.junction(id),
            End::Free => self.wiring.reference,
        };
        let (Some(at), Some(ground)) = (node(at), ground) else {
            return Expected::Floats;
        };
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut floats = 0;
        for point in &self.points {
            if let Potential::Unsteady { least_v, most_v } = point.volts(at) {
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
}
