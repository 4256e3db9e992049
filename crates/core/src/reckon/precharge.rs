//! Charging a capacitance through a resistor: arithmetic only. Above 60 V DC this program computes no wiring; traction
//! work is for those licensed for it.

/// Above this many volts DC nothing of the wiring is computed.
pub const MOST_COMPUTED_V: f64 = 60.0;

/// A resistor and the capacitance it fills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Precharge {
    /// Resistor, Ω.
    pub ohm: f64,
    /// Capacitance, F.
    pub farad: f64,
}

impl Precharge {
    /// R·C, s.
    pub fn time_constant_s(&self) -> f64 {
        self.ohm * self.farad
    }

    /// Time to a share of the source's voltage, s: −ln(1 − share)·R·C. None for a share that is never reached.
    pub fn takes_s(&self, share: f64) -> Option<f64> {
        (0.0..1.0)
            .contains(&share)
            .then(|| -(1.0 - share).ln() * self.time_constant_s())
    }

    /// Share of the source's voltage after a time: 1 − e^(−t/RC).
    pub fn share_after(&self, time_s: f64) -> f64 {
        -(-time_s / self.time_constant_s()).exp_m1()
    }

    /// What is stored at a voltage, J: ½·C·V². A whole charge from nothing leaves as much as heat in the resistor.
    pub fn energy_j(&self, volts: f64) -> f64 {
        0.5 * self.farad * volts * volts
    }

    /// The resistor's current and heat at the first moment, A and W.
    pub fn first_moment(&self, volts: f64) -> (f64, f64) {
        let current_a = volts / self.ohm;
        (current_a, volts * current_a)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const SLOW: Precharge = Precharge {
        ohm: 750.0,
        farad: 7e-3,
    };

    /// 7 mF behind 750 Ω, as met in public material: 5·R·C is 26.25 s ("about 27 s"), and 144 V closed after 1·R·C
    /// leave e⁻¹·144 = 53 V across the contacts.
    #[test]
    fn seven_millifarads_behind_750_ohm() {
        assert!((5.0 * SLOW.time_constant_s() - 26.25).abs() < 1e-9);
        let left_v = 144.0 * (1.0 - SLOW.share_after(SLOW.time_constant_s()));
        assert!((left_v - 52.97).abs() < 0.01);
        assert!(
            (SLOW.takes_s(0.95).unwrap() - 15.73).abs() < 0.01,
            "ln 20 = 2.996"
        );
    }

    /// By hand: ½ · 1 mF · 48² = 1.152 J; 48 V over 100 Ω: 0.48 A, 23.04 W.
    #[test]
    fn energy_and_first_moment_by_hand() {
        let small = Precharge {
            ohm: 100.0,
            farad: 1e-3,
        };
        assert!((small.energy_j(48.0) - 1.152).abs() < 1e-12);
        let (current_a, heat_w) = small.first_moment(48.0);
        assert!((current_a - 0.48).abs() < 1e-12 && (heat_w - 23.04).abs() < 1e-9);
    }

    #[test]
    fn the_whole_voltage_is_never_reached() {
        assert_eq!(SLOW.takes_s(1.0), None);
        assert_eq!(SLOW.takes_s(f64::NAN), None);
        assert_eq!(SLOW.takes_s(0.0), Some(0.0));
    }

    proptest! {
        /// Time to a share and share after a time undo each other.
        #[test]
        fn time_and_share_undo_each_other(ohm in 1.0..1e4_f64, farad in 1e-6..1e-1_f64, share in 0.0..0.999_f64) {
            let charge = Precharge { ohm, farad };
            let time_s = charge.takes_s(share).unwrap();
            prop_assert!((charge.share_after(time_s) - share).abs() < 1e-9);
        }

        /// The resistor's heat, summed up over the whole charge, is what is stored in the end.
        #[test]
        fn the_resistor_takes_as_much_as_is_stored(ohm in 1.0..1e3_f64, farad in 1e-5..1e-2_f64, volts in 1.0..60.0_f64) {
            let charge = Precharge { ohm, farad };
            let step = charge.time_constant_s() / 400.0;
            let heat: f64 = (0..8000)
                .map(|n| {
                    let left_v = volts * (1.0 - charge.share_after((f64::from(n) + 0.5) * step));
                    left_v * left_v / ohm * step
                })
                .sum();
            prop_assert!((heat / charge.energy_j(volts) - 1.0).abs() < 1e-4);
        }
    }
}
