/// Properties of dry air at one atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Kinematic viscosity in m²/s.
    pub viscosity_m2_per_s: f64,
    /// Thermal conductivity in W/(m·K).
    pub conductivity_w_per_m_k: f64,
    /// Prandtl number.
    pub prandtl: f64,
    /// 1/T for the film temperature in K: how much a kelvin lightens it.
    pub expansion_per_k: f64,
}

/// 0 °C in K.
pub(super) const ZERO_C_IN_K: f64 = 273.15;

impl Air {
    /// Air at this temperature: viscosity and conductivity by Sutherland's formula, density of the ideal gas,
    /// c_p 1007 J/(kg·K).
    pub fn at(temp_c: f64) -> Self {
        let temp_k = temp_c + ZERO_C_IN_K;
        let sutherland = |at_zero: f64, constant_k: f64| {
            let ratio = temp_k / ZERO_C_IN_K;
            at_zero * ratio * ratio.sqrt() * (ZERO_C_IN_K + constant_k) / (temp_k + constant_k)
        };
        let viscosity_pa_s = sutherland(1.716e-5, 110.4);
        let conductivity_w_per_m_k = sutherland(0.0241, 194.0);
        let density = 101_325.0 / (287.05 * temp_k);
        Self {
            viscosity_m2_per_s: viscosity_pa_s / density,
            conductivity_w_per_m_k,
            prandtl: viscosity_pa_s * 1007.0 / conductivity_w_per_m_k,
            expansion_per_k: 1.0 / temp_k,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tabulated for dry air at 1 atm and 300 K in heat transfer textbooks (memory): ν 1.59e-5 m²/s, k 0.0263 W/(m·K),
    /// Pr 0.707; the formulas agree within 1.5 %.
    #[test]
    fn air_at_room_temperature() {
        let air = Air::at(26.85);
        assert!((air.viscosity_m2_per_s / 1.59e-5 - 1.0).abs() < 0.015, "{air:?}");
        assert!(
            (air.conductivity_w_per_m_k / 0.0263 - 1.0).abs() < 0.015,
            "{air:?}"
        );
        assert!((air.prandtl / 0.707 - 1.0).abs() < 0.015, "{air:?}");
    }
}
