//! The wires of a sensor in a book, and what is read with one of them off.

use crimpbook_core::reckon::{InsidePull, OpenReading, Sensor, SensorWire, open_reading};

use super::Track;
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Part, PartKind, PullTo, Terminal, Wire},
    signals::JOINT_OHM,
};

/// The sensor's own wire of this kind.
pub(super) fn wire(track: &Track, off: SensorWire) -> Option<Id<Wire>> {
    match off {
        SensorWire::Signal => track.signal_wire,
        SensorWire::Supply => track.supply_wire,
        SensorWire::Return => track.return_wire,
    }
}

/// What a track's reader reads with this wire off, over the whole travel; else the fact that is missing.
pub(super) fn reading(see: &Snapshot, track: &Track, off: SensorWire) -> Result<OpenReading, String> {
    let cavity = see.book().cavity_name(track.reader);
    let sensor = match see.book().get(track.part).map(|p: &Part| &p.kind) {
        Some(PartKind::Potentiometer { ohm }) => Sensor::Potentiometer { ohm: *ohm },
        _ => Sensor::Active,
    };
    if sensor == Sensor::Active && off == SensorWire::Return {
        return Ok(OpenReading::CannotTell);
    }
    let (to, pull_ohm) = pull(see, track.reader)
        .ok_or_else(|| format!("where {cavity} is pulled inside, and over how many Ω"))?;
    let pull = match to {
        PullTo::Ground => InsidePull::Down(pull_ohm),
        PullTo::FiveVolts => InsidePull::Up(pull_ohm),
        PullTo::Supply | PullTo::Nothing => {
            return Err(format!("what {cavity} reads with nothing on it"));
        }
    };
    let supply_v = track
        .supply_v(see)
        .ok_or_else(|| format!("what feeds the sensor that {cavity} reads"))?;
    Ok(open_reading(sensor, supply_v, pull, off, (0.0, 1.0)))
}

/// Where an input is pulled, and over how many Ω: as its limits say, else by a resistor drawn at it.
fn pull(see: &Snapshot, reader: Id<Cavity>) -> Option<(PullTo, f64)> {
    let book = see.book();
    let stated = book.get(reader).and_then(|c: &Cavity| c.limits.pull);
    let drawn = || {
        let parts = book.index().parts_at.get(&Terminal::Cavity(reader))?;
        parts
            .iter()
            .find_map(|(part, _)| match book.get(*part).map(|p: &Part| &p.kind) {
                Some(PartKind::Resistor { ohm }) if *ohm > JOINT_OHM => Some(*ohm),
                _ => None,
            })
    };
    let stated = stated?;
    if stated.to == PullTo::Nothing {
        return Some((PullTo::Nothing, f64::INFINITY));
    }
    Some((stated.to, stated.ohm.or_else(drawn)?))
}
