//! The page for people.

use crimpbook_record::volts::hundredths;
use crimpbook_workbook::{
    Book,
    analysis::{
        CavityVolts, CoilAt, Load, Snapshot, StateResult,
        suppose::{OPENS_AT, Supposed, fixed},
    },
    check::words::list,
};

use super::{
    super::{suppose, wrapped},
    data,
};

/// A figure is marked as changed by a fault above this, V and A.
const MARKED: f64 = 0.01;

/// The states of a book.
pub fn states(book: &Book) -> String {
    let states = super::in_order(book);
    if states.is_empty() {
        return "The workbook has no operating state yet.".to_owned();
    }
    let wide = states.iter().map(|s| s.label.chars().count()).max().unwrap_or(0);
    let line = |s: &&crimpbook_workbook::model::State| wrapped(&format!("{:wide$}  ", s.label), &s.words);
    states.iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Everything; with a fault, what lasts, changed figures marked and beside them what was.
pub fn whole(see: &Snapshot, of: &StateResult, supposed: Option<&Supposed>) -> String {
    let now = supposed.map_or(of, |s| &s.lasting.result);
    let was = supposed.map(|_| of);
    let mut lines = vec![format!(
        "{}, supply {} V{}",
        see.book().label_of(of.state),
        hundredths(of.supply_v),
        if supposed.is_some() {
            "; * changed by the fault"
        } else {
            ""
        }
    )];
    if let Some(supposed) = supposed {
        lines.extend(fault(see, supposed));
        let (wires, figures) = supposed.wires_words(see, of);
        lines.push(wrapped("wire: ", format!("{wires} {figures}").trim_end()));
        lines.push(wrapped("function: ", &supposed.function_words(see)));
    }
    cavities(see, now, was, &mut lines);
    wires(see, now, was, &mut lines);
    coils(see, now, &mut lines);
    loads(see, now, &mut lines);
    sensors(see, now, &mut lines);
    grounds(see, now, &mut lines);
    let cannot = data::cannot_compute(see, now);
    if !cannot.is_empty() {
        lines.push(String::new());
    }
    lines.extend(cannot.iter().map(|what| wrapped("cannot compute: ", what)));
    lines.join("\n")
}

fn fault(see: &Snapshot, supposed: &Supposed) -> Vec<String> {
    let book = see.book();
    let mut lines = vec![wrapped("", &supposed.happens(see))];
    for opened in &supposed.opened {
        lines.push(format!(
            "{} opens: {:.1} A, above {OPENS_AT} times its rating; below stands what lasts",
            book.label_of(opened.fuse),
            opened.current_a
        ));
    }
    if !supposed.opened.is_empty() {
        let until = list(&suppose::changes(see, &supposed.first));
        lines.push(wrapped(
            "until then: ",
            if until.is_empty() {
                "nothing changes"
            } else {
                &until
            },
        ));
    }
    lines
}

fn cavities(see: &Snapshot, now: &StateResult, was: Option<&StateResult>, lines: &mut Vec<String>) {
    for (connector, members) in data::connectors(see) {
        lines.push(String::new());
        lines.push(format!(
            "{:<30}{:>12}{:>14}",
            connector.label, "own ground", "batt. neg."
        ));
        for cavity in members {
            let volts = see.cavity_volts(now, cavity.id);
            let before = was.map(|was| see.cavity_volts(was, cavity.id));
            let changed = before.filter(|before| differs(*before, volts));
            let name: String = cavity.name.chars().take(22).collect();
            let mut line = format!(
                "  {:<4} {name:<22}{} {:>11}{:>14}",
                cavity.number,
                if changed.is_some() { "*" } else { " " },
                volts.own_words(),
                volts.negative_words()
            );
            if let Some(before) = changed {
                line.push_str(&format!(
                    "   was {} / {}",
                    before.own_words(),
                    before.negative_words()
                ));
            }
            lines.push(line);
        }
    }
}

fn wires(see: &Snapshot, now: &StateResult, was: Option<&StateResult>, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push(format!(
        "{:<10}{:>10}{:>10}{:>10}{:>8}{:>8}  {}",
        "Wires", "A", "drop V", "°C", "class", "air", "bundle"
    ));
    let before = was.map(|was| data::wires(see, was)).unwrap_or_default();
    for (n, wire) in data::wires(see, now).iter().enumerate() {
        let old = before
            .get(n)
            .filter(|b| (b.current_a - wire.current_a).abs() > MARKED);
        let celsius = wire
            .conductor_c
            .map_or("no balance".to_owned(), |c| format!("{c:.0}"));
        let whole = |c: Option<f64>| c.map_or("?".to_owned(), |c| format!("{c:.0}"));
        let bundle = wire
            .bundle
            .as_ref()
            .map_or("alone".to_owned(), |(label, factor)| {
                format!("{label} × {factor:.2}")
            });
        let mut line = format!(
            "  {:<7}{}{:>10}{:>10}{celsius:>10}{:>8}{:>8}  {bundle}",
            wire.label,
            if old.is_some() { "*" } else { " " },
            milli(wire.current_a),
            milli(wire.drop_v),
            whole(wire.class_c),
            whole(wire.ambient_c),
        );
        if let Some(old) = old {
            line.push_str(&format!("   was {} A", milli(old.current_a)));
        }
        lines.push(line);
    }
}

fn coils(see: &Snapshot, now: &StateResult, lines: &mut Vec<String>) {
    let coils = data::coils(see, now);
    if coils.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push("Coils that are to pull in: what they get of what they need".to_owned());
    for (label, coil) in coils {
        let at = |c: CoilAt| {
            let needs = c
                .needs_v
                .map_or("an unknown pull-in".to_owned(), |v| format!("{v:.2} V"));
            let short = c.needs_v.is_some_and(|v| c.gets_v < v);
            let short = if short { ", TOO LITTLE" } else { "" };
            format!("{:.2} V of {needs} at {:.0} °C{short}", c.gets_v, c.coil_c)
        };
        let cold = coil.cold.map_or(String::new(), |c| format!("; {}", at(c)));
        lines.push(wrapped("  ", &format!("{label}: {}{cold}", at(coil.warm))));
    }
}

/// Outputs and references that carry more than a milliampere, and every one at its limit.
fn loads(see: &Snapshot, now: &StateResult, lines: &mut Vec<String>) {
    let told = |l: &Load| l.current_a > 0.001 || l.limited;
    let loads: Vec<_> = data::loads(see, now)
        .into_iter()
        .filter(|(_, l)| told(l))
        .collect();
    if loads.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push(format!(
        "{:<26}{:>10}{:>12}",
        "Outputs, contacts, 5 V", "A", "may carry"
    ));
    for (label, load) in loads {
        let most = load.most_a.map_or("?".to_owned(), |a| format!("{a}"));
        let over = load.limited || load.most_a.is_some_and(|most| load.current_a > most * 1.001);
        let peak = load.peak.map_or(String::new(), |(peak_a, time_s)| {
            let time = time_s.map_or("a moment".to_owned(), |s| format!("{s} s"));
            format!("  {peak_a} for {time}")
        });
        let mark = if over { "  AT ITS LIMIT" } else { "" };
        lines.push(format!(
            "  {label:<24}{:>10}{most:>12}{peak}{mark}",
            milli(load.current_a)
        ));
    }
}

/// Sensors whose return stands elsewhere than their reader's.
fn sensors(see: &Snapshot, now: &StateResult, lines: &mut Vec<String>) {
    let all = data::sensors(see, now);
    if all.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push("Sensors: how wrong they are read, at rest and at full".to_owned());
    for (label, reader, error) in all {
        let share = error
            .percent()
            .map_or("of an unknown span".to_owned(), |p| format!("{p:.2} % of span"));
        lines.push(format!(
            "  {label} at {reader}: {} and {} mV, {share}; its return stands {} mV above the reader's",
            fixed(error.at_rest_v * 1000.0, 1),
            fixed(error.at_full_v * 1000.0, 1),
            fixed(error.lift_v * 1000.0, 1)
        ));
    }
}

fn grounds(see: &Snapshot, now: &StateResult, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push("Grounds of the units above battery negative".to_owned());
    let grounds = data::grounds(see, now);
    if grounds.is_empty() {
        lines.push("  no unit has a ground".to_owned());
    }
    let milli = |(label, volts): &(String, f64)| format!("{label} {} mV", fixed(volts * 1000.0, 0));
    let all: Vec<String> = grounds.iter().map(milli).collect();
    if !all.is_empty() {
        lines.push(wrapped("  ", &all.join("; ")));
    }
    if let Some((high, low, volts)) = data::offsets(see, now).first() {
        lines.push(format!(
            "  furthest apart: {high} stands {:.0} mV above {low}",
            volts * 1000.0
        ));
    }
}

fn differs(before: CavityVolts, after: CavityVolts) -> bool {
    let apart = |one: Option<f64>, other: Option<f64>| match (one, other) {
        (Some(one), Some(other)) => (one - other).abs() > MARKED,
        (None, None) => false,
        _ => true,
    };
    apart(before.own_ground_v, after.own_ground_v) || apart(before.negative.volts(), after.negative.volts())
}

fn milli(value: f64) -> String {
    fixed(value, 3)
}
