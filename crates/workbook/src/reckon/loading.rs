//! A potentiometer with an input hanging on its wiper.

use crimpbook_core::{
    quantity::Kind,
    signal::{loaded_share, loading_error, worst_loading_error},
};

use super::{
    Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values,
    given::{give_pull, give_track},
};
use crate::{
    analysis::Snapshot,
    check::{track::tracks, words::number},
    model::{Cavity, Part, PartKind},
};

pub(super) const LOADING: Calculator = Calculator {
    name: "loading",
    title: "Loaded potentiometer",
    what: "How much too little an input reads of a potentiometer that it loads.",
    formula: &["V / Vs = x / (1 + x (1 - x) R / RL)"],
    source: "derivation: physicsforums 986976 and rclab.de (read); the error is in % of the supply",
    caution: "",
    inputs: &[
        Input {
            name: "track",
            words: "track",
            takes: Takes::Figure(Kind::Resistance),
            usual: "",
        },
        Input {
            name: "pull",
            words: "input to ground",
            takes: Takes::Figure(Kind::Resistance),
            usual: "",
        },
        Input {
            name: "wiper",
            words: "wiper at",
            takes: Takes::Figure(Kind::Share),
            usual: "50 %",
        },
        Input {
            name: "supply",
            words: "supply",
            takes: Takes::Figure(Kind::Voltage),
            usual: "5 V",
        },
    ],
    find,
    work_out,
};

fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    let mut all = Vec::new();
    for track in tracks(see) {
        let Some(PartKind::Potentiometer { ohm }) = book.get(track.part).map(|p: &Part| &p.kind) else {
            continue;
        };
        let Some(cavity) = book.get::<Cavity>(track.reader) else {
            continue;
        };
        let mut subject = Subject::at(book, cavity);
        let label = book.label_of::<Part>(track.part);
        subject.label = format!("{label} at {}", subject.label);
        give_track(see, track.part, &mut subject);
        subject.give_figure("track", Kind::Resistance, Some(*ohm), &label);
        give_pull(book, track.reader, &mut subject, "pulled");
        // A pull to the supply loads the other way round; the sum is of a load to ground.
        if subject
            .given
            .iter()
            .any(|g| g.input == "pulled" && g.text != "to ground")
        {
            subject.given.retain(|g| g.input != "pull");
        }
        subject.given.retain(|g| g.input != "pulled");
        subject.give_figure("supply", Kind::Voltage, track.supply_v(see), "as computed");
        all.push(subject);
    }
    all
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let track = values.need_above_0("track")?;
    let load = values.need_above_0("pull")?;
    let supply_v = values.need_above_0("supply")?;
    let wiper = values.need("wiper")? / 100.0;
    if !(0.0..=1.0).contains(&wiper) {
        return Err(Missing("the wiper's place from 0 to 100 %".to_owned()));
    }
    let mut answer = Answer::default();
    let of_full = |share: f64| {
        format!(
            "{} V, {} % of the supply",
            number(share * supply_v),
            number(share * 100.0)
        )
    };
    answer.say(
        "reads",
        format!("{} V", number(loaded_share(wiper, track, load) * supply_v)),
    );
    answer.say("too little by", of_full(loading_error(wiper, track, load)));
    let (at, worst) = worst_loading_error(track, load);
    answer.say(
        "at most",
        format!("{}, with the wiper at {} %", of_full(worst), number(at * 100.0)),
    );
    if worst > 0.01 {
        let words = "more than 1 %: measure rest and full in place, and do not trust what is in between to be straight";
        answer.warn("mind", words);
    }
    answer.plot = Some(Plot {
        along: "% wiper",
        up: "% of supply",
        along_ends: (0.0, 100.0),
        up_ends: (0.0, worst * 110.0),
        curves: vec![Curve::of('*', "read too little", (0.0, 100.0), |x| {
            loading_error(x / 100.0, track, load) * 100.0
        })],
        marks: vec![(wiper * 100.0, '^')],
    });
    Ok(answer)
}
