//! Two resistors that make a smaller voltage.

use crimpbook_core::{quantity::Kind, reckon::Divider};

use super::{Answer, Calculator, Input, Missing, Takes, Values};
use crate::check::words::number;

const OHMS: Takes = Takes::Figure(Kind::Resistance);
const VOLTS: Takes = Takes::Figure(Kind::Voltage);

pub(super) const DIVIDER: Calculator = Calculator {
    name: "divider",
    title: "Voltage divider",
    what: "What two resistors make of a voltage, over the whole range of a 12 V supply.",
    formula: &["V out = V in x R2' / (R1 + R2'), R2' = R2 with the load beside it"],
    source: "Ohm's law; 9 to 15.5 V as the range of a 12 V supply: common practice, no source",
    caution: "",
    inputs: &[
        Input {
            name: "upper",
            words: "upper resistor R1",
            takes: OHMS,
            usual: "",
        },
        Input {
            name: "lower",
            words: "lower resistor R2",
            takes: OHMS,
            usual: "",
        },
        Input {
            name: "load",
            words: "load on it",
            takes: OHMS,
            usual: "",
        },
        Input {
            name: "input",
            words: "voltage",
            takes: VOLTS,
            usual: "12 V",
        },
        Input {
            name: "most",
            words: "input bears",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "wish",
            words: "wished instead",
            takes: VOLTS,
            usual: "",
        },
    ],
    find: |_| Vec::new(),
    work_out,
};

/// Range of a 12 V supply, V.
const RANGE_V: (f64, f64) = (9.0, 15.5);
/// Most that a small resistor bears, W.
const SMALL_W: f64 = 0.25;

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let divider = Divider {
        upper_ohm: values.need_above_0("upper")?,
        lower_ohm: values.need_above_0("lower")?,
        load_ohm: values
            .get("load")
            .filter(|ohm| *ohm > 0.0)
            .unwrap_or(f64::INFINITY),
    };
    let input_v = values.need_above_0("input")?;
    let mut answer = Answer::default();
    let out = |v: f64| number(v * divider.share());
    answer.say("gives", format!("{} V of {} V", out(input_v), number(input_v)));
    answer.say(
        "over a 12 V supply",
        format!(
            "{} V at {} V, {} V at {} V",
            out(RANGE_V.0),
            RANGE_V.0,
            out(RANGE_V.1),
            RANGE_V.1
        ),
    );
    answer.say("draws", Kind::Current.show(divider.draws_a(input_v)));
    answer.say("seen from the load", Kind::Resistance.show(divider.source_ohm()));
    let highest_v = input_v.max(RANGE_V.1);
    let (upper_w, lower_w) = divider.heat_w(highest_v);
    let heat = format!(
        "R1 {}, R2 {} at {} V",
        Kind::Power.show(upper_w),
        Kind::Power.show(lower_w),
        number(highest_v)
    );
    if upper_w.max(lower_w) > SMALL_W {
        answer.warn(
            "heat",
            format!("{heat}: more than a small resistor's {SMALL_W} W"),
        );
    } else {
        answer.say("heat", heat);
    }
    if let Some(most_v) = values.get("most") {
        let at_most_v = highest_v * divider.share();
        let words = format!(
            "{} V of {} V at {} V",
            number(at_most_v),
            number(most_v),
            number(highest_v)
        );
        if at_most_v > most_v {
            answer.warn("input bears", format!("{words}: too much"));
        } else {
            answer.say("input bears", words);
        }
    }
    if let Some(wish_v) = values.get("wish") {
        match divider.upper_for(wish_v / input_v) {
            Some(ohm) => answer.say("as wished", format!("R1 of {}", Kind::Resistance.show(ohm))),
            None => answer.warn(
                "as wished",
                "a divider only makes less than it gets, and more than nothing",
            ),
        }
    }
    Ok(answer)
}
