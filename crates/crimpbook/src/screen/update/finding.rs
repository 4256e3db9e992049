//! What can be done about the finding under the Overview's cursor: accept it with a why, or let its mend be made.

use crimpbook_workbook::{
    check::{Finding, rests_of},
    edit::{Change, Edit},
    model::{Acceptance, Id},
};

use crate::screen::{
    effect::{Effect, Then},
    model::{Model, findings, line::Line, over::Over, overview::finding_at},
};

fn then() -> Then {
    Then {
        close: true,
        ..Then::default()
    }
}

/// Accepts the finding with a why; where it is accepted already, takes that back.
pub fn accept(model: &mut Model) -> Vec<Effect> {
    let Some(finding) = finding_at(model).cloned() else {
        return Vec::new();
    };
    let there = finding
        .accepted
        .as_ref()
        .and_then(|a| model.book.get::<Acceptance>(a.id))
        .cloned();
    if finding.is_accepted()
        && let Some(acceptance) = there
    {
        let edit = Edit::design(
            format!("no longer accepted: {}", finding.sentence),
            vec![Change::remove(acceptance)],
        );
        return vec![Effect::Commit(Box::new(edit), then())];
    }
    let edit = acceptance(model, &finding, there);
    model.over.push(Over::Line(Line::why_of_acceptance(
        format!("Accept as it is: {} Why?", finding.sentence),
        edit,
        then(),
    )));
    Vec::new()
}

/// The acceptance as an edit, its why still to come; in place of one that has lapsed.
fn acceptance(model: &mut Model, finding: &Finding, lapsed: Option<Acceptance>) -> Edit {
    let after = Acceptance {
        id: lapsed
            .as_ref()
            .map_or_else(|| model.ids.make(), |a: &Acceptance| -> Id<Acceptance> { a.id }),
        check: finding.check.to_owned(),
        places: finding.places.clone(),
        why: String::new(),
        figure: finding.figure_value(),
        at: model.now,
        who: model.who.clone(),
        rested_on: rests_of(&model.book, finding),
        lapsed: None,
    };
    let change = match lapsed {
        None => Change::make(after),
        Some(before) => Change::replace(before, after),
    };
    Edit::design(format!("accepted: {}", finding.sentence), vec![change])
}

/// Shows the mend that was computed, to be made with a why.
pub fn mend(model: &mut Model) {
    let edit = finding_at(model)
        .and_then(|f| findings::mend(model, f))
        .and_then(|m| m.edit());
    match edit {
        Some(edit) => {
            let title = format!("Make this change: {}. Why?", edit.title.trim_end_matches('.'));
            let mut line = Line::why(title, edit, then());
            if let Some(finding) = finding_at(model) {
                line = line.started(finding.sentence.clone());
            }
            model.over.push(Over::Line(line));
        }
        None => model.complain("this mend needs a person to think; it is told in words only"),
    }
}
