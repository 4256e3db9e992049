//! Precharging: arithmetic only.

use crimpbook_core::{
    quantity::Kind,
    reckon::{MOST_COMPUTED_V, Precharge},
};

use super::{Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values, given::said};
use crate::{
    analysis::Snapshot,
    check::{
        precharge_outputs, settings,
        words::{number, time},
    },
    model::SettingRole,
};

const CAPACITANCE: Takes = Takes::Figure(Kind::Capacitance);

pub(super) const PRECHARGE: Calculator = Calculator {
    name: "precharge",
    title: "Precharge time",
    what: "How long a capacitance takes to fill through a resistor, and what the resistor takes.",
    formula: &["t = -ln(1 - share) x R x C", "E = C x V^2 / 2"],
    source: "formulas: physics; 95 % as the share to reach: common practice, no source",
    caution: "Arithmetic only, never an approval. Traction voltage is for those licensed for it, by the unit's manual and local law; a capacitor may stay charged for minutes.",
    inputs: &[
        Input {
            name: "resistor",
            words: "resistor",
            takes: Takes::Figure(Kind::Resistance),
            usual: "",
        },
        Input {
            name: "capacitance",
            words: "capacitance",
            takes: CAPACITANCE,
            usual: "",
        },
        Input {
            name: "share",
            words: "share to reach",
            takes: Takes::Figure(Kind::Share),
            usual: "95 %",
        },
        Input {
            name: "time",
            words: "time given",
            takes: Takes::Figure(Kind::Time),
            usual: "",
        },
        Input {
            name: "volts",
            words: "voltage",
            takes: Takes::Figure(Kind::Voltage),
            usual: "",
        },
    ],
    find,
    work_out,
};

fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    precharge_outputs(book)
        .map(|cavity| {
            let mut subject = Subject::at(book, cavity);
            let unit = see.unit_of(cavity.id);
            let of_unit = || unit.into_iter().flat_map(|unit| settings::of_unit(book, unit));
            let here = |role, units: &[&str]| {
                let linked = settings::linked(book, cavity.id);
                said(linked, role, units, &[]).or_else(|| said(of_unit(), role, units, &["pre"]))
            };
            subject.give(
                "resistor",
                here(SettingRole::PrechargeResistance, &["Ω", "ohm", "kΩ"]),
            );
            subject.give(
                "capacitance",
                here(SettingRole::PrechargeCapacitance, &["F", "mF", "µF", "μF", "uF"]),
            );
            subject.give("share", here(SettingRole::PrechargeShare, &["%"]));
            subject.give("time", here(SettingRole::PrechargeTime, &["s", "ms"]));
            subject.give(
                "volts",
                said(of_unit(), SettingRole::PackVoltage, &["V"], &["pack"]),
            );
            subject
        })
        .collect()
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let charge = Precharge {
        ohm: values.need_above_0("resistor")?,
        farad: values.need_above_0("capacitance")?,
    };
    let share = values.need("share")? / 100.0;
    let takes_s = charge
        .takes_s(share)
        .ok_or_else(|| Missing("a share below 100 %".to_owned()))?;
    let percent = number(share * 100.0);
    let mut answer = Answer::default();
    let volts = values.get("volts").filter(|v| *v > 0.0);
    if let Some(volts) = volts.filter(|v| *v > MOST_COMPUTED_V) {
        answer.warn(
            "outside",
            format!("{} V is above {MOST_COMPUTED_V} V DC: nothing of such wiring is computed or checked here, this is a sum and no more", number(volts)),
        );
    }
    answer.say("R x C", time(charge.time_constant_s()));
    answer.say(format!("{percent} %"), format!("after {}", time(takes_s)));
    if let Some(given_s) = values.get("time") {
        let reached = charge.share_after(given_s);
        let left = volts.map_or_else(String::new, |v| {
            format!(", {} V short", number(v * (1.0 - reached)))
        });
        let words = format!("{} % after {}{left}", number(reached * 100.0), time(given_s));
        if given_s < takes_s {
            answer.warn(
                "time given",
                format!("{words}: too short, the main contact may weld"),
            );
        } else {
            answer.say("time given", words);
        }
    }
    match volts {
        Some(volts) => {
            let (current_a, heat_w) = charge.first_moment(volts);
            answer.say(
                "at first",
                format!(
                    "{}, {} in the resistor",
                    Kind::Current.show(current_a),
                    Kind::Power.show(heat_w)
                ),
            );
            answer.say(
                "each time",
                format!("{} J in the resistor", number(charge.energy_j(volts))),
            );
        }
        None => answer.say("energy", "cannot tell: missing the voltage"),
    }
    let last_s = 5.0 * charge.time_constant_s();
    let given = values.get("time").filter(|t| *t <= last_s).map(|t| (t, 'T'));
    answer.plot = Some(Plot {
        along: "s",
        up: "% of the voltage",
        along_ends: (0.0, last_s),
        up_ends: (0.0, 100.0),
        curves: vec![
            Curve::of('*', "charge", (0.0, last_s), |t| charge.share_after(t) * 100.0),
            Curve::of('.', "to reach", (0.0, last_s), |_| share * 100.0),
        ],
        marks: given.into_iter().collect(),
    });
    Ok(answer)
}
