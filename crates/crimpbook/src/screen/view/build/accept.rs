//! What a step is accepted by, and what was answered for it.

use crimpbook_core::{quantity::Size, tables::pull_out::pull_out};
use crimpbook_workbook::{
    model::{Built, ContactFamily, Junction, Step, Wire},
    plan::{self, Standing},
};

use super::end_cavity;
use crate::screen::{
    figures::{ago, number},
    model::{
        Model,
        build::{StepAt, answer},
    },
};

/// A step in one short word, for the strip.
pub fn short(step: Step) -> &'static str {
    match step {
        Step::Label => "label",
        Step::Seal => "seal",
        Step::NotShorted => "no short",
        Step::Continuity => "through",
        Step::Plugs => "plugs",
        Step::SecondaryLock => "lock",
        Step::Finish => "finish",
        Step::Clean => "clean",
        Step::Lugs => "order",
        Step::SealSplice => "seal",
        Step::JacketBack => "jacket",
        Step::ShieldEnd => "far end",
        other => other.words(),
    }
}

/// What a step is accepted by, with the figures of this wire and contact.
pub fn accept(model: &Model, step: &StepAt) -> String {
    let mut words = step.step.step.accept().to_owned();
    if let (Built::Junction(id), Step::Torque) = (step.step.of, step.step.step) {
        let nm = model.book.get::<Junction>(id).and_then(|stud| stud.torque_nm);
        return nm.map_or_else(
            || "cannot check: torque not given, see the unit's manual; then marked with paint".to_owned(),
            |nm| format!("{} N·m, then marked with paint", number(nm)),
        );
    }
    let (Built::Wire(id) | Built::End { wire: id, .. }) = step.step.of else {
        return words;
    };
    let Some(wire) = model.book.get::<Wire>(id) else {
        return words;
    };
    let contact = end_cavity(model, step.step.of)
        .and_then(|c| c.contact)
        .and_then(|c| model.book.get::<ContactFamily>(c));
    match step.step.step {
        Step::Cut => {
            if let Some(m) = wire.length_m {
                let twist = twist_mm(model, wire).map_or_else(String::new, |mm| {
                    format!(
                        " and {} mm for the twist ({} turns a metre)",
                        number(mm.round()),
                        number(plan::TURNS_PER_M)
                    )
                });
                words = format!("{} mm{twist}, up to 20 mm longer", number((m * 1000.0).round()));
            }
        }
        Step::Label => {
            let (from, to) = (model.book.end_name(wire.from), model.book.end_name(wire.to));
            words = format!(
                "{} at both ends, {from} and {to}; outside the boot, before terminating",
                wire.label
            );
        }
        Step::Strip => {
            if let Some(mm) = contact.and_then(|c| c.strip_mm) {
                words = format!("{} mm ±0.5 mm, no strand cut or scraped", number(mm));
            } else if end_cavity(model, step.step.of).is_none() {
                words = "as long as the barrel, no strand cut or scraped".to_owned();
            }
        }
        Step::Crimp => {
            if let Some(c) = contact {
                words = format!("contact {}; {words}", c.label);
            }
            let pull = size(wire).and_then(|size| pull_out(&size));
            if let Some(row) = pull {
                words = format!(
                    "{words}; a sample holds {} N ({}, {})",
                    number(row.force_n),
                    row.source.text,
                    row.source.how_known.word()
                );
            }
        }
        _ => {}
    }
    words
}

/// What a wire of a pair takes more for the twist, mm; none where it is in no pair or has no size.
fn twist_mm(model: &Model, wire: &Wire) -> Option<f64> {
    let more = (plan::cut_m(&model.book, wire)? - wire.length_m?) * 1000.0;
    (more > 0.0).then_some(more)
}

fn size(wire: &Wire) -> Option<Size> {
    if wire.size_written.is_empty() {
        Size::metric(wire.area_mm2?)
    } else {
        wire.size_written.parse().ok()
    }
}

/// What was answered for a step.
pub fn answered(model: &Model, step: &StepAt) -> Option<String> {
    let answer = answer(model, step.answer?)?;
    let when = format!("{}, by {}", ago(answer.at, model.now), answer.who);
    let note = if answer.note.is_empty() {
        String::new()
    } else {
        format!(": {}", answer.note)
    };
    Some(match step.standing {
        Standing::Done => format!("✓ done {when}{note}"),
        Standing::Skipped => format!("– skipped {when}{note}"),
        Standing::Failed => format!("✗ FAILED {when}{note}"),
        Standing::Redo => {
            let why = answer.redo.as_deref().unwrap_or_default();
            format!("! TO BE REDONE: {why} (was done {when})")
        }
        Standing::Open => return None,
    })
}
