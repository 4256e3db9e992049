//! What the workbook knows of a calculator's inputs, and from where.

use crimpbook_core::quantity::Kind;

use crate::{
    Book,
    analysis::Snapshot,
    check::{settings, track::Track, words::cavity as named},
    model::{
        Cavity, End, Id, Part, PartKind, PartPosition, PullTo, Reading, Setting, SettingRole, State,
        Terminal, TestKind,
    },
};

/// Something of the workbook that a sum can be worked out for.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// What it is (`MC-A10 (PEDAL 1)`).
    pub label: String,
    /// The cavity it is at, to be found again.
    pub cavity: Option<Id<Cavity>>,
    /// What is known of it.
    pub given: Vec<Given>,
}

/// A known input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    /// The input's name.
    pub input: &'static str,
    /// What stands in it, as it may be typed.
    pub text: String,
    /// From where.
    pub from: String,
}

impl Subject {
    /// A cavity.
    pub fn at(book: &Book, cavity: &Cavity) -> Self {
        Self {
            label: named(book, cavity),
            cavity: Some(cavity.id),
            given: Vec::new(),
        }
    }

    /// Takes in what is known; what was known before wins.
    pub fn give(&mut self, input: &'static str, known: Option<(String, String)>) {
        if let (Some((text, from)), false) = (known, self.given.iter().any(|g| g.input == input)) {
            self.given.push(Given { input, text, from });
        }
    }

    /// Takes in a figure of the plan.
    pub fn give_figure(&mut self, input: &'static str, kind: Kind, value: Option<f64>, from: &str) {
        self.give(input, value.map(|v| (kind.show(v), from.to_owned())));
    }
}

/// A setting's value with its unit: of one that is said to set this, else of one that nobody has said of what it sets and
/// whose name has all of these words, in one of these units (none: without a unit).
pub fn said<'b>(
    among: impl IntoIterator<Item = &'b Setting>,
    role: SettingRole,
    units: &[&str],
    words: &[&str],
) -> Option<(String, String)> {
    let all: Vec<&Setting> = among.into_iter().filter(|s| s.figure().is_some()).collect();
    let by_name = |s: &&&Setting| {
        let unit = if units.is_empty() {
            s.measure.trim().is_empty()
        } else {
            settings::in_unit(s, units)
        };
        s.role.is_none() && unit && settings::named(s, words)
    };
    let told = all.iter().find(|s| s.role == Some(role));
    let setting = told.or_else(|| all.iter().find(by_name))?;
    Some((setting.shown(), setting.label.clone()))
}

/// Where a sensor stood in a state, from 0 (rest) to 1 (full), where the state says.
pub fn travel_in(book: &Book, state: Id<State>, part: Id<Part>) -> Option<f64> {
    let state: &State = book.get(state)?;
    let stands = state.parts.iter().find(|at| at.part == part)?;
    match stands.position {
        PartPosition::Travel(travel) => Some(travel),
        PartPosition::On | PartPosition::Off | PartPosition::Starting => None,
    }
}

/// What was measured last at a track's reader while its sensor stood so: V, and in which state.
pub fn measured(see: &Snapshot, track: &Track, stood: impl Fn(f64) -> bool) -> Option<(f64, String)> {
    let book = see.book();
    let stood_so = |r: &&Reading| {
        let travel = r.state.and_then(|state| travel_in(book, state, track.part));
        r.at_cavity == track.reader
            && r.test == Some(TestKind::PlugsOn)
            && r.lapsed.is_none()
            && r.measure == "V"
            && travel.is_some_and(&stood)
    };
    let readings = book.all::<Reading>().values().filter(stood_so);
    let last = readings.max_by_key(|r| (r.taken, r.id))?;
    let state = last.state.map(|state| book.label_of(state)).unwrap_or_default();
    Some((last.value?, format!("measured, {state}")))
}

/// Rest and full of a track's reader, under these names: as measured, else as set, else as its manual says.
pub fn give_travel(see: &Snapshot, track: &Track, subject: &mut Subject, names: [&'static str; 2]) {
    let book = see.book();
    for (input, end) in [(names[0], 0.0), (names[1], 1.0)] {
        let last = measured(see, track, |travel| travel == end);
        subject.give(input, last.map(|(v, from)| (Kind::Voltage.show(v), from)));
    }
    let limits = book.get(track.reader).map(|c: &Cavity| c.limits);
    for (input, word, role, limit) in [
        (
            names[0],
            "rest",
            SettingRole::PedalRest,
            limits.and_then(|l| l.rest_v),
        ),
        (
            names[1],
            "full",
            SettingRole::PedalFull,
            limits.and_then(|l| l.full_v),
        ),
    ] {
        let linked = settings::linked(book, track.reader);
        subject.give(input, said(linked, role, &["V"], &[word]));
        subject.give_figure(input, Kind::Voltage, limit, "limits of the cavity");
    }
}

/// What a track's sensor is, what feeds it, and the pull at its reader.
pub fn give_sensor(see: &Snapshot, track: &Track, subject: &mut Subject) {
    let book = see.book();
    match book.get(track.part).map(|p: &Part| &p.kind) {
        Some(PartKind::Potentiometer { ohm }) => {
            let label = book.label_of::<Part>(track.part);
            subject.give("sensor", Some(("potentiometer".to_owned(), label.clone())));
            give_track(see, track.part, subject);
            subject.give_figure("track", Kind::Resistance, Some(*ohm), &label);
        }
        Some(_) => {
            let label = book.label_of::<Part>(track.part);
            subject.give("sensor", Some(("active".to_owned(), label)));
        }
        None => {}
    }
    subject.give_figure("supply", Kind::Voltage, track.supply_v(see), "as computed");
    give_pull(book, track.reader, subject, "pulled");
}

/// The pull of a cavity, over how many Ω and which way.
pub fn give_pull(book: &Book, cavity: Id<Cavity>, subject: &mut Subject, which_way: &'static str) {
    let Some(pull) = book.get(cavity).and_then(|c: &Cavity| c.limits.pull) else {
        return;
    };
    let way = match pull.to {
        PullTo::Ground => "to ground",
        PullTo::FiveVolts => "to its supply",
        PullTo::Supply | PullTo::Nothing => return,
    };
    let from = "limits of the cavity";
    subject.give(which_way, Some((way.to_owned(), from.to_owned())));
    subject.give_figure("pull", Kind::Resistance, pull.ohm, from);
}

/// The resistance of a potentiometer's track as it was measured last.
pub fn give_track(see: &Snapshot, part: Id<Part>, subject: &mut Subject) {
    let book = see.book();
    let Some(part) = book.get(part) else { return };
    let [low, high, _] = part.ends.as_slice() else {
        return;
    };
    let at = |terminal: &Terminal, end: End| match (terminal, end) {
        (Terminal::Cavity(a), End::Cavity(b)) => *a == b,
        (Terminal::Junction(a), End::Junction(b)) => *a == b,
        _ => false,
    };
    let across = |r: &&Reading| {
        let (one, other) = (End::Cavity(r.at_cavity), r.against);
        r.test == Some(TestKind::Potentiometer)
            && r.lapsed.is_none()
            && r.measure == "Ω"
            && ((at(low, one) && at(high, other)) || (at(high, one) && at(low, other)))
    };
    let readings = book.all::<Reading>().values().filter(across);
    let last = readings.max_by_key(|r| (r.taken, r.id));
    let known = last.and_then(|r| Some((Kind::Resistance.show(r.value?), "measured".to_owned())));
    subject.give("track", known);
}
