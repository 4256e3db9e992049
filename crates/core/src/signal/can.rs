/// Resistance of one terminator in Ω (ISO 11898-2).
pub const TERMINATOR_OHM: f64 = 120.0;

/// What a meter should show across the pair with everything unpowered: all terminators in parallel. Infinite without.
pub fn pair_resistance_ohm(terminators_ohm: &[f64]) -> f64 {
    1.0 / terminators_ohm.iter().fold(0.0, |sum, ohm| sum + 1.0 / ohm)
}

/// What a resistance across the pair says of its terminators.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CanStage {
    /// Below 5 Ω: the pair is shorted.
    Shorted,
    /// Below the window of two terminators: a third one, or a wrong one.
    TooMany,
    /// 55 to 65 Ω: two terminators, as it should be.
    Two,
    /// About 120 Ω: one terminator missing.
    OnlyOne,
    /// Above 1 kΩ: none.
    None,
    /// Between those: a wrong terminator or a bad joint.
    Odd,
}

/// Reads a resistance in Ω across the pair, unpowered. Windows as in service literature (55 to 65, 108 to 132 Ω).
pub fn can_stage(pair_ohm: f64) -> CanStage {
    match pair_ohm {
        r if r < 5.0 => CanStage::Shorted,
        r if r < 55.0 => CanStage::TooMany,
        r if r <= 65.0 => CanStage::Two,
        r if (108.0..=132.0).contains(&r) => CanStage::OnlyOne,
        r if r > 1000.0 => CanStage::None,
        _ => CanStage::Odd,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_of_terminators_is_told_apart() {
        let stage = |n: usize| can_stage(pair_resistance_ohm(&vec![TERMINATOR_OHM; n]));
        assert_eq!(
            [0, 1, 2, 3].map(stage),
            [
                CanStage::None,
                CanStage::OnlyOne,
                CanStage::Two,
                CanStage::TooMany
            ]
        );
        assert_eq!(can_stage(1.0), CanStage::Shorted);
        assert_eq!(can_stage(80.0), CanStage::Odd);
    }
}
