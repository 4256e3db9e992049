use super::root::falling_root;
use super::wire::WireHeat;

/// Copper melts here; no balance above it is one.
const COPPER_MELTS_C: f64 = 1083.0;

/// Where the temperature of a wire ends at a current that stays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Steady {
    /// Heat made and heat given off come into balance.
    Settles {
        /// Conductor in °C.
        conductor_c: f64,
        /// Outside of the insulation in °C.
        surface_c: f64,
    },
    /// No balance below the melting point of copper: the rising resistance makes heat faster than it can leave.
    Melts,
}

impl Steady {
    /// Conductor in °C; infinite where there is no balance.
    pub fn conductor_c(&self) -> f64 {
        match self {
            Self::Settles { conductor_c, .. } => *conductor_c,
            Self::Melts => f64::INFINITY,
        }
    }
}

impl WireHeat {
    /// Where the wire settles at this current, in A. In a bundle: the free-air temperature at current ÷ factor.
    pub fn steady(&self, current_a: f64) -> Steady {
        let alone_a = current_a.abs() / self.bundle_factor;
        let per_k = alone_a * alone_a * self.ohm_per_m_k();
        // With T_conductor = T_surface + q·R the balance is: per_k·(234.5 + T_surface) = q·(1 − per_k·R).
        let left = 1.0 - per_k * self.insulation_k_m_per_w();
        let surplus = |surface_c: f64| per_k * (234.5 + surface_c) - self.loss_w_per_m(surface_c) * left;
        // Written so that figures that are no numbers end here too.
        let balances = left > 0.0 && surplus(COPPER_MELTS_C) < 0.0;
        if !balances {
            return Steady::Melts;
        }
        let surface_c = falling_root(self.ambient_c, COPPER_MELTS_C, 1e-6, surplus);
        let conductor_c = surface_c + self.loss_w_per_m(surface_c) * self.insulation_k_m_per_w();
        if conductor_c < COPPER_MELTS_C {
            Steady::Settles {
                conductor_c,
                surface_c,
            }
        } else {
            Steady::Melts
        }
    }

    /// The current in A that brings the conductor to this temperature for ever; 0 if the air is already as warm.
    pub fn allowed_current_a(&self, conductor_c: f64) -> f64 {
        let through = self.insulation_k_m_per_w();
        let rest = |surface_c: f64| conductor_c - surface_c - self.loss_w_per_m(surface_c) * through;
        let warmer = conductor_c > self.ambient_c;
        if !warmer {
            return 0.0;
        }
        let surface_c = falling_root(self.ambient_c, conductor_c, 1e-6, rest);
        let heat_w_per_m = (conductor_c - surface_c) / through;
        self.bundle_factor * (heat_w_per_m / (self.ohm_per_m_k() * (234.5 + conductor_c))).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::ConductorTable;
    use crate::heat::ThermalWire;
    use crate::tables::insulation::insulations;
    use proptest::prelude::*;

    fn wire(size: &str, ambient_c: f64, bundle_factor: f64) -> WireHeat {
        let pvc = &insulations()[0];
        let size = size.parse().unwrap();
        ThermalWire::from_tables(&size, ConductorTable::Iso6722, pvc, ambient_c, bundle_factor).heat
    }

    /// I²·R at the conductor temperature equals what leaves the surface.
    #[test]
    fn heat_made_equals_heat_given_off() {
        let wire = wire("1.5", 40.0, 1.0);
        let Steady::Settles {
            conductor_c,
            surface_c,
        } = wire.steady(20.0)
        else {
            panic!("settles")
        };
        let made = 20.0 * 20.0 * 0.0127 * (234.5 + conductor_c) / 254.5;
        assert!((made - wire.loss_w_per_m(surface_c)).abs() < 1e-4 * made);
        assert!(conductor_c > surface_c && surface_c > 40.0);
    }

    #[test]
    fn far_too_much_current_is_reported_as_melting() {
        let thin = wire("0.35", 40.0, 1.0);
        assert_eq!(thin.steady(1000.0), Steady::Melts);
        assert_eq!(thin.steady(60.0), Steady::Melts);
        assert_eq!(thin.steady(f64::NAN), Steady::Melts);
        assert_eq!(thin.steady(60.0).conductor_c(), f64::INFINITY);
    }

    #[test]
    fn no_current_leaves_the_wire_at_ambient() {
        assert!((wire("2.5", 45.0, 0.7).steady(0.0).conductor_c() - 45.0).abs() < 1e-5);
        assert_eq!(wire("2.5", 110.0, 0.7).allowed_current_a(105.0), 0.0);
    }

    /// A factor's meaning: the bundled wire at I is as warm as the lone wire at I ÷ factor.
    #[test]
    fn in_a_bundle_a_wire_is_as_warm_as_alone_at_more_current() {
        let bundled = wire("1", 60.0, 0.5).steady(5.0).conductor_c();
        let alone = wire("1", 60.0, 1.0).steady(10.0).conductor_c();
        assert!((bundled - alone).abs() < 1e-6);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn the_allowed_current_leads_to_the_temperature_it_is_for(
            at in 0_usize..26, rise in 5.0_f64..120.0, ambient in -20.0_f64..90.0, factor in 0.3_f64..1.0,
        ) {
            let size = crate::tables::conductors::iso6722()[at].size_mm2;
            let wire = wire(&format!("{size} mm2"), ambient, factor);
            let current = wire.allowed_current_a(ambient + rise);
            prop_assert!((wire.steady(current).conductor_c() - ambient - rise).abs() < 1e-3);
            prop_assert!(wire.steady(current * 1.01).conductor_c() > ambient + rise);
        }
    }
}
