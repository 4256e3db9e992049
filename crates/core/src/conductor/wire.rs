use super::resistance::{copper_factor, ideal_ohm_per_m};

/// What a wire's resistance is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct WireOhms {
    /// Area in mm².
    pub area_mm2: f64,
    /// Largest resistance of the conductor at 20 °C, in Ω/m.
    pub ohm_per_m_20: f64,
    /// Length in m.
    pub length_m: f64,
    /// Limits of the contacts and crimps at its ends, in Ω, together.
    pub contacts_ohm: f64,
}

/// Between which readings an ohmmeter should be, its own leads taken away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OhmWindow {
    /// In Ω.
    pub least_ohm: f64,
    /// In Ω.
    pub most_ohm: f64,
}

impl WireOhms {
    /// Resistance in Ω with the conductor at this temperature; the contacts are taken at their limit.
    pub fn at(&self, temp_c: f64) -> f64 {
        self.ohm_per_m_20 * self.length_m * copper_factor(temp_c) + self.contacts_ohm
    }

    /// The window of a good reading in a workshop: length ±5 %, 10 to 40 °C, contacts from nothing to their limit.
    /// The lower end takes solid copper of the nominal area where that is less than the table's largest.
    pub fn window(&self) -> OhmWindow {
        let least_per_m = self.ohm_per_m_20.min(ideal_ohm_per_m(self.area_mm2));
        OhmWindow {
            least_ohm: least_per_m * self.length_m * 0.95 * copper_factor(10.0),
            most_ohm: self.ohm_per_m_20 * self.length_m * 1.05 * copper_factor(40.0) + self.contacts_ohm,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0.5 mm², 2.6 m, 37.1 mΩ/m, two 10 mΩ contacts, by hand: 0.0371·2.6 + 0.020 = 116.5 mΩ at 20 °C.
    #[test]
    fn a_wire_with_its_contacts() {
        let wire = WireOhms {
            area_mm2: 0.5,
            ohm_per_m_20: 0.0371,
            length_m: 2.6,
            contacts_ohm: 0.020,
        };
        assert!((wire.at(20.0) - 0.11646).abs() < 1e-5);
        let window = wire.window();
        // 17.241e-3/0.5·2.6·0.95·244.5/254.5 and 0.0371·2.6·1.05·274.5/254.5 + 0.02
        assert!((window.least_ohm - 0.081824).abs() < 1e-5, "{window:?}");
        assert!((window.most_ohm - 0.129241).abs() < 1e-5, "{window:?}");
    }
}
