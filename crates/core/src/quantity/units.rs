//! The units of each quantity and how they scale to its base unit.

use super::kind::Kind;

/// How a figure in a unit becomes one in the base unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scale {
    /// × 10^n, done on the digits.
    Ten(i32),
    /// × a factor.
    By(f64),
    /// Degrees Fahrenheit to Celsius.
    Fahrenheit,
}

/// One unit: the spellings that are understood.
pub(super) struct Unit {
    pub names: &'static [&'static str],
    pub scale: Scale,
}

/// Everything about one quantity.
pub(super) struct Spec {
    /// As it stands in a sentence after `a`.
    pub what: &'static str,
    pub example: &'static str,
    /// What a list of units looks like in a sentence.
    pub accepted: &'static str,
    pub units: &'static [Unit],
    /// Symbols to print with: symbol, power of ten, from which magnitude on; the first that fits is taken, else the
    /// last. The first is the base unit.
    pub printed: &'static [(&'static str, i32, f64)],
    pub least: f64,
    pub most: f64,
    /// Whether a capital M would mean mega here, so that `m` and `M` may not be mixed up.
    pub mega: bool,
}

const fn ten(names: &'static [&'static str], n: i32) -> Unit {
    Unit {
        names,
        scale: Scale::Ten(n),
    }
}

const fn by(names: &'static [&'static str], factor: f64) -> Unit {
    Unit {
        names,
        scale: Scale::By(factor),
    }
}

pub(super) const FOOT: &[&str] = &["ft", "foot", "feet", "'", "\u{2032}", "\u{2019}"];
pub(super) const INCH: &[&str] = &["in", "inch", "inches", "\"", "\u{2033}", "\u{201d}", "''"];
pub(super) const FOOT_M: f64 = 0.3048;
pub(super) const INCH_M: f64 = 0.0254;

static LENGTH: Spec = Spec {
    what: "length",
    example: "2.4 m",
    accepted: "m, cm, mm, ft or in",
    units: &[
        ten(&["m", "metre", "metres", "meter", "meters"], 0),
        ten(&["cm"], -2),
        ten(&["mm"], -3),
        by(FOOT, FOOT_M),
        by(INCH, INCH_M),
    ],
    printed: &[("m", 0, 0.0)],
    least: 0.0,
    most: 1000.0,
    mega: false,
};

static VOLTAGE: Spec = Spec {
    what: "voltage",
    example: "12.6 V",
    accepted: "V or mV",
    units: &[ten(&["V", "volt", "volts"], 0), ten(&["mV"], -3)],
    printed: &[("V", 0, 0.1), ("mV", -3, 0.0)],
    least: -1000.0,
    most: 1000.0,
    mega: true,
};

static CURRENT: Spec = Spec {
    what: "current",
    example: "0.35 A",
    accepted: "A, mA or µA",
    units: &[
        ten(&["A", "amp", "amps", "ampere", "amperes"], 0),
        ten(&["mA"], -3),
        ten(MICRO_A, -6),
    ],
    printed: &[("A", 0, 0.1), ("mA", -3, 1e-4), ("µA", -6, 0.0)],
    least: -100_000.0,
    most: 100_000.0,
    mega: true,
};
const MICRO_A: &[&str] = &["µA", "\u{3bc}A", "uA"];

static RESISTANCE: Spec = Spec {
    what: "resistance",
    example: "4.7 kΩ",
    accepted: "Ω, mΩ, kΩ or MΩ",
    units: &[
        ten(&["Ω", "\u{2126}", "ohm", "ohms", "R"], 0),
        ten(
            &["mΩ", "m\u{2126}", "mohm", "mohms", "milliohm", "milliohms", "mR"],
            -3,
        ),
        ten(
            &[
                "kΩ",
                "k\u{2126}",
                "kohm",
                "kohms",
                "kiloohm",
                "kiloohms",
                "k",
                "kR",
            ],
            3,
        ),
        ten(
            &[
                "MΩ",
                "M\u{2126}",
                "Mohm",
                "Mohms",
                "megaohm",
                "megaohms",
                "megohm",
                "MR",
            ],
            6,
        ),
    ],
    printed: &[
        ("Ω", 0, f64::INFINITY),
        ("MΩ", 6, 1e6),
        ("kΩ", 3, 1e3),
        ("Ω", 0, 1.0),
        ("mΩ", -3, 0.0),
    ],
    least: 0.0,
    most: 1e12,
    mega: true,
};

static TIME: Spec = Spec {
    what: "time",
    example: "100 ms",
    accepted: "s, ms, µs, min or h",
    units: &[
        ten(&["s", "sec", "second", "seconds"], 0),
        ten(&["ms"], -3),
        ten(&["µs", "\u{3bc}s", "us"], -6),
        by(&["min", "minute", "minutes"], 60.0),
        by(&["h", "hour", "hours"], 3600.0),
    ],
    printed: &[("s", 0, 1.0), ("ms", -3, 1e-3), ("µs", -6, 0.0)],
    least: 0.0,
    most: 1e9,
    mega: false,
};

static TEMPERATURE: Spec = Spec {
    what: "temperature",
    example: "60 °C",
    accepted: "°C or °F",
    units: &[
        ten(&["°C", "C", "degC", "\u{ba}C", "°"], 0),
        Unit {
            names: &["°F", "F", "degF", "\u{ba}F"],
            scale: Scale::Fahrenheit,
        },
    ],
    printed: &[("°C", 0, 0.0)],
    least: -100.0,
    most: 1500.0,
    mega: false,
};

static SHARE: Spec = Spec {
    what: "share",
    example: "75 %",
    accepted: "%",
    units: &[ten(&["%", "percent", "per cent", "pct"], 0)],
    printed: &[("%", 0, 0.0)],
    least: -1000.0,
    most: 1000.0,
    mega: false,
};

static POWER: Spec = Spec {
    what: "power",
    example: "21 W",
    accepted: "W, mW or kW",
    units: &[ten(&["W", "watt", "watts"], 0), ten(&["mW"], -3), ten(&["kW"], 3)],
    printed: &[
        ("W", 0, f64::INFINITY),
        ("kW", 3, 1e3),
        ("W", 0, 1.0),
        ("mW", -3, 0.0),
    ],
    least: 0.0,
    most: 1e6,
    mega: true,
};

static FREQUENCY: Spec = Spec {
    what: "frequency",
    example: "100 Hz",
    accepted: "Hz, kHz or MHz",
    units: &[ten(&["Hz"], 0), ten(&["kHz"], 3), ten(&["MHz"], 6)],
    printed: &[
        ("Hz", 0, f64::INFINITY),
        ("MHz", 6, 1e6),
        ("kHz", 3, 1e3),
        ("Hz", 0, 0.0),
    ],
    least: 0.0,
    most: 1e9,
    mega: true,
};

static FORCE: Spec = Spec {
    what: "force",
    example: "60 N",
    accepted: "N or lbf",
    units: &[
        ten(&["N", "newton", "newtons"], 0),
        by(&["lbf", "lb", "lbs"], 4.448_221_615_260_5),
    ],
    printed: &[("N", 0, 0.0)],
    least: 0.0,
    most: 1e5,
    mega: false,
};

static MELTING: Spec = Spec {
    what: "melting figure",
    example: "340 A²s",
    accepted: "A²s",
    units: &[ten(&["A²s", "A2s", "A^2s", "A²·s"], 0)],
    printed: &[("A²s", 0, 0.0)],
    least: 0.0,
    most: 1e9,
    mega: false,
};

static CAPACITANCE: Spec = Spec {
    what: "capacitance",
    example: "470 µF",
    accepted: "F, mF, µF or nF",
    units: &[
        ten(&["F", "farad", "farads"], 0),
        ten(&["mF"], -3),
        ten(&["µF", "\u{3bc}F", "uF"], -6),
        ten(&["nF"], -9),
    ],
    printed: &[("F", 0, 1.0), ("mF", -3, 1e-3), ("µF", -6, 1e-6), ("nF", -9, 0.0)],
    least: 0.0,
    most: 1000.0,
    mega: true,
};

pub(super) fn spec(kind: Kind) -> &'static Spec {
    match kind {
        Kind::Length => &LENGTH,
        Kind::Voltage => &VOLTAGE,
        Kind::Current => &CURRENT,
        Kind::Resistance => &RESISTANCE,
        Kind::Time => &TIME,
        Kind::Temperature => &TEMPERATURE,
        Kind::Share => &SHARE,
        Kind::Power => &POWER,
        Kind::Frequency => &FREQUENCY,
        Kind::Force => &FORCE,
        Kind::MeltingIntegral => &MELTING,
        Kind::Capacitance => &CAPACITANCE,
    }
}
