//! Share of regeneration: what the potentiometer says times what the software allows.

/// A regeneration potentiometer and the software's limits, all as shares from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regeneration {
    /// Where the potentiometer stands, as the unit reads it.
    pub dial: f64,
    /// Most on lift-off.
    pub coast_most: f64,
    /// Most on braking.
    pub brake_most: f64,
}

impl Regeneration {
    /// On lift-off.
    pub fn coast(&self) -> f64 {
        self.dial.clamp(0.0, 1.0) * self.coast_most
    }

    /// On braking. Where lift-off alone asks for more, the larger counts (common practice, no source).
    pub fn brake(&self) -> f64 {
        (self.dial.clamp(0.0, 1.0) * self.brake_most).max(self.coast())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 60 % of 18 % is 10.8 %, 60 % of 35 % is 21 %.
    #[test]
    fn the_product_by_hand() {
        let shares = Regeneration {
            dial: 0.6,
            coast_most: 0.18,
            brake_most: 0.35,
        };
        assert!((shares.coast() - 0.108).abs() < 1e-12);
        assert!((shares.brake() - 0.21).abs() < 1e-12);
    }

    #[test]
    fn the_larger_of_both_counts_and_a_dial_past_its_end_is_at_its_end() {
        let shares = Regeneration {
            dial: 1.2,
            coast_most: 0.4,
            brake_most: 0.3,
        };
        assert_eq!((shares.coast(), shares.brake()), (0.4, 0.4));
        let off = Regeneration { dial: -0.1, ..shares };
        assert_eq!((off.coast(), off.brake()), (0.0, 0.0));
    }
}
