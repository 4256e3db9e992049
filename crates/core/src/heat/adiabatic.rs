use crate::tables::HowKnown;
use crate::tables::Source;
use crate::tables::adiabatic::{MaterialRow, materials};
use std::borrow::Cow;
use std::sync::LazyLock;

static COPPER: LazyLock<MaterialRow> = LazyLock::new(|| {
    materials()
        .iter()
        .find(|m| m.material == "copper")
        .cloned()
        .unwrap_or(MaterialRow {
            material: Cow::Borrowed("copper"),
            k_constant: 226.0,
            beta_c: 234.5,
            source: Source::fixed("IEC 60949 constants table", HowKnown::Memory),
        })
});

/// Copper's constants.
pub fn copper() -> &'static MaterialRow {
    &COPPER
}

/// k in A·√s/mm² between two conductor temperatures in °C: K·√ln((to + β)/(from + β)) (IEC 60949). 0 if it does not
/// get warmer.
pub fn k_factor(material: &MaterialRow, from_c: f64, to_c: f64) -> f64 {
    let ratio = (to_c + material.beta_c) / (from_c + material.beta_c);
    material.k_constant * ratio.ln().max(0.0).sqrt()
}

/// Seconds that a conductor of this area takes from one temperature to the other if no heat leaves it: (k·S/I)²
/// (IEC 60949; good to about 5 s).
pub fn adiabatic_time_s(
    material: &MaterialRow,
    area_mm2: f64,
    current_a: f64,
    from_c: f64,
    to_c: f64,
) -> f64 {
    (k_factor(material, from_c, to_c) * area_mm2 / current_a).powi(2)
}

/// Current in A that warms a conductor of this area from one temperature to the other in so many seconds.
pub fn adiabatic_current_a(
    material: &MaterialRow,
    area_mm2: f64,
    time_s: f64,
    from_c: f64,
    to_c: f64,
) -> f64 {
    k_factor(material, from_c, to_c) * area_mm2 / time_s.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_and_current_are_two_ways_to_say_the_same() {
        let current_a = adiabatic_current_a(copper(), 2.5, 0.3, 70.0, 160.0);
        assert!((adiabatic_time_s(copper(), 2.5, current_a, 70.0, 160.0) - 0.3).abs() < 1e-12);
        assert_eq!(k_factor(copper(), 160.0, 70.0), 0.0);
    }
}
