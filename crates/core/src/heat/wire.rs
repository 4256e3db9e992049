use super::convection::{convection_w_per_m, radiation_w_per_m};
use crate::conductor::{ConductorTable, conductor_diameter_mm, least_outside_diameter, ohm_per_m_20};
use crate::quantity::Size;
use crate::tables::Source;
use crate::tables::insulation::InsulationRow;

/// Emissivity of the outside of a wire.
const EMISSIVITY: f64 = 0.9;
/// Heat of copper per volume in J/(K·mm³), such that IEC 60949's K = 226 comes out of 17.241 Ω·mm²/km:
/// K²·ρ20/(β + 20).
const COPPER_HEAT_J_PER_K_MM3: f64 = 226.0 * 226.0 * 1.7241e-5 / 254.5;

/// What the insulation of a wire bears, and how it takes up and passes on heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Insulation {
    /// Conductor temperature that it bears for ever, in °C.
    pub class_c: f64,
    /// Conductor temperature that it bears for less than 5 s, in °C.
    pub short_circuit_c: f64,
    /// Thermal resistivity in K·m/W.
    pub thermal_resistivity_k_m_per_w: f64,
    /// Heat per volume in J/(K·m³).
    pub volumetric_heat_j_per_k_m3: f64,
}

impl From<&InsulationRow> for Insulation {
    fn from(row: &InsulationRow) -> Self {
        Self {
            class_c: row.class_c,
            short_circuit_c: row.short_circuit_c,
            thermal_resistivity_k_m_per_w: row.thermal_resistivity_k_m_per_w,
            volumetric_heat_j_per_k_m3: row.volumetric_heat_j_per_k_m3,
        }
    }
}

/// Everything that decides how warm a metre of wire gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WireHeat {
    /// Nominal area in mm²: the mass of copper.
    pub area_mm2: f64,
    /// Resistance at 20 °C in Ω/m.
    pub ohm_per_m_20: f64,
    /// Outside diameter in mm.
    pub outside_diameter_mm: f64,
    /// The insulation.
    pub insulation: Insulation,
    /// Air around it, in °C.
    pub ambient_c: f64,
    /// Share of the free-air current that it may carry among its loaded neighbours; 1 alone.
    pub bundle_factor: f64,
}

/// A wire's heat figures and what they rest on.
#[derive(Debug, Clone, PartialEq)]
pub struct ThermalWire {
    /// The figures.
    pub heat: WireHeat,
    /// Where they come from; the bundle factor's source is the caller's to add.
    pub basis: Vec<Source>,
}

impl ThermalWire {
    /// Figures of a thin-wall copper wire from the tables: the chosen resistance table, the least outside diameter of
    /// its size, the insulation.
    pub fn from_tables(
        size: &Size,
        table: ConductorTable,
        insulation: &InsulationRow,
        ambient_c: f64,
        bundle_factor: f64,
    ) -> Self {
        let resistance = ohm_per_m_20(size, table);
        let diameter = least_outside_diameter(size);
        Self {
            heat: WireHeat {
                area_mm2: size.area_mm2(),
                ohm_per_m_20: resistance.ohm_per_m,
                outside_diameter_mm: diameter.outside_diameter_mm,
                insulation: insulation.into(),
                ambient_c,
                bundle_factor,
            },
            basis: vec![resistance.source, diameter.source, insulation.source.clone()],
        }
    }
}

impl WireHeat {
    /// Whether every figure is finite and above nought where it must be; nothing can be computed of others.
    pub fn is_sound(&self) -> bool {
        let positive = [
            self.area_mm2,
            self.ohm_per_m_20,
            self.outside_diameter_mm,
            self.insulation.thermal_resistivity_k_m_per_w,
            self.insulation.volumetric_heat_j_per_k_m3,
            self.bundle_factor,
        ];
        let above_absolute_zero = [
            self.ambient_c,
            self.insulation.class_c,
            self.insulation.short_circuit_c,
        ];
        positive.iter().all(|f| f.is_finite() && *f > 0.0)
            && above_absolute_zero.iter().all(|c| c.is_finite() && *c > -200.0)
    }

    /// Heat in W/m that leaves a surface of this temperature in free air.
    pub fn loss_w_per_m(&self, surface_c: f64) -> f64 {
        let diameter_m = self.outside_diameter_mm / 1000.0;
        convection_w_per_m(diameter_m, surface_c, self.ambient_c)
            + radiation_w_per_m(diameter_m, EMISSIVITY, surface_c, self.ambient_c)
    }

    /// Resistance rise per kelvin in Ω/(m·K); the resistance is this × (234.5 + T).
    pub(super) fn ohm_per_m_k(&self) -> f64 {
        self.ohm_per_m_20 / 254.5
    }

    /// The conductor's share of the cross-section; a diameter that leaves no wall is held to a thin one.
    fn conductor_mm(&self) -> f64 {
        conductor_diameter_mm(self.area_mm2).min(0.95 * self.outside_diameter_mm)
    }

    /// Thermal resistance of the insulation in K·m/W.
    pub(super) fn insulation_k_m_per_w(&self) -> f64 {
        let ratio = self.outside_diameter_mm / self.conductor_mm();
        self.insulation.thermal_resistivity_k_m_per_w * ratio.ln() / (2.0 * std::f64::consts::PI)
    }

    /// Heat of a metre of copper in J/(K·m).
    pub(super) fn copper_j_per_k_m(&self) -> f64 {
        COPPER_HEAT_J_PER_K_MM3 * 1000.0 * self.area_mm2
    }

    /// Heat of a metre of insulation in J/(K·m).
    pub(super) fn insulation_j_per_k_m(&self) -> f64 {
        let area_mm2 =
            std::f64::consts::PI / 4.0 * (self.outside_diameter_mm.powi(2) - self.conductor_mm().powi(2));
        area_mm2 * 1e-6 * self.insulation.volumetric_heat_j_per_k_m3
    }
}

/// Share of a published current that is left in a warmer ambient: √((Tmax − Ta)/(Tmax − Tref)); 0 when nothing is
/// left. It supposes losses in proportion to the temperature rise; the computed figures do not need it.
pub fn ambient_factor(class_c: f64, ambient_c: f64, reference_c: f64) -> f64 {
    ((class_c - ambient_c) / (class_c - reference_c)).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::insulation::insulation;

    #[test]
    fn the_basis_names_resistance_diameter_and_insulation() {
        let pvc = insulation("pvc-105").unwrap();
        let wire = ThermalWire::from_tables(&"0.5".parse().unwrap(), ConductorTable::Iso6722, pvc, 40.0, 1.0);
        assert!(wire.heat.is_sound());
        assert_eq!(wire.basis.len(), 3);
        assert_eq!(wire.heat.outside_diameter_mm, 1.4);
    }

    #[test]
    fn a_wire_without_size_is_not_sound() {
        let pvc = insulation("pvc-105").unwrap();
        let mut wire =
            ThermalWire::from_tables(&"0.5".parse().unwrap(), ConductorTable::Iso6722, pvc, 40.0, 1.0).heat;
        wire.bundle_factor = 0.0;
        assert!(!wire.is_sound());
        wire.bundle_factor = f64::NAN;
        assert!(!wire.is_sound());
    }
}
