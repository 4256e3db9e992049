//! What an input reads with one wire of its sensor off, and whether its unit's fault limits catch it.

/// A sensor with a supply, a return and a signal wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sensor {
    /// A plain resistance with a wiper.
    Potentiometer {
        /// Resistance of the whole track, Ω.
        ohm: f64,
    },
    /// Works by itself (a Hall sensor): what it does without its return is known to its maker only.
    Active,
}

/// A wire of a sensor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SensorWire {
    /// The wiper or output.
    Signal,
    /// The supply.
    Supply,
    /// The return.
    Return,
}

impl SensorWire {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Signal, Self::Supply, Self::Return];

    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Self::Signal => "signal",
            Self::Supply => "supply",
            Self::Return => "return",
        }
    }
}

/// The pull at the input, inside the unit that reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InsidePull {
    /// To ground, over so many Ω.
    Down(f64),
    /// To the sensor's own supply voltage, over so many Ω.
    Up(f64),
}

/// What an input reads with a wire off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OpenReading {
    /// From and to, V, over the travel.
    Range(f64, f64),
    /// Nobody can compute it: an active sensor without its return (4.25 V was met; common practice, no source).
    CannotTell,
}

/// What the input reads with this wire off while the wiper stands anywhere between two places (0 the low end, 1 the
/// high end).
///
/// With its return off a potentiometer is V·Rp/(Rp + (1 − p)·R) on a pull-down; the other cases are its mirror
/// images. An active sensor without its supply is taken to let go of its signal wire.
pub fn open_reading(
    sensor: Sensor,
    supply_v: f64,
    pull: InsidePull,
    off: SensorWire,
    wiper: (f64, f64),
) -> OpenReading {
    let alone_v = match pull {
        InsidePull::Down(_) => 0.0,
        InsidePull::Up(_) => supply_v,
    };
    let let_go = OpenReading::Range(alone_v, alone_v);
    let track_ohm = match sensor {
        Sensor::Active if off == SensorWire::Return => return OpenReading::CannotTell,
        Sensor::Active => return let_go,
        Sensor::Potentiometer { ohm } => ohm,
    };
    let (low, high) = (wiper.0.min(wiper.1), wiper.0.max(wiper.1));
    match (off, pull) {
        (SensorWire::Signal, _)
        | (SensorWire::Supply, InsidePull::Down(_))
        | (SensorWire::Return, InsidePull::Up(_)) => let_go,
        (SensorWire::Return, InsidePull::Down(ohm)) => {
            let reads = |at: f64| supply_v * ohm / (ohm + (1.0 - at) * track_ohm);
            OpenReading::Range(reads(low), reads(high))
        }
        (SensorWire::Supply, InsidePull::Up(ohm)) => {
            let reads = |at: f64| supply_v * at * track_ohm / (ohm + at * track_ohm);
            OpenReading::Range(reads(low), reads(high))
        }
    }
}

/// What a unit takes for a fault: below the low limit, above the high one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FaultWindow {
    /// Low limit, V; none: the unit has none.
    pub low_v: Option<f64>,
    /// High limit, V; none: the unit has none.
    pub high_v: Option<f64>,
}

/// Whether a broken wire is noticed by the fault limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caught {
    /// Whatever the pedal does.
    Yes,
    /// Not at every place of the pedal.
    No,
    /// What is read then is not known, so a limit promises nothing.
    CannotTell,
}

impl FaultWindow {
    /// Whether every voltage that may be read is a fault.
    pub fn catches(&self, reading: OpenReading) -> Caught {
        let OpenReading::Range(least_v, most_v) = reading else {
            return Caught::CannotTell;
        };
        let below = self.low_v.is_some_and(|low| most_v < low);
        let above = self.high_v.is_some_and(|high| least_v > high);
        if below || above { Caught::Yes } else { Caught::No }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const POT: Sensor = Sensor::Potentiometer { ohm: 5000.0 };
    const DOWN: InsidePull = InsidePull::Down(100_000.0);
    const UP: InsidePull = InsidePull::Up(10_000.0);

    fn range(reading: OpenReading) -> (f64, f64) {
        match reading {
            OpenReading::Range(a, b) => (a, b),
            OpenReading::CannotTell => panic!("a range"),
        }
    }

    /// By hand: 5·100/(100 + 0.9·5) = 4.785 V and 5·100/(100 + 0.1·5) = 4.975 V.
    #[test]
    fn a_pot_without_its_return_reads_nearly_the_supply_and_the_high_limit_decides() {
        let reading = open_reading(POT, 5.0, DOWN, SensorWire::Return, (0.1, 0.9));
        let (least, most) = range(reading);
        assert!((least - 4.785).abs() < 5e-4 && (most - 4.975).abs() < 5e-4);
        let window = |high| FaultWindow {
            low_v: Some(0.3),
            high_v: Some(high),
        };
        assert_eq!(window(4.70).catches(reading), Caught::Yes);
        assert_eq!(window(4.80).catches(reading), Caught::No, "not at rest");
        assert_eq!(window(5.00).catches(reading), Caught::No);
    }

    /// By hand, pulled up over 10 kΩ: 5·0.1·5/(10 + 0.5) = 0.238 V at rest, 5·4.5/(10 + 4.5) = 1.552 V at full.
    #[test]
    fn an_input_pulled_up_reads_the_mirror_image() {
        let (least, most) = range(open_reading(POT, 5.0, UP, SensorWire::Supply, (0.1, 0.9)));
        assert!((least - 0.2381).abs() < 1e-4 && (most - 1.5517).abs() < 1e-4);
        assert_eq!(
            open_reading(POT, 5.0, UP, SensorWire::Return, (0.1, 0.9)),
            OpenReading::Range(5.0, 5.0)
        );
        assert_eq!(
            open_reading(POT, 5.0, UP, SensorWire::Signal, (0.1, 0.9)),
            OpenReading::Range(5.0, 5.0)
        );
    }

    /// 4.25 V was met in the field, inside any usual window: no limit may be called a catch.
    #[test]
    fn a_hall_track_without_its_return_is_never_caught_by_a_window() {
        let reading = open_reading(Sensor::Active, 5.0, DOWN, SensorWire::Return, (0.0, 1.0));
        let tight = FaultWindow {
            low_v: Some(4.9),
            high_v: Some(0.1),
        };
        assert_eq!(tight.catches(reading), Caught::CannotTell);
        let supply = open_reading(Sensor::Active, 5.0, DOWN, SensorWire::Supply, (0.0, 1.0));
        let window = FaultWindow {
            low_v: Some(0.3),
            high_v: None,
        };
        assert_eq!(window.catches(supply), Caught::Yes);
        assert_eq!(FaultWindow::default().catches(supply), Caught::No);
    }

    proptest! {
        /// A pull-up is a pull-down seen from the other rail.
        #[test]
        fn up_mirrors_down(ohm in 100.0..1e5_f64, pull in 100.0..1e6_f64, a in 0.0..1.0_f64, b in 0.0..1.0_f64, v in 1.0..12.0_f64) {
            let pot = Sensor::Potentiometer { ohm };
            for (off, mirrored) in [
                (SensorWire::Signal, SensorWire::Signal),
                (SensorWire::Supply, SensorWire::Return),
                (SensorWire::Return, SensorWire::Supply),
            ] {
                let down = range(open_reading(pot, v, InsidePull::Down(pull), off, (a, b)));
                let up = range(open_reading(pot, v, InsidePull::Up(pull), mirrored, (1.0 - a, 1.0 - b)));
                prop_assert!((v - down.0 - up.1).abs() < 1e-9 && (v - down.1 - up.0).abs() < 1e-9);
                prop_assert!(down.0 <= down.1 && down.0 >= 0.0 && down.1 <= v + 1e-12);
            }
        }

        /// A wider window of the unit (a lower high limit, a higher low limit) never loses a catch.
        #[test]
        fn a_narrower_good_range_never_loses_a_catch(low in 0.0..1.0_f64, high in 4.0..5.0_f64, by in 0.0..0.5_f64, a in 0.0..5.0_f64, b in 0.0..5.0_f64) {
            let reading = OpenReading::Range(a.min(b), a.max(b));
            let wide = FaultWindow { low_v: Some(low), high_v: Some(high) };
            let narrow = FaultWindow { low_v: Some(low + by), high_v: Some(high - by) };
            prop_assert!(wide.catches(reading) != Caught::Yes || narrow.catches(reading) == Caught::Yes);
        }
    }
}
