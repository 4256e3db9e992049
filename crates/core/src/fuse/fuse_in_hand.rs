use super::band::Band;
use crate::tables::fuses::FuseKind;
use crate::tables::{HowKnown, Source};

/// Rating lost per kelvin above 25 °C, where no data sheet says else.
const RERATE_PER_K: f64 = 0.0015;
const RERATE_SOURCE: Source = Source::fixed(
    "rating falls by 0.15 % per kelvin above 25 °C",
    HowKnown::CommonPractice,
);

/// One fuse as it is fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fuse {
    /// Its kind.
    pub kind: FuseKind,
    /// Rating in A, as printed on it.
    pub rating_a: f64,
    /// Its operating times.
    pub band: Band,
    /// Melting I²t in A²s from its data sheet.
    pub melting_a2s: Option<f64>,
    /// Air around it in °C.
    pub ambient_c: f64,
    /// Share of the rating lost per kelvin above 25 °C; editable.
    pub rerate_per_k: f64,
    /// Where the re-rating comes from.
    pub rerate_source: Source,
}

/// A melting I²t, and which one it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Melting {
    /// In A²s.
    pub a2s: f64,
    /// From the fuse's own data; else from the lower edge of its kind's band, which is on the safe side.
    pub own_data: bool,
    /// Where it comes from.
    pub source: Source,
}

impl Fuse {
    /// A fuse of a kind with everything but the rating from the tables.
    pub fn of(kind: FuseKind, rating_a: f64, ambient_c: f64) -> Self {
        Self {
            kind,
            rating_a,
            band: Band::of(kind),
            melting_a2s: None,
            ambient_c,
            rerate_per_k: RERATE_PER_K,
            rerate_source: RERATE_SOURCE,
        }
    }

    /// Rating in A in the warmth around it; never above the printed one.
    pub fn rerated_a(&self) -> f64 {
        self.rating_a * (1.0 - self.rerate_per_k * (self.ambient_c - 25.0)).clamp(0.0, 1.0)
    }

    /// Its melting I²t: its own, or the least that its band allows.
    pub fn melting(&self) -> Melting {
        match self.melting_a2s {
            Some(a2s) => Melting {
                a2s,
                own_data: true,
                source: Source::fixed("melting I²t of the fuse in hand", HowKnown::DataSheet),
            },
            None => Melting {
                a2s: self.band.least_melting() * self.rating_a * self.rating_a,
                own_data: false,
                source: Source::fixed("lower edge of the fuse kind's band", HowKnown::Memory),
            },
        }
    }

    /// Seconds for which it certainly carries a current in A.
    pub fn shortest_s(&self, current_a: f64) -> f64 {
        self.band.shortest_s(current_a / self.rating_a)
    }

    /// Seconds after which it has certainly opened at a current in A; infinite where no opening is promised.
    pub fn longest_s(&self, current_a: f64) -> f64 {
        self.band.longest_s(current_a / self.rating_a)
    }

    /// The current in A from which on an opening is promised; just below it may flow for ever.
    pub fn opens_from_a(&self) -> f64 {
        self.rating_a * self.band.opens_from()
    }

    /// Whether rating and ambient are figures that can be reckoned with.
    pub fn is_sound(&self) -> bool {
        self.rating_a.is_finite() && self.rating_a > 0.0 && self.ambient_c.is_finite()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn warm_air_takes_from_the_rating_and_cold_air_adds_nothing() {
        let rerated = |ambient| Fuse::of(FuseKind::Blade, 10.0, ambient).rerated_a();
        assert!((rerated(65.0) - 9.4).abs() < 1e-9);
        assert_eq!(rerated(25.0), 10.0);
        assert_eq!(rerated(-20.0), 10.0);
    }
}
