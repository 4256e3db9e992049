//! The shape of a pedal: how much demand at how much travel.

use crimpbook_core::{
    quantity::Kind,
    reckon::{exponent_through, shaped},
};

use super::{Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values, given::said};
use crate::{
    analysis::Snapshot,
    check::{settings, words::number},
    model::{Cavity, SettingRole, SignalKind},
};

const PERCENT: Takes = Takes::Figure(Kind::Share);

pub(super) const SHAPE: Calculator = Calculator {
    name: "shape",
    title: "Pedal shape",
    what: "How much demand at how much travel; which exponent goes through a wished point.",
    formula: &["demand = travel ^ exponent", "exponent = ln(demand) / ln(travel)"],
    source: "1 is straight, 1.3 to 2 soft at tip-in: common practice, no source",
    caution: "",
    inputs: &[
        Input {
            name: "exponent",
            words: "exponent",
            takes: Takes::Number,
            usual: "1.5",
        },
        Input {
            name: "travel",
            words: "wish: at travel",
            takes: PERCENT,
            usual: "50 %",
        },
        Input {
            name: "demand",
            words: "wish: demand",
            takes: PERCENT,
            usual: "",
        },
    ],
    find,
    work_out,
};

fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    let inputs = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.kind == Some(SignalKind::AnalogueIn));
    inputs
        .filter_map(|cavity| {
            let known = said(
                settings::linked(book, cavity.id),
                SettingRole::PedalShape,
                &[],
                &["shape"],
            )?;
            let mut subject = Subject::at(book, cavity);
            subject.give("exponent", Some(known));
            Some(subject)
        })
        .collect()
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let exponent = values.need("exponent")?;
    let mut answer = Answer::default();
    for travel in [10.0, 25.0, 50.0, 75.0] {
        let demand = shaped(travel / 100.0, exponent) * 100.0;
        answer.say(
            format!("{travel} % travel"),
            format!("{} % demand", number(demand)),
        );
    }
    if let (Some(travel), Some(demand)) = (values.share("travel"), values.share("demand")) {
        match exponent_through(travel, demand) {
            Some(wished) => answer.say("as wished", format!("an exponent of {}", number(wished))),
            None => answer.warn(
                "as wished",
                "no curve goes there: both lie above 0 and below 100 %",
            ),
        }
    }
    answer.plot = Some(Plot {
        along: "% travel",
        up: "% demand",
        along_ends: (0.0, 100.0),
        up_ends: (0.0, 100.0),
        curves: vec![
            Curve::of('*', "shaped", (0.0, 100.0), |t| {
                shaped(t / 100.0, exponent) * 100.0
            }),
            Curve::of('.', "straight", (0.0, 100.0), |t| t),
        ],
        marks: Vec::new(),
    });
    Ok(answer)
}
