//! Regeneration: what the potentiometer says times what the software allows.

use crate::book::InOrder;
use crimpbook_core::{quantity::Kind, reckon::Regeneration};

use super::{
    Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values,
    given::{measured, said, travel_in},
};
use crate::{
    analysis::Snapshot,
    check::{
        settings,
        track::{Track, tracks},
        words::number,
    },
    model::{Cavity, SettingRole, SignalKind, State},
};

const PERCENT: Takes = Takes::Figure(Kind::Share);

pub(super) const REGENERATION: Calculator = Calculator {
    name: "regeneration",
    title: "Regeneration share",
    what: "What share of regeneration the potentiometer and the software's limits make together.",
    formula: &[
        "on lift-off = potentiometer x most on lift-off",
        "on braking = potentiometer x most on braking, or lift-off where larger",
    ],
    source: "product and larger of both: common practice, no source; the unit's manual wins",
    caution: "Begin with 5 to 10 %. Brakes first: regeneration is none when the battery is full or cold. The battery manager's charge limit holds over every share.",
    inputs: &[
        Input {
            name: "dial",
            words: "potentiometer at",
            takes: PERCENT,
            usual: "",
        },
        Input {
            name: "coast",
            words: "most on lift-off",
            takes: PERCENT,
            usual: "",
        },
        Input {
            name: "brake",
            words: "most on braking",
            takes: PERCENT,
            usual: "",
        },
        Input {
            name: "most",
            words: "100 % is",
            takes: Takes::Figure(Kind::Current),
            usual: "",
        },
    ],
    find,
    work_out,
};

fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    let all = tracks(see);
    let inputs = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.kind == Some(SignalKind::AnalogueIn));
    inputs
        .filter_map(|cavity| {
            let linked = || settings::linked(book, cavity.id);
            let coast = said(linked(), SettingRole::RegenCoast, &["%"], &["regen", "coast"]);
            let brake = said(linked(), SettingRole::RegenBrake, &["%"], &["regen", "brake"]);
            if coast.is_none() && brake.is_none() {
                return None;
            }
            let mut subject = Subject::at(book, cavity);
            if let Some(track) = all.iter().find(|t| t.reader == cavity.id) {
                give_dial(see, track, &mut subject);
            }
            subject.give("coast", coast);
            subject.give("brake", brake);
            Some(subject)
        })
        .collect()
}

/// Where the potentiometer stands: as measured, else as the first state says that gives it a place.
fn give_dial(see: &Snapshot, track: &Track, subject: &mut Subject) {
    let book = see.book();
    let last = measured(see, track, |_| true).zip(track.supply_v(see));
    let read = last.map(|((volts, from), supply_v)| (Kind::Share.show(volts / supply_v * 100.0), from));
    subject.give("dial", read);
    let mut states: Vec<&State> = book.all::<State>().values().collect();
    states.order_by(|state| state.order);
    let planned = states.into_iter().find_map(|state| {
        let travel = travel_in(book, state.id, track.part)?;
        Some((
            Kind::Share.show(travel * 100.0),
            format!("planned, {}", state.label),
        ))
    });
    subject.give("dial", planned);
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let whole = |name: &str| {
        let share = values.need(name)? / 100.0;
        if (0.0..=1.0).contains(&share) {
            Ok(share)
        } else {
            Err(Missing(format!("a share from 0 to 100 % for {name}")))
        }
    };
    let at = Regeneration {
        dial: whole("dial")?,
        coast_most: whole("coast")?,
        brake_most: whole("brake")?,
    };
    let current = |share: f64| {
        let most = values.get("most").filter(|a| *a > 0.0);
        most.map_or_else(String::new, |a| format!(", {}", Kind::Current.show(a * share)))
    };
    let mut answer = Answer::default();
    let line = |share: f64, of: f64| {
        format!(
            "{} % x {} % = {} %{}",
            number(at.dial * 100.0),
            number(of * 100.0),
            number(share * 100.0),
            current(share)
        )
    };
    answer.say("on lift-off", line(at.coast(), at.coast_most));
    answer.say("on braking", line(at.dial * at.brake_most, at.brake_most));
    if at.coast_most > at.brake_most {
        answer.warn(
            "larger",
            "lift-off asks for more than braking; the larger counts, so that braking adds nothing",
        );
    }
    if at.brake() > 0.3 {
        answer.warn(
            "mind",
            "above 30 % a light axle may lock on a wet road (common practice, no source)",
        );
    }
    answer.plot = Some(Plot {
        along: "% potentiometer",
        up: "% regeneration",
        along_ends: (0.0, 100.0),
        up_ends: (
            0.0,
            100.0_f64.min((at.coast_most.max(at.brake_most) * 120.0).max(1.0)),
        ),
        curves: vec![
            Curve::of('b', "on braking", (0.0, 100.0), |d| {
                Regeneration {
                    dial: d / 100.0,
                    ..at
                }
                .brake()
                    * 100.0
            }),
            Curve::of('l', "on lift-off", (0.0, 100.0), |d| {
                Regeneration {
                    dial: d / 100.0,
                    ..at
                }
                .coast()
                    * 100.0
            }),
        ],
        marks: vec![(at.dial * 100.0, '^')],
    });
    Ok(answer)
}
