//! Settings of a unit's software that the wiring contradicts.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        settings,
        track::{Track, tracks},
        words::{cavity as named, number},
    },
};
use crate::{
    analysis::Snapshot,
    model::{
        Cavity, ContactForm, Decision, Driver, Id, Kind, OutputSide, Part, PartKind, Setting, SettingRole,
        SignalKind,
    },
    signals::{NetId, OriginKind},
};

pub(super) static CHECK: Check = Check {
    name: "setting-against-wiring",
    what: "what a unit's software is told of an input is what is wired to it: analogue or digital, sense, rest and full, fault limits",
    inputs: "kinds of cavities, settings linked to cavities (values with active-high or active-low, analogue or digital; volts at rest and full, low and high fault, by what they are said to set, else by name), contacts and sensors on their nets",
    source: "common practice, no source; rest and full within 5 % of the span",
    rests_on: &[(Kind::Setting, &["value", "measure", "role", "cavities"])],
    reads: &[(Kind::Setting, &[])],
    find,
};

/// A pedal setting may differ from what the sensor gives by this share of the span.
const NEAR: f64 = 0.05;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for setting in book.all::<Setting>().values() {
        for cavity in setting.cavities.iter().filter_map(|id| book.get(*id)) {
            unused(see, setting, cavity, out);
            sense(see, setting, cavity, out);
            read_as(see, setting, cavity, out);
        }
    }
    for track in tracks(see) {
        travel(see, &track, out);
    }
}

/// A setting of an input that gets no wire.
fn unused(see: &Snapshot, setting: &Setting, cavity: &Cavity, out: &mut Out) {
    if !matches!(cavity.decision, Decision::Blank | Decision::Reserved) {
        return;
    }
    let what = format!(
        "{} belongs to {}, which is {}.",
        setting.label,
        named(see.book(), cavity),
        cavity.decision.words()
    );
    out.find(
        Finding::new(CHECK.name, Level::Note, setting.id, what)
            .with([cavity.id])
            .matters("It does nothing, or something nobody looks for.")
            .source(CHECK.source),
    );
}

/// A setting that reads an input as a level where the wiring gives a range, or the other way round.
fn read_as(see: &Snapshot, setting: &Setting, cavity: &Cavity, out: &mut Out) {
    let words = setting.value.to_lowercase();
    let says = |starts: &[&str]| {
        let mut parts = words.split(|c: char| !c.is_alphanumeric());
        parts.any(|part| starts.contains(&part))
    };
    let told_analogue = match (says(&["analogue", "analog"]), says(&["digital"])) {
        (true, false) => true,
        (false, true) => false,
        _ => return,
    };
    let analogue = match cavity.kind {
        Some(SignalKind::AnalogueIn) => true,
        Some(SignalKind::DigitalInHigh | SignalKind::DigitalInLow | SignalKind::DigitalInBare) => false,
        _ => return,
    };
    if told_analogue == analogue || cavity.decision != Decision::Wired {
        return;
    }
    let word = |analogue: bool| if analogue { "an analogue" } else { "a digital" };
    let sentence = format!(
        "{} says {} of {}, which is {} input.",
        setting.label,
        setting.value,
        named(see.book(), cavity),
        word(analogue),
    );
    out.find(
        Finding::new(CHECK.name, Level::Stop, setting.id, sentence)
            .with([cavity.id])
            .matters("A range read as on and off jumps at some point of it; a switch read as a range gives one value for all its travel.")
            .mend(Mend::words("look at the manual and at the wiring, then set the one that is wrong"))
            .source(CHECK.source),
    );
}

fn sense(see: &Snapshot, setting: &Setting, cavity: &Cavity, out: &mut Out) {
    let value = setting.value.to_lowercase().replace([' ', '_'], "-");
    let told_high = match (value.contains("active-high"), value.contains("active-low")) {
        (true, false) => true,
        (false, true) => false,
        _ => {
            if setting.role == Some(SettingRole::InputSense) {
                let words = format!(
                    "what {:?} means, written as active-high or active-low",
                    setting.value
                );
                out.cannot(CHECK.name, setting.id, words, []);
            }
            return;
        }
    };
    let digital = matches!(
        cavity.kind,
        Some(SignalKind::DigitalInHigh | SignalKind::DigitalInLow | SignalKind::DigitalInBare)
    );
    if !digital || cavity.decision != Decision::Wired {
        return;
    }
    let Some((source, high)) = operated_high(see, cavity.id) else {
        return;
    };
    if high == told_high {
        return;
    }
    let level = |high: bool| if high { "high" } else { "low" };
    let sentence = format!(
        "{} says active-{} of {}, but {source} makes it {} when operated.",
        setting.label,
        level(told_high),
        named(see.book(), cavity),
        level(high),
    );
    out.find(
        Finding::new(CHECK.name, Level::Stop, setting.id, sentence)
            .with([cavity.id])
            .matters("The unit takes rest for operated: brakes that are never seen, or a drive that is allowed when it must not be.")
            .mend(Mend::words("look at the manual and at the wiring, then set the one that is wrong; look at every state afterwards"))
            .source(CHECK.source),
    );
}

/// What makes an input's level, and whether it is high when that is operated; none: nothing on its net says.
fn operated_high(see: &Snapshot, cavity: Id<Cavity>) -> Option<(String, bool)> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let at = nets.at_cavity(cavity)?;
    for (id, place) in &nets.get(at)?.parts {
        let part: &Part = book.get(*id)?;
        match &part.kind {
            PartKind::Contact {
                form,
                driver: Driver::Switch { .. },
                ..
            } if *form != ContactForm::ChangeOver => {
                let other = part.ends.get(1 - (*place).min(1))?;
                let to_supply = leads_to_supply(see, nets.at(other)?)?;
                return Some((
                    part.label.clone(),
                    to_supply == (*form == ContactForm::NormallyOpen),
                ));
            }
            PartKind::Output { side, .. } if see.unit_of(cavity) != Some(part.unit) => match (side, place) {
                (OutputSide::LowSide | OutputSide::OpenCollector, 0) => {
                    return Some((part.label.clone(), false));
                }
                (OutputSide::HighSide, 1) => return Some((part.label.clone(), true)),
                _ => {}
            },
            _ => {}
        }
    }
    None
}

/// Whether a net is fed by a source; false: it is ground; none: neither.
fn leads_to_supply(see: &Snapshot, net: NetId) -> Option<bool> {
    let signal = see.signals().get(net)?;
    if signal.is_ground {
        return Some(false);
    }
    let gives = |kind| matches!(kind, OriginKind::Power | OriginKind::Output(OutputSide::HighSide));
    signal.origins.iter().any(|o| gives(o.kind)).then_some(true)
}

/// Rest, full and fault limits of a track against what its sensor gives.
fn travel(see: &Snapshot, track: &Track, out: &mut Out) {
    let book = see.book();
    let Some(supply_v) = track.supply_v(see) else {
        return;
    };
    let Some(cavity) = book.get(track.reader) else {
        return;
    };
    let gives = [
        supply_v * track.share.0,
        supply_v * (track.share.0 + track.share.1),
    ];
    let span_v = (gives[1] - gives[0]).abs();
    let setting =
        |role| settings::in_role(book, track.reader, role).filter(|(s, _)| settings::in_unit(s, &["V"]));
    let is_pot = matches!(
        book.get(track.part).map(|p: &Part| &p.kind),
        Some(PartKind::Potentiometer { .. })
    );
    for (words, role, gives_v) in [
        ("rest", SettingRole::PedalRest, gives[0]),
        ("full", SettingRole::PedalFull, gives[1]),
    ] {
        // A potentiometer is mounted at an angle of its own: only an active sensor's ends are known.
        let Some((setting, told_v)) = setting(role).filter(|_| !is_pot) else {
            continue;
        };
        if (told_v - gives_v).abs() > NEAR * span_v {
            let sentence = format!(
                "{} {} V at {}, but {} gives {} V at {words}.",
                setting.label,
                number(told_v),
                named(book, cavity),
                book.label_of::<Part>(track.part),
                number(gives_v)
            );
            say(setting, track, sentence, told_v, gives_v, out);
        }
    }
    let ends = [gives[0].min(gives[1]), gives[0].max(gives[1])];
    if is_pot {
        return;
    }
    for (role, inside) in [
        (SettingRole::PedalLowFault, ends[0]),
        (SettingRole::PedalHighFault, ends[1]),
    ] {
        let Some((setting, limit_v)) = setting(role) else {
            continue;
        };
        let cuts = if role == SettingRole::PedalLowFault {
            limit_v >= inside
        } else {
            limit_v <= inside
        };
        if cuts {
            let sentence = format!(
                "{} {} V at {} lies inside the travel of {}, which ends at {} V.",
                setting.label,
                number(limit_v),
                named(book, cavity),
                book.label_of::<Part>(track.part),
                number(inside)
            );
            say(setting, track, sentence, limit_v, inside, out);
        }
    }
}

fn say(setting: &Setting, track: &Track, sentence: String, told_v: f64, gives_v: f64, out: &mut Out) {
    out.find(
        Finding::new(CHECK.name, Level::Warning, setting.id, sentence)
            .with([track.reader])
            .with([track.part])
            .figure(Figure::against("set to", told_v, gives_v, "V"))
            .matters("The pedal does not reach its end, or is taken for broken, or for pressed at rest.")
            .mend(Mend::words(
                "measure rest and full at the unit's cavity and enter what is measured",
            ))
            .source(CHECK.source),
    );
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("setting-against-wiring")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    fn brake(form: ContactForm, feed: &str, value: &str) -> Vec<(Level, String)> {
        let mut bench = Bench::new();
        bench.battery();
        let switch = bench.switch("brake", &["released", "pressed"]);
        let driver = Driver::Switch {
            switch,
            operated_in: vec!["pressed".to_owned()],
        };
        bench.part("brake contact", Bench::contact(form, driver), &["BS-A1", "BS-A2"]);
        bench.wire("W40", feed, "BS-A1", 1.0, 0.4);
        bench.wire("W44", "BS-A2", "MC-A16", 0.5, 2.8);
        let cavity = bench.cavity("MC-A", "16");
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::DigitalInHigh));
        bench.setting("MC", "BRK_SENSE", value, "", &["MC-A16"]);
        found(&bench)
    }

    #[test]
    fn the_sense_that_is_set_is_held_against_the_contact() {
        use ContactForm::{NormallyClosed, NormallyOpen};
        assert_eq!(brake(NormallyOpen, "BP", "active-high"), []);
        assert_eq!(brake(NormallyClosed, "BP", "active-low-means-brake"), []);
        assert_eq!(brake(NormallyClosed, "G1", "active-high"), []);
        assert_eq!(brake(NormallyOpen, "BP", "1"), [], "it says nothing of a sense");
        assert_eq!(
            brake(NormallyOpen, "BP", "active-low"),
            [(
                Level::Stop,
                "BRK_SENSE says active-low of MC-A16, but brake contact makes it high when operated."
                    .to_owned()
            )]
        );
        assert_eq!(brake(NormallyClosed, "BP", "active-high").len(), 1);
    }

    fn pedal(settings: &[(&str, &str)]) -> Vec<(Level, String)> {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        for (number, kind) in [
            ("6", SignalKind::SensorSupply),
            ("8", SignalKind::SensorReturn),
            ("10", SignalKind::AnalogueIn),
        ] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        let reference = PartKind::Reference {
            volts_v: 5.0,
            ohm: 0.01,
            limit_a: None,
        };
        bench.part("5 V", reference, &["MC-A6", "BN"]);
        bench.resistor("return", 0.01, &["MC-A8", "BN"]);
        let hall = PartKind::Ratiometric {
            a: 0.15,
            b: 0.7,
            ohm: 1000.0,
            draws_a: 0.01,
        };
        bench.part("track", hall, &["PD-A1", "PD-A5", "PD-A3"]);
        bench.wire("W30", "MC-A6", "PD-A1", 0.5, 1.0);
        bench.wire("W31", "PD-A3", "MC-A10", 0.5, 1.0);
        bench.wire("W32", "PD-A5", "MC-A8", 0.5, 1.0);
        for (label, value) in settings {
            bench.setting("MC", label, value, "V", &["MC-A10"]);
        }
        found(&bench)
    }

    #[test]
    fn rest_full_and_limits_are_held_against_the_sensor() {
        let right = [
            ("REST", "0.75"),
            ("FULL", "4.25"),
            ("LOW_FAULT", "0.3"),
            ("HIGH_FAULT", "4.7"),
        ];
        assert_eq!(pedal(&right), []);
        let rest = pedal(&[("REST", "1.2")]);
        assert!(
            rest[0].1.starts_with("REST 1.2 V at MC-A10, but track gives 0.7"),
            "{rest:?}"
        );
        assert_eq!(pedal(&[("LOW_FAULT", "0.8")])[0].0, Level::Warning);
        assert_eq!(pedal(&[("HIGH_FAULT", "4.0")]).len(), 1);
    }

    #[test]
    fn a_sense_that_cannot_be_read_is_asked_for_where_it_is_said_to_be_one() {
        let mut bench = Bench::new();
        let id = bench.setting("MC", "P012", "1", "", &["MC-A16"]);
        let missing = |bench: &Bench| {
            let report = run_without_mends(&bench.snapshot());
            let all = report.cannot_check.into_iter();
            all.filter(|c| c.checks.contains(&"setting-against-wiring"))
                .map(|c| c.missing)
                .collect::<Vec<_>>()
        };
        assert!(missing(&bench).is_empty());
        bench.edit(id, |s: &mut Setting| s.role = Some(SettingRole::InputSense));
        assert_eq!(
            missing(&bench),
            ["what \"1\" means, written as active-high or active-low"]
        );
    }

    #[test]
    fn a_setting_of_a_blank_cavity_is_a_note() {
        let mut bench = Bench::new();
        let cavity = bench.cavity("MC-A", "18");
        bench.edit(cavity, |c: &mut Cavity| c.decision = Decision::Blank);
        bench.setting("MC", "ECON", "60", "%", &["MC-A18"]);
        assert_eq!(
            found(&bench),
            [(Level::Note, "ECON belongs to MC-A18, which is blank.".to_owned())]
        );
    }

    #[test]
    fn an_input_read_as_another_kind_than_it_is_wired_for() {
        for (kind, value, wrong) in [
            (SignalKind::AnalogueIn, "digital, 2 levels", true),
            (SignalKind::AnalogueIn, "analogue", false),
            (SignalKind::DigitalInHigh, "Analog 0-5 V", true),
            (SignalKind::DigitalInHigh, "digital", false),
            (SignalKind::DigitalInHigh, "catalogue 3", false),
            (SignalKind::LowSideOut, "digital", false),
        ] {
            let mut bench = Bench::new();
            let cavity = bench.cavity("MC-A", "12");
            bench.edit(cavity, |c| {
                c.kind = Some(kind);
                c.decision = Decision::Wired;
            });
            bench.setting("MC", "IN3_USE", value, "", &["MC-A12"]);
            let found: Vec<_> = found(&bench)
                .into_iter()
                .filter(|f| f.1.contains("IN3_USE"))
                .collect();
            assert_eq!(!found.is_empty(), wrong, "{kind:?} {value}: {found:?}");
        }
    }
}
