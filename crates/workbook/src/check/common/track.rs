//! Tracks: a sensor or potentiometer, the input that reads it, and the two returns that should be one.

use super::words::number;
use crate::{
    analysis::{Snapshot, StateResult},
    check::Mend,
    circuit::Node,
    model::{Cavity, Decision, End, Id, Part, PartKind, SignalKind, Terminal, Unit, Wire},
};

/// A sensor that is fed with less than this is off, V.
const ALIVE_V: f64 = 2.0;

/// A sensor and its reader.
pub struct Track {
    /// The sensor.
    pub part: Id<Part>,
    /// The cavity that reads it.
    pub reader: Id<Cavity>,
    /// The sensor's supply end.
    pub high: Node,
    /// The same, as it is named.
    pub high_end: Terminal,
    /// The sensor's return end.
    pub low: Node,
    /// The same, as it is named.
    pub low_end: Terminal,
    /// The reader's own return.
    pub reader_return: Node,
    /// Share of its supply at rest, and what full travel adds.
    pub share: (f64, f64),
    /// The wire at the sensor's return and its end there.
    pub return_wire: Option<Id<Wire>>,
    pub return_end: Option<End>,
    /// The wire at the sensor's supply.
    pub supply_wire: Option<Id<Wire>>,
    /// The wire at the sensor's output.
    pub signal_wire: Option<Id<Wire>>,
}

/// Every track of the book whose reader is known.
pub fn tracks(see: &Snapshot) -> Vec<Track> {
    let book = see.book();
    let mut all = Vec::new();
    for part in book.all::<Part>().values() {
        let (high, low, output, share) = match (&part.kind, part.ends.as_slice()) {
            (PartKind::Ratiometric { a, b, .. }, [high, low, output]) => (high, low, output, (*a, *b)),
            (PartKind::Potentiometer { .. }, [low, high, output]) => (high, low, output, (0.0, 1.0)),
            _ => continue,
        };
        let nodes = &see.wiring().nodes;
        let (Some(high_at), Some(low_at)) = (nodes.terminal(high), nodes.terminal(low)) else {
            continue;
        };
        for reader in readers(see, output) {
            let Some(unit) = see.unit_of(reader).filter(|unit| *unit != part.unit) else {
                continue;
            };
            let Some(reader_return) = reader_return(see, unit, low) else {
                continue;
            };
            let return_wire = wire_at_terminal(see, low);
            all.push(Track {
                part: part.id,
                reader,
                high: high_at,
                high_end: high.clone(),
                low: low_at,
                low_end: low.clone(),
                reader_return,
                share,
                return_wire,
                return_end: return_wire.and(match low {
                    Terminal::Cavity(id) => Some(End::Cavity(*id)),
                    Terminal::Junction(id) => Some(End::Junction(*id)),
                    Terminal::Inner { .. } => None,
                }),
                supply_wire: wire_at_terminal(see, high),
                signal_wire: wire_at_terminal(see, output),
            });
        }
    }
    all
}

impl Track {
    /// How much the sensor's return stands above its reader's in a state, V; none: the sensor is off there, or floats.
    pub fn lift_v(&self, of: &StateResult) -> Option<f64> {
        of.operated
            .between(self.high, self.low)
            .filter(|v| v.abs() > ALIVE_V)?;
        of.operated.between(self.low, self.reader_return)
    }

    /// Where the wire of the return leads.
    pub fn far_end(&self, see: &Snapshot) -> Option<End> {
        let wire = see.book().get(self.return_wire?)?;
        [wire.from, wire.to]
            .into_iter()
            .find(|end| Some(*end) != self.return_end)
    }

    /// What the reader takes for the span from rest to full, V: as its limits state, else as the sensor gives it.
    pub fn span_v(&self, see: &Snapshot) -> Option<f64> {
        let limits = see.book().get(self.reader)?.limits;
        if let (Some(rest), Some(full)) = (limits.rest_v, limits.full_v) {
            return Some((full - rest).abs()).filter(|v| *v > 0.0);
        }
        Some(self.supply_v(see)? * self.share.1.abs()).filter(|v| *v > 0.0)
    }

    /// What the sensor is fed with, V: the most of all states; none: nothing feeds it in any.
    pub fn supply_v(&self, see: &Snapshot) -> Option<f64> {
        let across = see
            .states()
            .iter()
            .filter_map(|of| of.operated.between(self.high, self.low));
        Some(across.fold(0.0, |a: f64, v| a.max(v.abs()))).filter(|v| *v > ALIVE_V)
    }

    /// How much the reader reads wrong at a travel from 0 to 1, V: the lift counts less the nearer the output is to the
    /// supply, which comes from the reader itself.
    pub fn error_v(&self, lift_v: f64, travel: f64) -> f64 {
        lift_v * (1.0 - (self.share.0 + self.share.1 * travel))
    }
}

/// Analogue inputs on the net of an output.
fn readers(see: &Snapshot, output: &Terminal) -> Vec<Id<Cavity>> {
    let nets = &see.signals().nets;
    let net = nets.at(output).and_then(|id| nets.get(id));
    let reads = |id: &Id<Cavity>| {
        see.book()
            .get(*id)
            .is_some_and(|c| c.kind == Some(SignalKind::AnalogueIn))
    };
    net.map(|net| net.cavities().filter(reads).collect())
        .unwrap_or_default()
}

/// The return a unit reads against: the sensor return that the sensor hangs on, else its first one, else its ground.
fn reader_return(see: &Snapshot, unit: Id<Unit>, low: &Terminal) -> Option<Node> {
    let (book, nodes) = (see.book(), &see.wiring().nodes);
    let index = book.index();
    let mut returns = index
        .connectors_of
        .get(&unit)?
        .iter()
        .filter_map(|connector| index.cavities_of.get(connector))
        .flatten()
        .copied()
        .filter(|id| {
            book.get(*id)
                .is_some_and(|c| c.kind == Some(SignalKind::SensorReturn))
        });
    let nets = &see.signals().nets;
    let own = returns
        .clone()
        .find(|id| nets.at_cavity(*id).is_some() && nets.at_cavity(*id) == nets.at(low));
    own.or_else(|| returns.find(|id| nodes.unit_side(*id).is_some()))
        .and_then(|id| nodes.unit_side(id))
        .or_else(|| see.wiring().ground_of(unit))
}

fn wire_at_terminal(see: &Snapshot, terminal: &Terminal) -> Option<Id<Wire>> {
    let index = see.book().index();
    let wires = match terminal {
        Terminal::Cavity(id) => index.wires_at_cavity.get(id),
        Terminal::Junction(id) => index.wires_at_junction.get(id),
        Terminal::Inner { .. } => None,
    };
    wires?.first().map(|(wire, _)| *wire)
}

/// To the reader's own return, where it has a free one.
pub fn return_mend(see: &Snapshot, track: &Track) -> Mend {
    let book = see.book();
    let unit = see.unit_of(track.reader);
    let free = |c: &&Cavity| {
        c.kind == Some(SignalKind::SensorReturn)
            && matches!(
                c.decision,
                Decision::Blank | Decision::Reserved | Decision::Undecided
            )
            && see.unit_of(c.id) == unit
            && !book.index().wires_at_cavity.contains_key(&c.id)
    };
    let to = book
        .all::<Cavity>()
        .values()
        .find(free)
        .map(|c| book.cavity_name(c.id));
    let wire = track.return_wire.and_then(|id| book.get(id));
    let length = track.signal_wire.and_then(|id| book.get(id)?.length_m);
    let about = length.map_or_else(String::new, |m| format!(", about {} m", number(m)));
    match (wire, to) {
        (Some(wire), Some(to)) => {
            let other = |end: End| {
                if Some(end) == track.return_end {
                    None
                } else {
                    Some(book.end_name(end))
                }
            };
            let from = other(wire.from).or_else(|| other(wire.to)).unwrap_or_default();
            Mend::words(format!(
                "{} to {to}, which is free, instead of {from}{about}",
                wire.label
            ))
        }
        (Some(wire), None) => Mend::words(format!(
            "{} to the sensor return of the unit that reads it",
            wire.label
        )),
        _ => Mend::words("give the sensor a return wire of its own, to the unit that reads it"),
    }
}
