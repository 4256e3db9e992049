//! The figures of each kind of inside part.

use crimpbook_core::quantity::Kind as Quantity;
use crimpbook_workbook::model::{ContactForm, Driver, LoadMode, OutputSide, PartKind, Suppression};

use super::super::{Field, Form, Wrong, read::shown};
use crate::screen::figures::number;

/// A part of each kind that can be entered, with nothing told of it.
pub const BLANK: [fn() -> PartKind; 12] = [
    || PartKind::Contact {
        ohm: f64::NAN,
        form: ContactForm::NormallyOpen,
        driver: Driver::StateOnly,
        most_a: None,
        least_a: None,
    },
    || PartKind::Output {
        side: OutputSide::LowSide,
        ohm: f64::NAN,
        most_a: None,
        peak_a: None,
        peak_s: None,
        clamp: None,
        when: String::new(),
    },
    || PartKind::Coil {
        ohm: f64::NAN,
        pull_in_v: None,
        drop_out_v: None,
        hold_a: None,
        pull_in_s: None,
        suppression: None,
        polarised: false,
    },
    || PartKind::Source {
        volts_v: None,
        ohm: f64::NAN,
        limit_a: None,
        switched: false,
        when: String::new(),
    },
    || PartKind::Resistor { ohm: f64::NAN },
    || PartKind::Load {
        mode: LoadMode::Current { current_a: f64::NAN },
        least_v: None,
        inrush_a: None,
        inrush_s: None,
        asleep_a: None,
    },
    || PartKind::Lamp {
        hot_ohm: f64::NAN,
        cold_ohm: None,
        rated_v: None,
    },
    || PartKind::Diode { forward_v: f64::NAN },
    || PartKind::Terminator { ohm: f64::NAN },
    || PartKind::Potentiometer { ohm: f64::NAN },
    || PartKind::Reference {
        volts_v: f64::NAN,
        ohm: f64::NAN,
        limit_a: None,
    },
    || PartKind::Ratiometric {
        a: f64::NAN,
        b: f64::NAN,
        ohm: f64::NAN,
        draws_a: f64::NAN,
    },
];

const FORMS: [(&str, ContactForm); 3] = [
    ("open at rest", ContactForm::NormallyOpen),
    ("closed at rest", ContactForm::NormallyClosed),
    ("change-over", ContactForm::ChangeOver),
];
const SIDES: [(&str, OutputSide); 4] = [
    ("to ground", OutputSide::LowSide),
    ("to ground, open collector", OutputSide::OpenCollector),
    ("to supply", OutputSide::HighSide),
    ("both ways", OutputSide::PushPull),
];
const SUPPRESSED: [(&str, Suppression); 4] = [
    ("nothing", Suppression::None),
    ("diode", Suppression::Diode),
    ("diode and zener", Suppression::DiodeZener),
    ("resistor", Suppression::Resistor),
];

/// A figure that is told, or nothing.
fn told(name: &'static str, label: &'static str, value: f64, unit: &str, hint: &'static str) -> Field {
    some(name, label, Some(value).filter(|v| v.is_finite()), unit, hint)
}

fn some(
    name: &'static str,
    label: &'static str,
    value: Option<f64>,
    unit: &str,
    hint: &'static str,
) -> Field {
    Field::new(name, label, shown(value, unit), hint)
}

fn share(name: &'static str, label: &'static str, value: f64, hint: &'static str) -> Field {
    let text = if value.is_finite() {
        number(value)
    } else {
        String::new()
    };
    Field::new(name, label, text, hint)
}

fn word<T: Copy + PartialEq>(all: &[(&'static str, T)], value: T) -> &'static str {
    all.iter()
        .find(|(_, one)| *one == value)
        .map_or("", |(words, _)| *words)
}

fn chosen<T: Copy>(form: &Form, name: &'static str, all: &[(&'static str, T)]) -> Option<T> {
    let text = form.text(name);
    all.iter().find(|(words, _)| *words == text).map(|(_, one)| *one)
}

fn words<T>(all: &[(&'static str, T)]) -> Vec<&'static str> {
    all.iter().map(|(words, _)| *words).collect()
}

/// Its fields.
pub fn fields(kind: &PartKind) -> Vec<Field> {
    let ohms = |ohm: f64, hint| told("ohm", "resistance", ohm, "Ω", hint);
    match kind {
        PartKind::Contact {
            ohm,
            form,
            most_a,
            least_a,
            ..
        } => vec![
            Field::new("form", "at rest", word(&FORMS, *form), "how it rests").one_of(words(&FORMS)),
            ohms(*ohm, "when closed, 0.02 Ω"),
            some("most_a", "carries at most", *most_a, "A", "10 A"),
            some(
                "least_a",
                "needs at least",
                *least_a,
                "A",
                "to stay clean, 0.005 A",
            ),
        ],
        PartKind::Output {
            side,
            ohm,
            most_a,
            peak_a,
            peak_s,
            clamp,
            ..
        } => vec![
            Field::new("side", "switches", word(&SIDES, *side), "which way").one_of(words(&SIDES)),
            ohms(*ohm, "when on, 0.05 Ω"),
            some("most_a", "gives at most", *most_a, "A", "for ever, 1 A"),
            some("peak_a", "for a moment", *peak_a, "A", "6 A"),
            some("peak_s", "that lasts", *peak_s, "s", "0.2 s"),
            Field::new(
                "clamp",
                "limits coils",
                clamp.map_or("", yes),
                "its own clamp: yes or no",
            )
            .one_of(["yes", "no"]),
        ],
        PartKind::Coil {
            ohm,
            pull_in_v,
            drop_out_v,
            hold_a,
            pull_in_s,
            suppression,
            polarised,
        } => vec![
            ohms(*ohm, "at 20 °C, 85 Ω"),
            some("pull_in_v", "pulls in at", *pull_in_v, "V", "at 20 °C, 8 V"),
            some(
                "drop_out_v",
                "drops out below",
                *drop_out_v,
                "V",
                "at 20 °C, 1.5 V",
            ),
            some(
                "hold_a",
                "then holds with",
                *hold_a,
                "A",
                "with an economiser, 0.2 A",
            ),
            some("pull_in_s", "full pull lasts", *pull_in_s, "s", "0.1 s"),
            Field::new(
                "suppression",
                "suppression",
                suppression.map_or("", |s| word(&SUPPRESSED, s)),
                "what limits its voltage when switched off; empty: not known",
            )
            .one_of(words(&SUPPRESSED)),
            Field::new("polarised", "polarised", yes(*polarised), "yes or no").one_of(["yes", "no"]),
        ],
        PartKind::Source {
            volts_v,
            ohm,
            limit_a,
            switched,
            ..
        } => vec![
            some("volts_v", "voltage", *volts_v, "V", "empty: the state's supply"),
            ohms(*ohm, "behind it, 0.011 Ω"),
            some("limit_a", "gives at most", *limit_a, "A", "32 A"),
            Field::new("switched", "can be off", yes(*switched), "yes or no").one_of(["yes", "no"]),
        ],
        PartKind::Resistor { ohm } | PartKind::Terminator { ohm } => vec![ohms(*ohm, "4k7")],
        PartKind::Potentiometer { ohm } => vec![ohms(*ohm, "end to end, 5k")],
        PartKind::Load {
            mode,
            least_v,
            inrush_a,
            inrush_s,
            asleep_a,
        } => {
            let (draws, unit) = match *mode {
                LoadMode::Current { current_a } => (current_a, "A"),
                LoadMode::Resistance { ohm } => (ohm, "Ω"),
                LoadMode::Power { power_w } => (power_w, "W"),
            };
            vec![
                told("draws", "draws", draws, unit, "0.35 A, or 55 W, or 12 Ω"),
                some("least_v", "drops out below", *least_v, "V", "6 V"),
                some("inrush_a", "inrush", *inrush_a, "A", "28 A"),
                some("inrush_s", "that lasts", *inrush_s, "s", "0.1 s"),
                some("asleep_a", "asleep", *asleep_a, "A", "0.002 A"),
            ]
        }
        PartKind::Lamp {
            hot_ohm,
            cold_ohm,
            rated_v,
        } => vec![
            told("hot_ohm", "hot", *hot_ohm, "Ω", "120 Ω"),
            some("cold_ohm", "cold", *cold_ohm, "Ω", "10 Ω"),
            some("rated_v", "at", *rated_v, "V", "voltage of the hot figure, 12 V"),
        ],
        PartKind::Diode { forward_v } => vec![told("forward_v", "drops", *forward_v, "V", "0.7 V")],
        PartKind::Reference {
            volts_v,
            ohm,
            limit_a,
        } => vec![
            told("volts_v", "voltage", *volts_v, "V", "5 V"),
            ohms(*ohm, "behind it, 1 Ω"),
            some("limit_a", "gives at most", *limit_a, "A", "0.1 A"),
        ],
        PartKind::Ratiometric { a, b, ohm, draws_a } => vec![
            share("a", "at rest", *a, "share of its supply, 0.15"),
            share("b", "adds at full", *b, "share of its supply, 0.7"),
            ohms(*ohm, "behind the output, 1k"),
            told("draws_a", "draws", *draws_a, "A", "0.01 A"),
        ],
        PartKind::FuseWay { .. } => Vec::new(),
    }
}

fn yes(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn plain(form: &Form, name: &'static str) -> Result<f64, Wrong> {
    let text = form.needed(name, "a share")?;
    match text.replace(',', ".").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(Wrong::at(name, "expected a share of the supply, as in 0.15")),
    }
}

/// How a load draws: the unit says which.
fn draws(form: &Form) -> Result<LoadMode, Wrong> {
    let text = form.needed("draws", "what it draws")?;
    let tried = [
        Quantity::Current
            .parse(&text)
            .map(|current_a| LoadMode::Current { current_a }),
        Quantity::Power
            .parse(&text)
            .map(|power_w| LoadMode::Power { power_w }),
        Quantity::Resistance
            .parse(&text)
            .map(|ohm| LoadMode::Resistance { ohm }),
    ];
    let mut found = tried.into_iter();
    let first = found.next();
    match (first, found.find_map(Result::ok)) {
        (Some(Ok(mode)), _) | (_, Some(mode)) => Ok(mode),
        (Some(Err(error)), None) => Err(Wrong::at("draws", error.to_string())),
        (None, None) => Err(Wrong::at("draws", "what it draws is needed")),
    }
}

/// A kind with the figures that are typed.
pub fn taken(form: &Form, kind: PartKind) -> Result<PartKind, Wrong> {
    let (volts, amps, ohms, seconds) = (
        Quantity::Voltage,
        Quantity::Current,
        Quantity::Resistance,
        Quantity::Time,
    );
    let ohm = || form.needed_amount("ohm", ohms, "its resistance");
    Ok(match kind {
        PartKind::Contact {
            form: rests, driver, ..
        } => PartKind::Contact {
            ohm: ohm()?,
            form: chosen(form, "form", &FORMS).unwrap_or(rests),
            driver,
            most_a: form.amount("most_a", amps)?,
            least_a: form.amount("least_a", amps)?,
        },
        PartKind::Output { side, when, .. } => PartKind::Output {
            side: chosen(form, "side", &SIDES).unwrap_or(side),
            ohm: ohm()?,
            most_a: form.amount("most_a", amps)?,
            peak_a: form.amount("peak_a", amps)?,
            peak_s: form.amount("peak_s", seconds)?,
            clamp: form.yes_no("clamp"),
            when,
        },
        PartKind::Coil { .. } => PartKind::Coil {
            ohm: ohm()?,
            pull_in_v: form.amount("pull_in_v", volts)?,
            drop_out_v: form.amount("drop_out_v", volts)?,
            hold_a: form.amount("hold_a", amps)?,
            pull_in_s: form.amount("pull_in_s", seconds)?,
            suppression: chosen(form, "suppression", &SUPPRESSED),
            polarised: form.yes_no("polarised").unwrap_or(false),
        },
        PartKind::Source { when, .. } => PartKind::Source {
            volts_v: form.amount("volts_v", volts)?,
            ohm: ohm()?,
            limit_a: form.amount("limit_a", amps)?,
            switched: form.yes_no("switched").unwrap_or(false),
            when,
        },
        PartKind::Resistor { .. } => PartKind::Resistor { ohm: ohm()? },
        PartKind::Terminator { .. } => PartKind::Terminator { ohm: ohm()? },
        PartKind::Potentiometer { .. } => PartKind::Potentiometer { ohm: ohm()? },
        PartKind::Load { .. } => PartKind::Load {
            mode: draws(form)?,
            least_v: form.amount("least_v", volts)?,
            inrush_a: form.amount("inrush_a", amps)?,
            inrush_s: form.amount("inrush_s", seconds)?,
            asleep_a: form.amount("asleep_a", amps)?,
        },
        PartKind::Lamp { .. } => PartKind::Lamp {
            hot_ohm: form.needed_amount("hot_ohm", ohms, "its hot resistance")?,
            cold_ohm: form.amount("cold_ohm", ohms)?,
            rated_v: form.amount("rated_v", volts)?,
        },
        PartKind::Diode { .. } => PartKind::Diode {
            forward_v: form.needed_amount("forward_v", volts, "its forward voltage")?,
        },
        PartKind::Reference { .. } => PartKind::Reference {
            volts_v: form.needed_amount("volts_v", volts, "its voltage")?,
            ohm: ohm()?,
            limit_a: form.amount("limit_a", amps)?,
        },
        PartKind::Ratiometric { .. } => PartKind::Ratiometric {
            a: plain(form, "a")?,
            b: plain(form, "b")?,
            ohm: ohm()?,
            draws_a: form.needed_amount("draws_a", amps, "what it draws")?,
        },
        fuse => fuse,
    })
}
