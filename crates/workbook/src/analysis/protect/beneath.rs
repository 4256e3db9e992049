//! A fuse and the wires beneath it, in core's terms; as planned, or with other ratings and sizes tried.

use std::collections::HashMap;

use crimpbook_core::{
    fuse::{Fuse as CoreFuse, WireBelow},
    heat::ThermalWire,
    quantity::Size,
    tables::{HowKnown, Source},
};

use super::{FuseAt, FuseZone};
use crate::{
    analysis::{Snapshot, heat},
    circuit::{core_kind, table_of},
    model::{Fuse, Unit, Wire},
};

/// What is tried in place of what is planned.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Trial {
    /// Rating of the fuse, A.
    pub rating_a: Option<f64>,
    /// Sizes of wires by their places, mm².
    pub sizes_mm2: HashMap<usize, f64>,
}

/// A fuse and the wires beneath it.
#[derive(Debug, Clone)]
pub struct Beneath {
    /// The fuse as it is fitted.
    pub fuse: CoreFuse,
    /// The wires whose figures are all told.
    pub wires: Vec<WireBelow>,
    /// Their places among the wiring's wires.
    pub places: Vec<usize>,
    /// Fault current at the fuse, A.
    pub prospective_a: Option<f64>,
}

/// A fuse in core's terms. None: nobody tells the ambient of its holder.
pub fn core_fuse(see: &Snapshot, zone: &FuseZone, fuse: &Fuse) -> Option<CoreFuse> {
    let mut core = CoreFuse::of(
        core_kind(fuse.kind),
        fuse.rating_a,
        holder_ambient_c(see, zone, fuse)?,
    );
    core.melting_a2s = fuse.melting_a2s;
    if let Some(left) = fuse.ambient_factor {
        // The data sheet's share at its place, told as a loss per kelvin.
        core.ambient_c = core.ambient_c.max(26.0);
        core.rerate_per_k = (1.0 - left) / (core.ambient_c - 25.0);
        core.rerate_source = Source::fixed("re-rating with ambient of the fuse in hand", HowKnown::DataSheet);
    }
    Some(core)
}

/// Ambient of a fuse's holder, °C: its own zone, else that of its box or of the wire it is in line with.
fn holder_ambient_c(see: &Snapshot, zone: &FuseZone, fuse: &Fuse) -> Option<f64> {
    let book = see.book();
    let own = fuse.zone.and_then(|z| book.get(z)?.ambient_c);
    own.or_else(|| match zone.at {
        FuseAt::Part(at) => {
            let part = book.get(see.wiring().parts.get(at)?.part)?;
            let unit: &Unit = book.get(part.unit)?;
            book.get(unit.zone?)?.ambient_c
        }
        FuseAt::Wire(at) => see.warmth().wires.get(at)?.ambient_c,
    })
}

/// A fuse with the wires beneath it. None: the ambient of its holder is not told.
pub fn beneath(see: &Snapshot, zone: &FuseZone, trial: &Trial) -> Option<Beneath> {
    let fuse = see.book().get(zone.fuse)?;
    let mut core = core_fuse(see, zone, fuse)?;
    if let Some(rating_a) = trial.rating_a {
        core.rating_a = rating_a;
        core.melting_a2s = core
            .melting_a2s
            .filter(|_| (rating_a - fuse.rating_a).abs() < 1e-9);
    }
    let mut found = Beneath {
        fuse: core,
        wires: Vec::new(),
        places: Vec::new(),
        prospective_a: see.protection().prospective_a(zone),
    };
    for at in &zone.wires {
        if let Some(wire) = wire_below(see, *at, trial.sizes_mm2.get(at).copied()) {
            found.wires.push(wire);
            found.places.push(*at);
        }
    }
    Some(found)
}

/// A wire in core's terms, perhaps of another size. None: its size, class or ambient is not told.
pub fn wire_below(see: &Snapshot, at: usize, size_mm2: Option<f64>) -> Option<WireBelow> {
    let warmth = see.warmth().wires.get(at)?;
    let feed = see.protection().wires.get(at).copied().flatten();
    let ambient_c = warmth.ambient_c?;
    let alone = warmth.alone.as_ref()?;
    let factor = see
        .states()
        .iter()
        .filter_map(|of| of.temperatures.factor.get(at).copied())
        .fold(
            warmth.bundle.and_then(|(_, given)| given).unwrap_or(1.0),
            f64::min,
        );
    let mut thermal: ThermalWire = match size_mm2 {
        None => alone.clone(),
        Some(mm2) => {
            let wire: &Wire = see.book().get(see.wiring().wires.get(at)?.wire)?;
            let row = heat::insulation_row(see.book(), alone.heat.insulation.class_c)?;
            let size = Size::metric(mm2)?;
            let mut thermal =
                ThermalWire::from_tables(&size, table_of(see.book(), wire), row, ambient_c, 1.0);
            thermal.heat.insulation = alone.heat.insulation;
            thermal
        }
    };
    thermal.heat.bundle_factor = factor;
    let running_a = see
        .worst()
        .get(at)
        .and_then(|w| w.current_a)
        .map_or(0.0, |w| w.value);
    // A current that hardly warms the wire is none, so that verdicts on equal wires are one.
    let share = (running_a / (factor * warmth.allowed_alone_a)).powi(2);
    let running_a = if share < heat::COOL_SHARE { 0.0 } else { running_a };
    let mut below = WireBelow::new(thermal, running_a);
    below.can_draw_overload = feed.is_some_and(|f| f.draws);
    below.current_limited_a = feed.and_then(|f| f.limited_a);
    below.far_end_fault_a = see.protection().far_end_fault_a(at);
    Some(below)
}
