/// Output of a loaded potentiometer over its supply: x/(1 + x(1 − x)·Rp/RL), with x the wiper's place from 0 to 1. The
/// load goes from the wiper to the low end; an infinite `load_ohm` is none.
pub fn loaded_share(wiper: f64, track_ohm: f64, load_ohm: f64) -> f64 {
    wiper / (1.0 + wiper * (1.0 - wiper) * track_ohm / load_ohm)
}

/// By how much the loaded output is below the wiper's place, as a share of the supply.
pub fn loading_error(wiper: f64, track_ohm: f64, load_ohm: f64) -> f64 {
    wiper - loaded_share(wiper, track_ohm, load_ohm)
}

/// The wiper's place with the largest loading error, and that error as a share of the supply. Near x = 2/3 and
/// (4/27)·Rp/RL for light loads.
pub fn worst_loading_error(track_ohm: f64, load_ohm: f64) -> (f64, f64) {
    // The error has one top between the ends: narrow it by thirds.
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for _ in 0..80 {
        let third = (high - low) / 3.0;
        let (a, b) = (low + third, high - third);
        if loading_error(a, track_ohm, load_ohm) < loading_error(b, track_ohm, load_ohm) {
            low = a;
        } else {
            high = b;
        }
    }
    let wiper = (low + high) / 2.0;
    (wiper, loading_error(wiper, track_ohm, load_ohm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_and_an_open_load_have_no_error() {
        assert_eq!(loaded_share(0.0, 5e3, 1e5), 0.0);
        assert_eq!(loaded_share(1.0, 5e3, 1e5), 1.0);
        assert_eq!(loaded_share(0.4, 5e3, f64::INFINITY), 0.4);
    }

    /// For a light load x² − x³ is the shape of the error: its top is at 2/3 and 4/27.
    #[test]
    fn a_light_load_errs_most_at_two_thirds() {
        let (wiper, error) = worst_loading_error(1.0, 1e6);
        assert!((wiper - 2.0 / 3.0).abs() < 1e-4);
        assert!((error * 1e6 - 4.0 / 27.0).abs() < 1e-5);
    }
}
