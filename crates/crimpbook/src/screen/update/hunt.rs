//! Finding a fault: symptoms and readings as they are typed or chosen.

use crimpbook_workbook::{
    analysis::suspects::{seen_or_read, volts_alone},
    edit::make,
    measure::battery_read,
    model::{FaultFinding, Id, SeenOrRead, State},
};

use crate::screen::{
    editor::Editor,
    effect::{Effect, Then},
    model::{
        Model,
        hunt::{Hunt, Said, signatures},
        over::Over,
        states,
    },
};

/// Opens the page, with what was typed before.
pub fn open(model: &mut Model) {
    let Some(state) = states::state(model).map(|of| of.state) else {
        let unsolved = model
            .findings
            .current()
            .is_some_and(|see| !see.unsolved().is_empty());
        model.complain(match unsolved {
            true => "no state has a solution, and the screen says why: faults are sought in one that has",
            false => "there is no operating state yet: add one (a), then faults are sought in it",
        });
        return;
    };
    match &mut model.hunt {
        Some(hunt) => hunt.state = state,
        None => model.hunt = Some(Hunt::of(state)),
    }
    model.over.push(Over::Hunt);
}

/// Takes what is chosen or typed.
pub fn take(model: &mut Model) -> Vec<Effect> {
    let Some(mut hunt) = model.hunt.take() else {
        return Vec::new();
    };
    let chosen = hunt
        .pick
        .and_then(|at| hunt.choices().get(at).map(|c| c.put.clone()));
    hunt.pick = None;
    let text = match chosen {
        Some(put) if put.ends_with(' ') => {
            hunt.editor = Editor::with(put);
            model.hunt = Some(hunt);
            return Vec::new();
        }
        Some(put) => put,
        None => hunt.editor.text(),
    };
    if let Some(session) = ended(model, &hunt, text.trim()) {
        model.hunt = Some(hunt);
        return keep(model, session);
    }
    match accept(model, &mut hunt, text.trim()) {
        Ok(()) => {
            hunt.editor = Editor::default();
            hunt.wrong = None;
            hunt.from = 0;
        }
        Err(wrong) => hunt.wrong = Some(wrong),
    }
    model.hunt = Some(hunt);
    Vec::new()
}

/// The session with its outcome, where that is what is typed: `found W11 off at MC-A14: crimped anew`, `not found …`.
fn ended(model: &mut Model, hunt: &Hunt, text: &str) -> Option<FaultFinding> {
    let low = text.to_lowercase();
    let (found, cut) = match (low.strip_prefix("found"), low.strip_prefix("not found")) {
        (_, Some(_)) => (false, "not found".len()),
        (Some(_), None) => (true, "found".len()),
        _ => return None,
    };
    let outcome = text
        .get(cut..)?
        .trim_start_matches(|c: char| c == ':' || c.is_whitespace());
    let said = hunt.said.iter().map(|said| SeenOrRead {
        state: model.book.label_of(said.state),
        words: said.text.clone(),
    });
    Some(FaultFinding {
        said: said.collect(),
        id: model.ids.make(),
        at: model.now,
        who: model.who.clone(),
        battery_v: hunt.battery_cv.map(|cv| f64::from(cv) / 100.0),
        suspects: hunt.page.suspects.join("; "),
        found,
        outcome: outcome.to_owned(),
    })
}

fn keep(model: &mut Model, session: FaultFinding) -> Vec<Effect> {
    match make::keep_fault_finding(&model.book, session) {
        Ok(edit) => {
            let then = Then {
                close: true,
                ..Then::default()
            };
            vec![Effect::Commit(Box::new(edit), then)]
        }
        Err(refusal) => {
            if let Some(hunt) = &mut model.hunt {
                hunt.wrong = Some(refusal.to_string());
            }
            Vec::new()
        }
    }
}

fn accept(model: &Model, hunt: &mut Hunt, text: &str) -> Result<(), String> {
    if text.is_empty() {
        return Err("type what is otherwise, or a cavity and volts; the arrows choose".to_owned());
    }
    let low = text.to_lowercase();
    if let Some(volts) = low.strip_prefix("battery") {
        let volts: Option<f64> = volts
            .trim()
            .trim_end_matches('v')
            .trim()
            .replace(',', ".")
            .parse()
            .ok();
        let volts = volts.ok_or_else(|| "type the battery's volts at rest: battery 12.6".to_owned())?;
        let volts = battery_read(volts)?;
        hunt.battery_cv = Some((volts * 100.0).round() as u32);
        return Ok(());
    }
    if let Some(name) = low.strip_prefix("state ") {
        hunt.state = named(model, name)?;
        return Ok(());
    }
    // What another state showed can be told from here.
    let other = text
        .split_once(':')
        .and_then(|(name, rest)| Some((named(model, name).ok()?, rest.trim())));
    let (state, text) = other.unwrap_or((hunt.state, text));
    let see = model.findings.current();
    // What can be watched and measured has the same names in every state.
    let (Some(see), Some(Ok((of, _)))) = (see, signatures(model, hunt, hunt.state)) else {
        return Err(
            "what every fault would show is still being computed; Enter again in a moment".to_owned(),
        );
    };
    let text = match (volts_alone(text), hunt.page.measure) {
        (None, _) => text.to_owned(),
        // A figure alone is read where the page says to measure next.
        (Some(_), Some(cavity)) if state == hunt.state => {
            format!("{} {text}", see.book().cavity_name(cavity))
        }
        (Some(_), _) => {
            return Err(format!(
                "{text}: say where it was read, as in MC-A19 4.9; no place is shown to measure next in that state"
            ));
        }
    };
    seen_or_read(see.book(), of, &text).map_err(|wrong| format!("{}; {}", wrong.what, wrong.hint))?;
    hunt.said.push(Said { state, text });
    Ok(())
}

fn named(model: &Model, name: &str) -> Result<Id<State>, String> {
    let states = model.book.all::<State>().values();
    let mut found = states.filter(|s| s.label.eq_ignore_ascii_case(name.trim()));
    let id = found.next().map(|s| s.id);
    id.ok_or_else(|| format!("no operating state is called \"{}\"", name.trim()))
}

/// Takes the last one back.
pub fn take_back(model: &mut Model) {
    if let Some(hunt) = model.hunt.as_mut()
        && hunt.said.pop().is_none()
    {
        hunt.battery_cv = None;
    }
}

/// Whether every other lamp and load does what it should in this state.
pub fn else_usual(model: &mut Model) {
    if let Some(hunt) = model.hunt.as_mut() {
        let before = hunt.else_usual.len();
        let here = hunt.state;
        hunt.else_usual.retain(|state| *state != here);
        if hunt.else_usual.len() == before {
            hunt.else_usual.push(here);
        }
    }
}

/// Moves among what can be chosen; above the first is what is typed.
pub fn choose(model: &mut Model, down: bool) {
    if let Some(hunt) = model.hunt.as_mut() {
        let last = hunt.choices().len().checked_sub(1);
        hunt.pick = match (hunt.pick, down) {
            (None, true) => last.map(|_| 0),
            (Some(at), true) => last.map(|last| (at + 1).min(last)),
            (Some(at), false) => at.checked_sub(1),
            (None, false) => None,
        };
    }
}

/// Scrolls.
pub fn scroll(model: &mut Model, down: bool) {
    if let Some(hunt) = model.hunt.as_mut() {
        let last = hunt.page.lines.len().saturating_sub(3);
        hunt.from = if down {
            (hunt.from + 4).min(last)
        } else {
            hunt.from.saturating_sub(4)
        };
    }
}
