use super::transient::WireState;
use super::wire::{Insulation, WireHeat};
use crate::tables::{HowKnown, Source};

/// Where the durations and the 50 K come from.
pub const LIMIT_RULES: Source = Source::fixed(
    "wire limits: class for ever, class + 50 K for less than 6 h in a life, short-circuit limit under 5 s",
    HowKnown::Memory,
);

/// Which limit decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LimitUsed {
    /// The class, for ever.
    Class,
    /// Class + 50 K, for less than 6 h in a life.
    Overload,
    /// The insulation's short-circuit limit, under 5 s.
    ShortCircuit,
}

/// How warm the conductor may get, and for how long. Editable: start from [`Limits::of`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// In °C, for ever.
    pub class_c: f64,
    /// In °C, for less than `overload_s` in a life.
    pub overload_c: f64,
    /// In s.
    pub overload_s: f64,
    /// In °C, for less than `short_circuit_s`.
    pub short_circuit_c: f64,
    /// In s.
    pub short_circuit_s: f64,
}

impl Limits {
    /// The usual limits of an insulation. Class + 50 K never exceeds the short-circuit limit.
    pub fn of(insulation: &Insulation) -> Self {
        Self {
            class_c: insulation.class_c,
            overload_c: (insulation.class_c + 50.0).min(insulation.short_circuit_c),
            overload_s: 6.0 * 3600.0,
            short_circuit_c: insulation.short_circuit_c,
            short_circuit_s: 5.0,
        }
    }

    /// All temperatures × a factor: to see what changes when a limit is not quite so.
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            class_c: self.class_c * factor,
            overload_c: self.overload_c * factor,
            short_circuit_c: self.short_circuit_c * factor,
            ..*self
        }
    }

    /// The temperature of a limit, in °C.
    pub const fn temp_c(&self, limit: LimitUsed) -> f64 {
        match limit {
            LimitUsed::Class => self.class_c,
            LimitUsed::Overload => self.overload_c,
            LimitUsed::ShortCircuit => self.short_circuit_c,
        }
    }
}

/// How long a wire bears a current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bears {
    /// In s; infinite if it bears the current for ever.
    pub time_s: f64,
    /// The limit that is reached then.
    pub limit: LimitUsed,
}

impl WireHeat {
    /// How long the wire bears a current in A from this state: the longest of what its limits allow.
    pub fn bears(&self, current_a: f64, from: WireState, limits: &Limits) -> Bears {
        if from.conductor_c <= limits.class_c && self.steady(current_a).conductor_c() <= limits.class_c {
            return Bears {
                time_s: f64::INFINITY,
                limit: LimitUsed::Class,
            };
        }
        let temps = [limits.class_c, limits.overload_c, limits.short_circuit_c];
        let [class, overload, short] = self
            .times_to(current_a, from, temps)
            .map(|t| t.unwrap_or(f64::INFINITY));
        // The class is passed sooner or later here; were it not within a day, that is as good as 6 h.
        let mut longest = Bears {
            time_s: class.min(limits.overload_s),
            limit: LimitUsed::Class,
        };
        let others = [
            Bears {
                time_s: overload.min(limits.overload_s),
                limit: LimitUsed::Overload,
            },
            Bears {
                time_s: short.min(limits.short_circuit_s),
                limit: LimitUsed::ShortCircuit,
            },
        ];
        for bears in others {
            if bears.time_s > longest.time_s {
                longest = bears;
            }
        }
        longest
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::ConductorTable;
    use crate::heat::ThermalWire;
    use crate::tables::insulation::{insulation, insulations};

    fn wire() -> WireHeat {
        let pvc = insulation("pvc-105").unwrap();
        ThermalWire::from_tables(&"1".parse().unwrap(), ConductorTable::Iso6722, pvc, 40.0, 1.0).heat
    }

    #[test]
    fn each_limit_decides_where_it_should() {
        let wire = wire();
        let limits = Limits::of(&wire.insulation);
        let from = WireState {
            conductor_c: 40.0,
            insulation_c: 40.0,
        };
        let at = |current| wire.bears(current, from, &limits);
        let class_a = wire.allowed_current_a(105.0);
        let overload_a = wire.allowed_current_a(155.0);
        assert_eq!(
            at(class_a * 0.99),
            Bears {
                time_s: f64::INFINITY,
                limit: LimitUsed::Class
            }
        );
        assert_eq!(
            at((class_a + overload_a) / 2.0),
            Bears {
                time_s: 21600.0,
                limit: LimitUsed::Overload
            }
        );
        let warm = at(overload_a * 1.1);
        assert!(
            warm.limit == LimitUsed::Overload && warm.time_s > 5.0 && warm.time_s < 3600.0,
            "{warm:?}"
        );
        let fault = at(overload_a * 10.0);
        assert!(
            fault.limit == LimitUsed::ShortCircuit && fault.time_s < 5.0,
            "{fault:?}"
        );
    }

    #[test]
    fn the_overload_limit_never_exceeds_the_short_circuit_limit() {
        for row in insulations() {
            let limits = Limits::of(&row.into());
            assert!(limits.class_c < limits.overload_c && limits.overload_c <= limits.short_circuit_c);
        }
    }

    #[test]
    fn the_time_falls_as_the_current_grows() {
        let wire = wire();
        let limits = Limits::of(&wire.insulation);
        let from = wire.running_state(8.0).unwrap();
        let times: Vec<f64> = (0..60)
            .map(|i| wire.bears(10.0 * 1.08_f64.powi(i), from, &limits).time_s)
            .collect();
        assert!(times.windows(2).all(|p| p[0] >= p[1]), "{times:?}");
    }
}
