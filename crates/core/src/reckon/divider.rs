/// Two resistors between a voltage and ground, and what hangs on their middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Divider {
    /// From the voltage to the middle, Ω.
    pub upper_ohm: f64,
    /// From the middle to ground, Ω.
    pub lower_ohm: f64,
    /// What hangs on the middle to ground, Ω; infinite: nothing.
    pub load_ohm: f64,
}

impl Divider {
    /// The lower resistor with the load beside it, Ω.
    pub fn below_ohm(&self) -> f64 {
        1.0 / (1.0 / self.lower_ohm + 1.0 / self.load_ohm)
    }

    /// The middle over the input.
    pub fn share(&self) -> f64 {
        let below = self.below_ohm();
        below / (self.upper_ohm + below)
    }

    /// What the middle looks like from the load: both resistors side by side, Ω.
    pub fn source_ohm(&self) -> f64 {
        1.0 / (1.0 / self.upper_ohm + 1.0 / self.lower_ohm)
    }

    /// What it draws at an input voltage, A.
    pub fn draws_a(&self, input_v: f64) -> f64 {
        input_v / (self.upper_ohm + self.below_ohm())
    }

    /// Heat in the upper and in the lower resistor at an input voltage, W.
    pub fn heat_w(&self, input_v: f64) -> (f64, f64) {
        let middle_v = input_v * self.share();
        let upper_v = input_v - middle_v;
        (
            upper_v * upper_v / self.upper_ohm,
            middle_v * middle_v / self.lower_ohm,
        )
    }

    /// The upper resistor that gives this share with the lower one and the load at hand, Ω.
    pub fn upper_for(&self, share: f64) -> Option<f64> {
        let ohm = self.below_ohm() * (1.0 - share) / share;
        (share > 0.0 && share < 1.0 && ohm.is_finite()).then_some(ohm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::signal::loaded_share;
    use proptest::prelude::*;

    /// By hand: 15 kΩ over 10 kΩ is 0.4; with 40 kΩ beside the lower one 8 kΩ, hence 8/23.
    #[test]
    fn unloaded_and_loaded_by_hand() {
        let free = Divider {
            upper_ohm: 15e3,
            lower_ohm: 10e3,
            load_ohm: f64::INFINITY,
        };
        assert!((free.share() - 0.4).abs() < 1e-12);
        assert!((free.source_ohm() - 6e3).abs() < 1e-9);
        let loaded = Divider {
            load_ohm: 40e3,
            ..free
        };
        assert!((loaded.share() - 8.0 / 23.0).abs() < 1e-12);
        // 12.5 V: 0.5 mA, 7.5 V over the upper one, 3.75 mW.
        let (upper_w, lower_w) = free.heat_w(12.5);
        assert!((free.draws_a(12.5) - 0.5e-3).abs() < 1e-12);
        assert!((upper_w - 3.75e-3).abs() < 1e-12 && (lower_w - 2.5e-3).abs() < 1e-12);
    }

    proptest! {
        /// A potentiometer is a divider whose two parts make up its track.
        #[test]
        fn a_potentiometer_is_a_divider(track in 100.0..1e5_f64, load in 1e3..1e7_f64, at in 0.01..0.99_f64) {
            let divider = Divider { upper_ohm: (1.0 - at) * track, lower_ohm: at * track, load_ohm: load };
            prop_assert!((divider.share() - loaded_share(at, track, load)).abs() < 1e-12);
        }

        /// The resistor that is proposed gives the share that was asked for.
        #[test]
        fn the_proposed_resistor_gives_the_share(lower in 100.0..1e5_f64, load in 1e3..1e7_f64, share in 0.05..0.95_f64) {
            let divider = Divider { upper_ohm: 1.0, lower_ohm: lower, load_ohm: load };
            let upper_ohm = divider.upper_for(share).unwrap();
            let proposed = Divider { upper_ohm, ..divider };
            prop_assert!((proposed.share() - share).abs() < 1e-9);
        }
    }
}
