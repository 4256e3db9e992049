/// The place between `low` and `high` where a function that is positive at `low` and falls through nought gets there.
/// Regula falsi that halves the weight of an end which stays (Illinois); it cannot leave the bracket, and ends after a
/// fixed number of steps whatever the function gives.
pub(super) fn falling_root(mut low: f64, mut high: f64, within: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut at_low, mut at_high) = (f(low), f(high));
    for step in 0..200 {
        if high - low <= within {
            break;
        }
        let secant = low + (high - low) * at_low / (at_low - at_high);
        // Every fourth step halves the bracket, so that a bent function cannot hold it open.
        let guess = if step % 4 == 3 || !(secant > low && secant < high) {
            (low + high) / 2.0
        } else {
            secant
        };
        let value = f(guess);
        if value.abs() <= f64::MIN_POSITIVE {
            return guess;
        }
        if value > 0.0 {
            low = guess;
            at_low = value;
            at_high /= 2.0;
        } else {
            high = guess;
            at_high = value;
            at_low /= 2.0;
        }
    }
    (low + high) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_roots_of_straight_and_bent_functions() {
        assert!((falling_root(0.0, 10.0, 1e-9, |x| 3.0 - x) - 3.0).abs() < 1e-8);
        assert!((falling_root(0.0, 1e3, 1e-9, |x| 2.0 - x.powi(9)) - 2.0_f64.powf(1.0 / 9.0)).abs() < 1e-8);
        assert!((falling_root(0.0, 1e3, 1e-9, |x| (5.0 - x).cbrt()) - 5.0).abs() < 1e-8);
    }

    #[test]
    fn ends_whatever_the_function_gives() {
        assert!(falling_root(0.0, 1.0, 1e-9, |_| f64::NAN).is_finite());
    }
}
