//! Whether two tracks of a pedal agree, and whether one clips before full.

use crimpbook_core::{
    quantity::Kind,
    reckon::{Track, dual_track},
};

use super::{
    Answer, Calculator, Curve, Input, Missing, Plot, Subject, Takes, Values,
    given::{Given, give_travel, measured, said},
};
use crate::{
    analysis::Snapshot,
    check::{
        track::{self, tracks},
        words::{cavity as named, number},
    },
    model::{Cavity, Setting, SettingRole},
};

const VOLTS: Takes = Takes::Figure(Kind::Voltage);

pub(super) const TRACKS: Calculator = Calculator {
    name: "tracks",
    title: "Two tracks",
    what: "Whether two pedal tracks agree over the travel, and whether one stands still (clips) before full.",
    formula: &[
        "share = (between - rest) / (full - rest), for each track",
        "apart = share 1 - share 2",
        "the track ahead stands still from (smaller share / larger share) on",
    ],
    source: "a limit of 2.5 to 10 % of the travel: common practice, no source",
    caution: "Hold the pedal about half-way, the same place for both readings, at the unit's own cavities.",
    inputs: &[
        Input {
            name: "rest-1",
            words: "track 1 at rest",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "between-1",
            words: "track 1 half-way",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "full-1",
            words: "track 1 at full",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "rest-2",
            words: "track 2 at rest",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "between-2",
            words: "track 2 half-way",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "full-2",
            words: "track 2 at full",
            takes: VOLTS,
            usual: "",
        },
        Input {
            name: "limit",
            words: "may disagree by",
            takes: Takes::Figure(Kind::Share),
            usual: "5 %",
        },
    ],
    find,
    work_out,
};

/// Pairs of tracks that a setting says may disagree by so much.
fn find(see: &Snapshot) -> Vec<Subject> {
    let book = see.book();
    let all = tracks(see);
    let mut subjects = Vec::new();
    for setting in book.all::<Setting>().values() {
        let Some(limit) = said([setting], SettingRole::PedalDisagree, &["%"], &["agree"]) else {
            continue;
        };
        let of: Vec<&track::Track> = setting
            .cavities
            .iter()
            .filter_map(|id| all.iter().find(|t| t.reader == *id))
            .collect();
        let [one, other, ..] = of.as_slice() else { continue };
        let label = |t: &track::Track| {
            book.get(t.reader)
                .map_or_else(String::new, |c: &Cavity| named(book, c))
        };
        let mut subject = Subject {
            label: format!("{} and {}", label(one), label(other)),
            cavity: Some(one.reader),
            given: vec![Given {
                input: "limit",
                text: limit.0,
                from: limit.1,
            }],
        };
        for (input, track) in [("between-1", one), ("between-2", other)] {
            let last = measured(see, track, |travel| travel > 0.0 && travel < 1.0);
            subject.give(input, last.map(|(v, from)| (Kind::Voltage.show(v), from)));
        }
        give_travel(see, one, &mut subject, ["rest-1", "full-1"]);
        give_travel(see, other, &mut subject, ["rest-2", "full-2"]);
        subjects.push(subject);
    }
    subjects.dedup_by(|a, b| a.label == b.label);
    subjects
}

fn work_out(values: &Values<'_>) -> Result<Answer, Missing> {
    let track = |names: [&str; 3]| {
        Ok(Track {
            rest_v: values.need(names[0])?,
            between_v: values.need(names[1])?,
            full_v: values.need(names[2])?,
        })
    };
    let both = [
        track(["rest-1", "between-1", "full-1"])?,
        track(["rest-2", "between-2", "full-2"])?,
    ];
    let limit = values.share("limit").filter(|l| *l > 0.0);
    let limit = limit.ok_or_else(|| Missing("by how much they may disagree".to_owned()))?;
    let mut answer = Answer::default();
    let Some(told) = dual_track(both) else {
        answer.warn(
            "travel",
            "a track does not move between its ends, or was not held between them",
        );
        return Ok(answer);
    };
    let percent = |share: f64| format!("{} %", number(share * 100.0));
    answer.say(
        "half-way",
        format!(
            "track 1 tells {}, track 2 {}",
            percent(told.shares[0]),
            percent(told.shares[1])
        ),
    );
    let words = format!("{}, {} allowed", percent(told.apart), percent(limit));
    if told.apart > limit {
        answer.warn("apart", format!("{words}: a fault is seen while driving"));
    } else {
        answer.say("apart", words);
    }
    if let Some(still) = told.stands_still {
        let words = format!(
            "if both go on straight, track {} stands still from {} of the travel on, {} apart there",
            still.track + 1,
            percent(still.from),
            percent(still.apart),
        );
        if still.apart > limit {
            answer.warn("clips", format!("{words}: a false fault near full"));
        } else {
            answer.say("clips", words);
        }
    }
    let shares = told.shares;
    let ahead = usize::from(shares[1] > shares[0]);
    let from = told.stands_still.map_or(1.0, |s| s.from);
    let told_by = move |which: usize, travel: f64| {
        let share = if which == ahead {
            (travel / from).min(1.0)
        } else {
            travel
        };
        share * 100.0
    };
    answer.plot = Some(Plot {
        along: "% travel",
        up: "% told",
        along_ends: (0.0, 100.0),
        up_ends: (0.0, 100.0),
        curves: vec![
            Curve::of('1', "track 1", (0.0, 100.0), move |t| told_by(0, t / 100.0)),
            Curve::of('2', "track 2", (0.0, 100.0), move |t| told_by(1, t / 100.0)),
        ],
        marks: Vec::new(),
    });
    Ok(answer)
}
