//! Rest, full, dead bands and fault limits of one pedal track, and which broken wire the limits catch.

use crimpbook_core::{
    quantity::Kind,
    reckon::{
        Caught, FAULT_MARGIN_V, FaultWindow, InsidePull, LEAST_SPAN_V, OpenReading, Pedal, Sensor,
        SensorWire, WindowTrouble, demand, open_reading,
    },
};

use super::{
    Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values,
    given::{give_sensor, give_travel, said},
};
use crate::{
    analysis::Snapshot,
    check::{settings, track::tracks, words::number},
    model::{Cavity, SettingRole},
};

const VOLTS: Takes = Takes::Figure(Kind::Voltage);
const PERCENT: Takes = Takes::Figure(Kind::Share);
const OHMS: Takes = Takes::Figure(Kind::Resistance);

pub(super) const PEDAL: Calculator = Calculator {
    name: "pedal",
    title: "Pedal limits",
    what: "Where demand begins and ends, which fault limits fit, and which broken wire they catch.",
    formula: &[
        "starts = rest + dead band x (full - rest)",
        "full from = full - dead band x (full - rest)",
        "return off, pull to ground: V x Rp / (Rp + (1 - p) x R)",
    ],
    source: "bands and limits: common practice, no source; 4.25 V met without a return: common practice, no source",
    caution: "Try every wire off by itself, on stands, before the first drive. A window that catches is not an approval.",
    inputs: &[
        Input {
            name: "rest",
            words: "at rest",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "full",
            words: "at full",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "dead-low",
            words: "dead band at rest",
            takes: PERCENT,
            usual: "5 %",
        },
        Input {
            name: "dead-high",
            words: "dead band at full",
            takes: PERCENT,
            usual: "4 %",
        },
        Input {
            name: "low-fault",
            words: "low fault limit",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "high-fault",
            words: "high fault limit",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "sensor",
            words: "sensor",
            takes: Takes::OneOf(&["potentiometer", "active"]),
            usual: "",
        },
        Input {
            name: "track",
            words: "its track",
            takes: OHMS,
            usual: "",
        },
        Input {
            name: "supply",
            words: "its supply",
            takes: VOLTS,
            usual: "5 V",
        },
        Input {
            name: "pulled",
            words: "input pulled",
            takes: Takes::OneOf(&["to ground", "to its supply"]),
            usual: "",
        },
        Input {
            name: "pull",
            words: "over",
            takes: OHMS,
            usual: "",
        },
    ],
    find,
    work_out,
};

fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    let mut all = Vec::new();
    for track in tracks(see) {
        let Some(cavity) = book.get::<Cavity>(track.reader) else {
            continue;
        };
        let mut subject = Subject::at(book, cavity);
        give_travel(see, &track, &mut subject, ["rest", "full"]);
        let linked = || settings::linked(book, track.reader);
        subject.give(
            "dead-low",
            said(linked(), SettingRole::PedalDeadLow, &["%"], &["dead", "low"]),
        );
        subject.give(
            "dead-high",
            said(linked(), SettingRole::PedalDeadHigh, &["%"], &["dead", "high"]),
        );
        subject.give(
            "low-fault",
            said(linked(), SettingRole::PedalLowFault, &["V"], &["low", "fault"]),
        );
        subject.give(
            "high-fault",
            said(linked(), SettingRole::PedalHighFault, &["V"], &["high", "fault"]),
        );
        give_sensor(see, &track, &mut subject);
        all.push(subject);
    }
    all
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let pedal = Pedal {
        rest_v: values.need("rest")?,
        full_v: values.need("full")?,
        dead_low: values.share("dead-low").unwrap_or(0.0),
        dead_high: values.share("dead-high").unwrap_or(0.0),
    };
    let supply_v = values.need_above_0("supply")?;
    let mut answer = Answer::default();
    let span = format!("{} V from rest to full", number(pedal.span_v().abs()));
    if pedal.is_wide_enough() {
        answer.say("travel", span);
    } else {
        answer.warn(
            "travel",
            format!("{span}: less than {LEAST_SPAN_V} V, too little to tell them for sure"),
        );
    }
    if demand(&pedal, pedal.rest_v).is_none() {
        answer.warn("demand", "the dead bands leave nothing between them");
        return Ok(answer);
    }
    answer.say(
        "demand",
        format!(
            "from {} V on, full from {} V",
            number(pedal.starts_v()),
            number(pedal.ends_at_v())
        ),
    );
    let proposed = pedal.window(FAULT_MARGIN_V);
    let window = FaultWindow {
        low_v: values.get("low-fault"),
        high_v: values.get("high-fault"),
    };
    let usual = format!(
        "{} and {} V would lie {FAULT_MARGIN_V} V outside of the travel",
        number(proposed.low_v.unwrap_or_default()),
        number(proposed.high_v.unwrap_or_default()),
    );
    answer.say("limits", usual);
    for trouble in pedal.troubles(&window, supply_v) {
        answer.warn("limits", words_of(trouble));
    }
    broken_wires(values, &window, supply_v, &mut answer)?;
    answer.plot = Some(curve(&pedal, &window, supply_v));
    Ok(answer)
}

fn words_of(trouble: WindowTrouble) -> &'static str {
    match trouble {
        WindowTrouble::LowInside => {
            "the low limit lies within the travel: the pedal itself is taken for broken"
        }
        WindowTrouble::HighInside => {
            "the high limit lies within the travel: the pedal itself is taken for broken"
        }
        WindowTrouble::LowUseless => "nothing is ever below the low limit: it catches nothing",
        WindowTrouble::HighUseless => "nothing is ever above the high limit: it catches nothing",
    }
}

fn broken_wires(
    values: &Values<'_>,
    window: &FaultWindow,
    supply_v: f64,
    answer: &mut Answer,
) -> Result<(), Missing> {
    let sensor = match values.get("sensor") {
        None => {
            answer.warn("wire off", "cannot tell: missing what the sensor is");
            return Ok(());
        }
        Some(0.0) => match values.get("track").filter(|ohm| *ohm > 0.0) {
            Some(ohm) => Sensor::Potentiometer { ohm },
            None => {
                answer.warn("wire off", "cannot tell: missing the ohms of its track");
                return Ok(());
            }
        },
        Some(_) => Sensor::Active,
    };
    let pull = match (values.get("pulled"), values.get("pull").filter(|ohm| *ohm > 0.0)) {
        (Some(0.0), Some(ohm)) => Some(InsidePull::Down(ohm)),
        (Some(_), Some(ohm)) => Some(InsidePull::Up(ohm)),
        _ => None,
    };
    for wire in SensorWire::ALL {
        let what = format!("{} off", wire.words());
        let reading = match pull {
            Some(pull) => open_reading(sensor, supply_v, pull, wire, (0.0, 1.0)),
            // What an active sensor does without its return hangs on no pull.
            None if sensor == Sensor::Active && wire == SensorWire::Return => OpenReading::CannotTell,
            None => {
                answer.warn(
                    what,
                    "cannot tell: missing where the input is pulled, over how many ohms",
                );
                continue;
            }
        };
        let reads = match reading {
            OpenReading::Range(a, b) if b - a < 0.005 => format!("reads {} V", number(a)),
            OpenReading::Range(a, b) => format!("reads {} to {} V", number(a), number(b)),
            OpenReading::CannotTell => {
                answer.warn(
                    what,
                    "cannot tell (4.25 V was met, inside any usual window): only a second track with a return of its own notices",
                );
                continue;
            }
        };
        match window.catches(reading) {
            Caught::Yes => answer.say(what, format!("{reads}: caught")),
            _ if *window == FaultWindow::default() => {
                answer.warn(what, format!("{reads}; cannot tell: missing the fault limits"));
            }
            _ => answer.warn(what, format!("{reads}: NOT caught")),
        }
    }
    Ok(())
}

fn curve(pedal: &Pedal, window: &FaultWindow, supply_v: f64) -> Plot {
    let high = supply_v.max(pedal.ends_v().1);
    let marks = [(window.low_v, 'L'), (window.high_v, 'H')];
    Plot {
        along: "V at the input",
        up: "% demand",
        along_ends: (0.0, high),
        up_ends: (0.0, 100.0),
        curves: vec![Curve::of('*', "demand", (0.0, high), |v| {
            demand(pedal, v).unwrap_or(0.0) * 100.0
        })],
        marks: marks
            .into_iter()
            .filter_map(|(limit, mark)| Some((limit.filter(|v| (0.0..=high).contains(v))?, mark)))
            .collect(),
    }
}
