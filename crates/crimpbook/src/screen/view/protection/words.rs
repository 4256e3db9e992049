//! What there is to say of a row of the tree, in sentences.

use crimpbook_core::{fuse::running, quantity::Kind as Quantity, tables::fuses::FuseKind};
use crimpbook_workbook::{
    analysis::{
        Snapshot, Worst,
        protect::{TreeRow, Twig, core_fuse, far_end_words, reason, wire_below},
    },
    check::words::{celsius, number, time},
    circuit::core_kind,
    model::{Fuse, Id, Part, PartKind},
};

use super::tree::{amps, name};
use crate::screen::{
    model::{Model, protection::row},
    pen::Pen,
};

/// The row under the cursor.
pub fn of_row(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (Some(see), Some(row)) = (model.findings.current(), row(model)) else {
        return;
    };
    let (title, what) = name(see, row.twig);
    let x = pen.put(0, 0, &title, look.strong());
    pen.put(x + 1, 0, &what, look.plain());
    let mut y = 1;
    for sentence in sentences(see, row) {
        y = pen.paragraph(0, y, &sentence, look.plain());
    }
}

fn sentences(see: &Snapshot, row: &TreeRow) -> Vec<String> {
    match row.twig {
        Twig::Source(at) => source(see, row, at),
        Twig::Fuse(id) => fuse(see, row, id),
        Twig::Wire(at) => wire(see, row, at),
        Twig::Load(_) => load(see, row),
    }
}

/// ` in DRIVE`.
fn in_state(see: &Snapshot, worst: Worst) -> String {
    let state = see.states().get(worst.state);
    state.map_or_else(String::new, |of| format!(" in {}", see.book().label_of(of.state)))
}

fn source(see: &Snapshot, row: &TreeRow, at: usize) -> Vec<String> {
    let part = see
        .wiring()
        .parts
        .get(at)
        .and_then(|run| see.book().get(run.part));
    let mut all = Vec::new();
    match part.map(|p: &Part| &p.kind) {
        Some(PartKind::Source {
            volts_v,
            ohm,
            limit_a,
            ..
        }) => {
            let volts = volts_v.map_or_else(
                || "The supply of each state".to_owned(),
                |v| format!("{} V", number(v)),
            );
            let limit = limit_a.map_or_else(String::new, |a| format!(", never more than {} A", number(a)));
            all.push(format!("{volts} behind {} mΩ{limit}.", number(ohm * 1000.0)));
        }
        Some(PartKind::Reference {
            volts_v,
            ohm,
            limit_a,
        }) => {
            let limit = limit_a.map_or_else(String::new, |a| format!(", at most {} mA", number(a * 1000.0)));
            all.push(format!(
                "{} V reference behind {} Ω{limit}.",
                number(*volts_v),
                number(*ohm)
            ));
        }
        _ => {}
    }
    if let Some(worst) = row.figures.current_a {
        all.push(format!(
            "Gives up to {}{}.",
            amps(worst.value),
            in_state(see, worst)
        ));
    }
    all
}

fn fuse(see: &Snapshot, row: &TreeRow, id: Id<Fuse>) -> Vec<String> {
    let book = see.book();
    let Some((fuse, zone)) = book.get(id).zip(see.protection().zone(id)) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let core = core_fuse(see, zone, fuse);
    if let Some(worst) = row.figures.current_a {
        let allowed = core.as_ref().map(|core| running(core, worst.value));
        let allowed = allowed.map_or_else(
            || "cannot check: missing the ambient of its holder".to_owned(),
            |r| format!("{} A is 75 % of the rating at its warmth", number(r.allowed_a)),
        );
        all.push(format!(
            "Carries up to {}{}; {allowed}.",
            amps(worst.value),
            in_state(see, worst)
        ));
    }
    if let Some(fault_a) = see.protection().prospective_a(zone) {
        let breaking = fuse.breaking_a.map_or_else(
            || "its breaking capacity is not entered".to_owned(),
            |a| format!("it breaks up to {} A", number(a)),
        );
        all.push(format!("Fault current here {} A; {breaking}.", number(fault_a)));
    }
    let kind = match core_kind(fuse.kind) {
        FuseKind::Blade => "blade fuse",
        _ => "fuse",
    };
    let above = zone
        .above
        .map_or_else(String::new, |above| format!(", beneath {}", book.label_of(above)));
    let beneath = crate::screen::text::count(zone.wires.len(), "wire", "wires");
    all.push(format!(
        "A {kind}{above}, with {beneath} beneath it down to the next fuse."
    ));
    all
}

fn wire(see: &Snapshot, row: &TreeRow, at: usize) -> Vec<String> {
    let book = see.book();
    let mut all = Vec::new();
    let feed = see.protection().wires.get(at).copied().flatten();
    let fuse = feed.and_then(|f| f.fuse);
    if let Some(worst) = row.figures.current_a {
        let drop = row
            .figures
            .drop_v
            .map_or_else(String::new, |v| format!(", drops {}", Quantity::Voltage.show(v)));
        all.push(format!(
            "Carries up to {}{}{drop}.",
            amps(worst.value),
            in_state(see, worst)
        ));
    }
    match (fuse, &row.figures.verdict) {
        (None, _) => all.push("No fuse protects it.".to_owned()),
        (Some(id), None) => all.push(format!(
            "Beneath {}; cannot check: missing its size, class, zone, or the zone of the fuse's holder.",
            book.label_of(id)
        )),
        (Some(id), Some(verdict)) => {
            let class_c = row.figures.class_c.unwrap_or(f64::NAN);
            let edge = if verdict.on_the_edge { " (on the edge)" } else { "" };
            all.push(format!(
                "Beneath {}: {}{edge}.",
                book.label_of(id),
                reason(verdict, class_c)
            ));
            if let Some(m) = verdict.margin.filter(|m| m.ratio >= 1.0) {
                let times = if m.at_least { "at least " } else { "" };
                all.push(format!(
                    "Margin least at {} A: it bears {times}{} and the fuse takes {} at most, {times}{} times as long.",
                    number(m.current_a),
                    time(m.wire_bears_s),
                    time(m.fuse_longest_s),
                    number(m.ratio)
                ));
            }
        }
    }
    if let Some(verdict) = far_end(see, at, fuse) {
        let bears = verdict
            .wire
            .map_or_else(String::new, |b| format!(", it bears {}", time(b.time_s)));
        let opens = if verdict.fuse_longest_s.is_infinite() {
            "no opening is promised".to_owned()
        } else {
            format!("the fuse has opened after {}", time(verdict.fuse_longest_s))
        };
        all.push(format!(
            "Short at its far end: {} A, {opens}{bears}: {}.",
            number(verdict.fault_a),
            far_end_words(&verdict)
        ));
    }
    if let Some(c) = row.figures.conductor_c.filter(|c| c.is_finite()) {
        all.push(format!("Runs at up to {}.", celsius(c)));
    }
    all
}

fn far_end(see: &Snapshot, at: usize, fuse: Option<Id<Fuse>>) -> Option<crimpbook_core::fuse::FarEnd> {
    let zone = see.protection().zone(fuse?)?;
    let core = core_fuse(see, zone, see.book().get(fuse?)?)?;
    Some(crimpbook_core::fuse::far_end(&core, &wire_below(see, at, None)?))
}

fn load(see: &Snapshot, row: &TreeRow) -> Vec<String> {
    let of = &row.figures;
    let mut all = Vec::new();
    if let Some(worst) = of.current_a {
        all.push(format!(
            "Draws up to {}{}.",
            amps(worst.value),
            in_state(see, worst)
        ));
    }
    if let (Some(all_v), Some((back_v, source))) = (of.drop_v, of.back) {
        let source = see
            .wiring()
            .parts
            .get(source)
            .map(|run| see.book().label_of(run.part));
        all.push(format!(
            "On the way from {} {} V are lost, on the way back {} V: {} V together.",
            source.unwrap_or_default(),
            number(all_v - back_v),
            number(back_v),
            number(all_v)
        ));
    }
    all
}
