use crate::heat::{Bears, LIMIT_RULES, Limits, ThermalWire, WireHeat, WireState};
use crate::tables::Source;

/// A wire that one fuse protects, down to the next fuse.
#[derive(Debug, Clone, PartialEq)]
pub struct WireBelow {
    /// What decides its temperature.
    pub heat: WireHeat,
    /// What it bears.
    pub limits: Limits,
    /// What the two rest on.
    pub basis: Vec<Source>,
    /// Current in A that flows all the time, from which a fault starts.
    pub running_a: f64,
    /// Something downstream can really draw more than its share: a motor, lamps, a socket, a splice with loads.
    pub can_draw_overload: bool,
    /// The load or source behind it never lets more than this flow, in A.
    pub current_limited_a: Option<f64>,
    /// Current in A when its far end touches the return, source and loop hot. None: not known.
    pub far_end_fault_a: Option<f64>,
}

impl WireBelow {
    /// A wire with the usual limits of its insulation, nothing known of its loads.
    pub fn new(wire: ThermalWire, running_a: f64) -> Self {
        let mut basis = wire.basis;
        basis.push(LIMIT_RULES);
        Self {
            heat: wire.heat,
            limits: Limits::of(&wire.heat.insulation),
            basis,
            running_a,
            can_draw_overload: false,
            current_limited_a: None,
            far_end_fault_a: None,
        }
    }

    /// The state in which a fault finds it. A running current without balance leaves it at its class at the least: the
    /// overload verdict says the rest.
    pub(super) fn state_before(&self) -> WireState {
        self.heat.running_state(self.running_a).unwrap_or(WireState {
            conductor_c: self.limits.class_c.max(self.heat.ambient_c),
            insulation_c: self.limits.class_c.max(self.heat.ambient_c),
        })
    }

    /// How long it bears a current in A, from the state in which a fault finds it.
    pub fn bears(&self, current_a: f64) -> Bears {
        self.heat.bears(current_a, self.state_before(), &self.limits)
    }

    /// Whether its figures can be reckoned with.
    pub(super) fn is_sound(&self) -> bool {
        self.heat.is_sound() && self.running_a.is_finite()
    }
}
