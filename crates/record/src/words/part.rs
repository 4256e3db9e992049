//! Inside parts in words.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    Book,
    model::{ContactForm, Driver, LoadMode, OutputSide, Part, PartKind, Suppression},
    rules::shown,
};

/// An inside part's figures in one line.
pub fn part(book: &Book, part: &Part) -> String {
    let mut said = Vec::new();
    let mut say = |words: &str, value: Option<String>| {
        if let Some(value) = value {
            said.push(format!(
                "{words}{}{value}",
                if words.is_empty() { "" } else { " " }
            ));
        }
    };
    let volts = |v: f64| Kind::Voltage.print(v);
    let amps = |a: f64| Kind::Current.print(a);
    let ohms = |r: f64| Kind::Resistance.print(r);
    let seconds = |s: f64| Kind::Time.print(s);
    match &part.kind {
        PartKind::Source {
            volts_v,
            ohm,
            limit_a,
            switched,
            when,
        } => {
            say(
                "",
                volts_v
                    .map(volts)
                    .or(Some("supply voltage of the state".to_owned())),
            );
            say("behind", Some(ohms(*ohm)));
            say("at most", limit_a.map(amps));
            say("", switched.then(|| "switched".to_owned()));
            say("on when", (!when.is_empty()).then(|| shown(book, when)));
        }
        PartKind::Resistor { ohm } | PartKind::Terminator { ohm } | PartKind::Potentiometer { ohm } => {
            say("", Some(ohms(*ohm)));
        }
        PartKind::Load {
            mode,
            least_v,
            inrush_a,
            inrush_s,
            asleep_a,
        } => {
            say(
                "",
                Some(match mode {
                    LoadMode::Current { current_a } => amps(*current_a),
                    LoadMode::Resistance { ohm } => ohms(*ohm),
                    LoadMode::Power { power_w } => Kind::Power.print(*power_w),
                }),
            );
            say("drops out below", least_v.map(volts));
            say("starts with", inrush_a.map(amps));
            say("for", inrush_s.map(seconds));
            say("asleep", asleep_a.map(amps));
        }
        PartKind::Lamp {
            hot_ohm,
            cold_ohm,
            rated_v,
        } => {
            say("hot", Some(ohms(*hot_ohm)));
            say("cold", cold_ohm.map(ohms));
            say("rated", rated_v.map(volts));
        }
        PartKind::Coil {
            ohm,
            pull_in_v,
            drop_out_v,
            hold_a,
            pull_in_s,
            suppression,
            polarised,
        } => {
            say("", Some(ohms(*ohm)));
            say("pulls in at", pull_in_v.map(volts));
            say("drops out below", drop_out_v.map(volts));
            say("holds with", hold_a.map(amps));
            say("full pull for", pull_in_s.map(seconds));
            say(
                "suppression:",
                Some(suppression.map_or("not recorded", suppressed).to_owned()),
            );
            say(
                "",
                polarised.then(|| "plus and minus may not be swapped".to_owned()),
            );
        }
        PartKind::Contact {
            ohm,
            form,
            driver,
            most_a,
            least_a,
        } => {
            say("", Some(contact_form(*form).to_owned()));
            say("closed", Some(ohms(*ohm)));
            say("moved by", Some(moved_by(book, driver)));
            say("at most", most_a.map(amps));
            say("at least", least_a.map(amps));
        }
        PartKind::Output {
            side,
            ohm,
            most_a,
            peak_a,
            peak_s,
            clamp,
            when,
        } => {
            say("", Some(output_side(*side).to_owned()));
            say("on", Some(ohms(*ohm)));
            say("at most", most_a.map(amps));
            say("peak", peak_a.map(amps));
            say("for", peak_s.map(seconds));
            say(
                "",
                clamp.map(|c| if c { "clamps by itself" } else { "does not clamp" }.to_owned()),
            );
            say("on when", (!when.is_empty()).then(|| shown(book, when)));
        }
        PartKind::Diode { forward_v } => say("forward", Some(volts(*forward_v))),
        PartKind::FuseWay { fuse } => say("", Some(book.label_of(*fuse))),
        PartKind::Reference {
            volts_v,
            ohm,
            limit_a,
        } => {
            say("", Some(volts(*volts_v)));
            say("behind", Some(ohms(*ohm)));
            say("at most", limit_a.map(amps));
        }
        PartKind::Ratiometric { a, b, ohm, draws_a } => {
            say(
                "",
                Some(format!("{a} of its supply at rest, {b} more at full travel")),
            );
            say("behind", Some(ohms(*ohm)));
            say("draws", Some(amps(*draws_a)));
        }
    }
    said.join("; ")
}

fn suppressed(by: Suppression) -> &'static str {
    match by {
        Suppression::None => "none",
        Suppression::Diode => "diode",
        Suppression::DiodeZener => "diode and zener, or two-way suppressor",
        Suppression::Resistor => "resistor",
    }
}

fn contact_form(form: ContactForm) -> &'static str {
    match form {
        ContactForm::NormallyOpen => "open at rest",
        ContactForm::NormallyClosed => "closed at rest",
        ContactForm::ChangeOver => "changes over",
    }
}

fn moved_by(book: &Book, driver: &Driver) -> String {
    match driver {
        Driver::Switch { switch, operated_in } => {
            format!("{} in {}", book.label_of(*switch), operated_in.join(", "))
        }
        Driver::Coil { part } => book.label_of(*part),
        Driver::StateOnly => "the state alone".to_owned(),
    }
}

fn output_side(side: OutputSide) -> &'static str {
    match side {
        OutputSide::LowSide => "switches to ground",
        OutputSide::OpenCollector => "open collector",
        OutputSide::HighSide => "switches to supply",
        OutputSide::PushPull => "drives both ways",
    }
}
