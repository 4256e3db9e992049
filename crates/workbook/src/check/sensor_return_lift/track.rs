//! Tracks: a sensor or potentiometer, the input that reads it, and the two returns that should be one.

use crate::{
    analysis::{Snapshot, StateResult},
    circuit::Node,
    model::{Cavity, End, Id, Part, PartKind, SignalKind, Terminal, Unit, Wire},
};

/// A sensor that is fed with less than this is off, V.
const ALIVE_V: f64 = 2.0;

/// A sensor and its reader.
pub(super) struct Track {
    /// The sensor.
    pub part: Id<Part>,
    /// The cavity that reads it.
    pub reader: Id<Cavity>,
    /// The sensor's supply end.
    pub high: Node,
    /// The sensor's return end.
    pub low: Node,
    /// The reader's own return.
    pub reader_return: Node,
    /// Share of its supply at rest, and what full travel adds.
    pub share: (f64, f64),
    /// The wire at the sensor's return and its end there.
    pub return_wire: Option<Id<Wire>>,
    pub return_end: Option<End>,
    /// The wire at the sensor's output.
    pub signal_wire: Option<Id<Wire>>,
}

/// Every track of the book whose reader is known.
pub(super) fn tracks(see: &Snapshot) -> Vec<Track> {
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
                low: low_at,
                reader_return,
                share,
                return_wire,
                return_end: return_wire.and(match low {
                    Terminal::Cavity(id) => Some(End::Cavity(*id)),
                    Terminal::Junction(id) => Some(End::Junction(*id)),
                    Terminal::Inner { .. } => None,
                }),
                signal_wire: wire_at_terminal(see, output),
            });
        }
    }
    all
}

impl Track {
    /// How much the sensor's return stands above its reader's in a state, V; none: the sensor is off there, or floats.
    pub(super) fn lift_v(&self, of: &StateResult) -> Option<f64> {
        of.operated
            .between(self.high, self.low)
            .filter(|v| v.abs() > ALIVE_V)?;
        of.operated.between(self.low, self.reader_return)
    }

    /// What the reader takes for the span from rest to full, V: as its limits state, else as the sensor gives it.
    pub(super) fn span_v(&self, see: &Snapshot) -> Option<f64> {
        let limits = see.book().get(self.reader)?.limits;
        if let (Some(rest), Some(full)) = (limits.rest_v, limits.full_v) {
            return Some((full - rest).abs()).filter(|v| *v > 0.0);
        }
        let supply = see
            .states()
            .iter()
            .filter_map(|of| of.operated.between(self.high, self.low))
            .fold(0.0, |a: f64, v| a.max(v.abs()));
        Some(supply * self.share.1.abs()).filter(|v| *v > 0.0)
    }

    /// How much the reader reads wrong at a travel from 0 to 1, V: the lift counts less the nearer the output is to the
    /// supply, which comes from the reader itself.
    pub(super) fn error_v(&self, lift_v: f64, travel: f64) -> f64 {
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
