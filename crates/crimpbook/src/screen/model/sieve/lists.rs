//! Which list is shown, how many rows it has, and which of them the cursor is on.

use super::List;
use crate::screen::{
    action::Where,
    model::{
        Model, kept::Rows, log, meter, overview, parts, protection, settings, sources, states, trials,
        written,
    },
};

/// The list shown; none where what is shown is none, or has an order that means something.
pub fn list_of(model: &Model) -> Option<List> {
    Some(match model.place {
        Where::Overview => List::Findings,
        Where::Sources => List::Sources,
        Where::Build => List::Build,
        Where::Protection if model.protection.shows == protection::Shows::FarEnds => List::FarEnds,
        Where::States => match model.states.shows {
            states::Shows::Table => List::Volts,
            states::Shows::Written => List::Written,
            states::Shows::Rules => return None,
        },
        Where::Tests => List::Tests,
        Where::Settings => List::Settings,
        Where::Trials if model.trials.shows == trials::Shows::List => List::Trials,
        Where::Log => List::Log,
        Where::Parts => List::Parts(parts::kind(model)),
        _ => return None,
    })
}

/// How many rows a list that is shown has.
pub fn rows_shown(model: &Model, list: List) -> usize {
    match list {
        List::Findings => {
            let finding = |row: &&overview::Row| row.part == overview::Part::Findings;
            overview::rows(model).iter().filter(finding).count()
        }
        List::Written => written::rows(model)
            .iter()
            .filter(|row| row.key.is_some())
            .count(),
        _ => all(model, list),
    }
}

fn all(model: &Model, list: List) -> usize {
    match list {
        List::Findings => overview::rows(model).len(),
        List::Sources => sources::rows(model).len(),
        List::Build => super::super::build::items(model).len(),
        List::FarEnds => protection::far_rows(model).map_or(0, |rows| rows.len()),
        List::Volts => states::rows(model).map_or(0, |rows| rows.len()),
        List::Written => written::rows(model).len(),
        List::Tests => meter::tests(model).listed.tests.len(),
        List::Settings => settings::rows(model).len(),
        List::Trials => trials::rows(model).len(),
        List::Log => log::listed(model).len(),
        List::Parts(_) => parts::rows(model).len(),
    }
}

/// The row the cursor of a list is on; none where the cursor is kept by what it is on.
pub fn cursor(model: &Model, list: List) -> Option<usize> {
    Some(match list {
        List::Findings => model.overview.at,
        List::Sources => model.sources.at,
        List::FarEnds => model.protection.far_at,
        List::Written => model.states.written_at,
        List::Tests => model.meter.at,
        List::Settings => model.settings.at,
        List::Trials => model.trials.at,
        List::Log => model.log.at,
        List::Parts(kind) => model.parts.at.get(&kind).copied().unwrap_or(0),
        List::Build | List::Volts => return None,
    })
}

/// Puts the cursor of a list on a row.
pub fn set_cursor(model: &mut Model, list: List, at: usize) {
    match list {
        List::Findings => model.overview.at = at,
        List::Sources => model.sources.at = at,
        List::FarEnds => model.protection.far_at = at,
        List::Written => model.states.written_at = at,
        List::Tests => model.meter.at = at,
        List::Settings => model.settings.at = at,
        List::Trials => model.trials.at = at,
        List::Log => model.log.at = at,
        List::Parts(kind) => {
            model.parts.at.insert(kind, at);
        }
        List::Build | List::Volts => {}
    }
}

/// What tells each row of a list from every other, whatever its place; empty where the cursor is kept by what it is on.
pub fn identities(model: &Model, list: List) -> Vec<String> {
    match list {
        List::Findings => {
            let rows = overview::rows(model).iter();
            rows.map(|row| format!("{:?} {}", row.part, row.words.trim_start_matches("└ ")))
                .collect()
        }
        List::Sources => named(sources::rows(model), |row| row.row.cavity()),
        List::FarEnds => named(protection::far_rows(model).iter().flat_map(Rows::iter), |row| {
            row.wire
        }),
        List::Written => named(written::rows(model), |row| (row.kind, row.key)),
        List::Tests => named(&meter::tests(model).listed.tests, |t| (t.kind, t.at, t.against)),
        List::Settings => named(&settings::rows(model), |row| row.id),
        List::Trials => named(trials::rows(model).iter(), |id| *id),
        List::Log => named(log::listed(model).iter(), |head| head.seq),
        List::Parts(_) => named(parts::rows(model), |row| row.key),
        List::Build | List::Volts => Vec::new(),
    }
}

fn named<R, N: std::fmt::Debug>(rows: impl IntoIterator<Item = R>, name: impl Fn(R) -> N) -> Vec<String> {
    rows.into_iter().map(|row| format!("{:?}", name(row))).collect()
}
