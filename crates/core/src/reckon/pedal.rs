//! One pedal track: rest, full, dead bands and fault limits. All figures here are common practice, no source.

use super::FaultWindow;

/// Dead band above rest, as a share of the travel: 3 to 8 % is usual, for drift, cold and the mat.
pub const DEAD_LOW_SHARE: f64 = 0.05;
/// Dead band below full, as a share of the travel: 2 to 5 % is usual.
pub const DEAD_HIGH_SHARE: f64 = 0.04;
/// Fault limits lie so far outside of what is measured, V: 0.2 to 0.3 is usual.
pub const FAULT_MARGIN_V: f64 = 0.25;
/// Rest and full closer than this are no pedal, V.
pub const LEAST_SPAN_V: f64 = 1.5;

/// A track as measured at the unit's own cavity, and the bands that are wished.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pedal {
    /// Read with the foot off, V.
    pub rest_v: f64,
    /// Read fully pressed, V. Below rest: an inverse track.
    pub full_v: f64,
    /// Dead band above rest, a share of the travel.
    pub dead_low: f64,
    /// Dead band below full, a share of the travel.
    pub dead_high: f64,
}

/// Why limits on a side cannot do their work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowTrouble {
    /// The low limit lies at or above the lowest voltage of the travel: the pedal itself is taken for broken.
    LowInside,
    /// The high limit lies at or below the highest voltage of the travel.
    HighInside,
    /// The low limit is at or below 0 V: nothing is ever below it.
    LowUseless,
    /// The high limit is at or above the sensor's supply: nothing is ever above it.
    HighUseless,
}

impl Pedal {
    /// Full less rest, V; negative for an inverse track.
    pub fn span_v(&self) -> f64 {
        self.full_v - self.rest_v
    }

    /// Lowest and highest voltage of the travel.
    pub fn ends_v(&self) -> (f64, f64) {
        (self.rest_v.min(self.full_v), self.rest_v.max(self.full_v))
    }

    /// Whether rest and full are far enough apart to tell them for sure.
    pub fn is_wide_enough(&self) -> bool {
        self.span_v().abs() >= LEAST_SPAN_V
    }

    /// Demand begins here, V.
    pub fn starts_v(&self) -> f64 {
        self.rest_v + self.dead_low * self.span_v()
    }

    /// Demand is full from here, V.
    pub fn ends_at_v(&self) -> f64 {
        self.full_v - self.dead_high * self.span_v()
    }

    /// Fault limits so far outside of the travel, V.
    pub fn window(&self, margin_v: f64) -> FaultWindow {
        let (low_v, high_v) = self.ends_v();
        FaultWindow {
            low_v: Some(low_v - margin_v),
            high_v: Some(high_v + margin_v),
        }
    }

    /// What is wrong with these fault limits on a sensor fed with so many volts.
    pub fn troubles(&self, window: &FaultWindow, supply_v: f64) -> Vec<WindowTrouble> {
        let (low_v, high_v) = self.ends_v();
        let mut all = Vec::new();
        if let Some(limit_v) = window.low_v {
            if limit_v >= low_v {
                all.push(WindowTrouble::LowInside);
            }
            if limit_v <= 0.0 {
                all.push(WindowTrouble::LowUseless);
            }
        }
        if let Some(limit_v) = window.high_v {
            if limit_v <= high_v {
                all.push(WindowTrouble::HighInside);
            }
            if limit_v >= supply_v {
                all.push(WindowTrouble::HighUseless);
            }
        }
        all
    }
}

/// Demand at a voltage, 0 to 1, dead bands taken out; none where the bands leave nothing between them.
pub fn demand(pedal: &Pedal, volts: f64) -> Option<f64> {
    let (from, to) = (pedal.starts_v(), pedal.ends_at_v());
    let left = (to - from) / pedal.span_v();
    (left.is_finite() && left > 0.0).then(|| ((volts - from) / (to - from)).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TRACK: Pedal = Pedal {
        rest_v: 0.75,
        full_v: 4.25,
        dead_low: 0.05,
        dead_high: 0.04,
    };

    /// By hand: 0.75 + 5 % of 3.5 V = 0.925 V; 4.25 − 4 % of 3.5 V = 4.11 V; limits 0.5 and 4.5 V.
    #[test]
    fn bands_and_limits_by_hand() {
        assert!((TRACK.starts_v() - 0.925).abs() < 1e-12);
        assert!((TRACK.ends_at_v() - 4.11).abs() < 1e-12);
        let window = TRACK.window(FAULT_MARGIN_V);
        assert_eq!((window.low_v, window.high_v), (Some(0.5), Some(4.5)));
        assert_eq!(TRACK.troubles(&window, 5.0), []);
        // Half of what the bands leave: (2.5175 − 0.925)/3.185.
        assert!((demand(&TRACK, 2.5175).unwrap() - 0.5).abs() < 1e-12);
        assert_eq!(demand(&TRACK, 0.8), Some(0.0));
        assert_eq!(demand(&TRACK, 4.2), Some(1.0));
    }

    #[test]
    fn limits_that_do_nothing_or_too_much_are_told() {
        let window = |low, high| FaultWindow {
            low_v: Some(low),
            high_v: Some(high),
        };
        assert_eq!(
            TRACK.troubles(&window(0.8, 5.0), 5.0),
            [WindowTrouble::LowInside, WindowTrouble::HighUseless]
        );
        assert_eq!(
            TRACK.troubles(&window(0.0, 4.0), 5.0),
            [WindowTrouble::LowUseless, WindowTrouble::HighInside]
        );
        assert_eq!(TRACK.troubles(&FaultWindow::default(), 5.0), []);
    }

    /// A half-slope track: 0.38 to 2.12 V is wide enough, 0.3 to 1.7 V is not.
    #[test]
    fn rest_and_full_must_be_apart() {
        let track = |rest_v, full_v| Pedal {
            rest_v,
            full_v,
            ..TRACK
        };
        assert!(track(0.38, 2.12).is_wide_enough());
        assert!(track(2.12, 0.38).is_wide_enough());
        assert!(!track(0.3, 1.7).is_wide_enough());
    }

    #[test]
    fn bands_that_leave_nothing_give_no_demand() {
        let none = Pedal {
            dead_low: 0.6,
            dead_high: 0.4,
            ..TRACK
        };
        assert_eq!(demand(&none, 2.0), None);
        let flat = Pedal {
            full_v: 0.75,
            ..TRACK
        };
        assert_eq!(demand(&flat, 0.75), None);
    }

    proptest! {
        /// A mirrored track gives the mirrored demand, and demand never falls while the pedal goes down.
        #[test]
        fn an_inverse_track_mirrors(rest in 0.1..2.0_f64, span in 1.5..3.0_f64, low in 0.0..0.3_f64, high in 0.0..0.3_f64, at in 0.0..1.0_f64, on in 0.0..0.2_f64) {
            let plain = Pedal { rest_v: rest, full_v: rest + span, dead_low: low, dead_high: high };
            let inverse = Pedal { rest_v: 5.0 - rest, full_v: 5.0 - rest - span, ..plain };
            let volts = rest + at * span;
            let (a, b) = (demand(&plain, volts).unwrap(), demand(&inverse, 5.0 - volts).unwrap());
            prop_assert!((a - b).abs() < 1e-9);
            prop_assert!(demand(&plain, volts + on).unwrap() >= a);
        }
    }
}
