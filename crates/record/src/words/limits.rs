//! What a manual states of a cavity, in words.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    measure::SENSOR_AT_C,
    model::{Limits, PullTo},
};

/// What a manual states of a cavity, in one line.
pub fn limits(limits: &Limits) -> String {
    let volts = |v| Kind::Voltage.print(v);
    let amps = |a| Kind::Current.print(a);
    let seconds = |s| Kind::Time.print(s);
    let mut said = Vec::new();
    let mut say = |words: &str, value: Option<String>| {
        if let Some(value) = value {
            said.push(format!("{words} {value}"));
        }
    };
    say("on above", limits.on_above_v.map(volts));
    say("off below", limits.off_below_v.map(volts));
    say("on below", limits.on_below_v.map(volts));
    say("off above", limits.off_above_v.map(volts));
    say("never above", limits.most_v.map(volts));
    say("at most", limits.most_a.map(amps));
    let peak = match (limits.peak_a, limits.peak_s) {
        (Some(a), Some(s)) => Some(format!("{} for {}", amps(a), seconds(s))),
        (Some(a), None) => Some(amps(a)),
        (None, Some(s)) => Some(format!("of {}", seconds(s))),
        (None, None) => None,
    };
    say("peak", peak);
    say("at least", limits.least_a.map(amps));
    let pull = limits.pull.map(|pull| {
        let ohm = pull.ohm.map(|ohm| format!(", {}", Kind::Resistance.print(ohm)));
        match pull.to {
            PullTo::Nothing => "none inside".to_owned(),
            PullTo::Ground => format!("to ground{}", ohm.unwrap_or_default()),
            PullTo::FiveVolts => format!("to 5 V{}", ohm.unwrap_or_default()),
            PullTo::Supply => format!("to supply{}", ohm.unwrap_or_default()),
        }
    });
    say("pull", pull);
    say("stays after switching off", limits.release_s.map(seconds));
    say("at rest", limits.rest_v.map(volts));
    say("at full", limits.full_v.map(volts));
    say("sensor", sensor(limits));
    said.join("; ")
}

/// What a temperature sensor reads at room temperature (`1 kΩ at 25 °C ± 3 %, 0.8 % a kelvin`).
fn sensor(limits: &Limits) -> Option<String> {
    let celsius = limits.sensor_at_c.unwrap_or(SENSOR_AT_C);
    let mut words = format!(
        "{} at {}",
        Kind::Resistance.print(limits.sensor_ohm?),
        Kind::Temperature.print(celsius)
    );
    if let Some(off) = limits.sensor_tolerance_pct {
        words.push_str(&format!(" ± {}", Kind::Share.print(off)));
    }
    if let Some(change) = limits.sensor_pct_per_k {
        words.push_str(&format!(", {} a kelvin", Kind::Share.print(change)));
    }
    Some(words)
}
