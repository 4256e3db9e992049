//! The Overview.

use super::everywhere::{go_to, move_cursor, show};
use crate::screen::{
    action::{Do, Where},
    effect::Effect,
    form::{Purpose, Start},
    model::{
        Model,
        overview::{To, row_at, rows},
    },
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    let count = rows(model).len();
    if move_cursor(&mut model.overview.at, count, act) {
        return Some(Vec::new());
    }
    match act {
        Do::Open => {
            let to = row_at(model)?.to;
            match to {
                To::Record(key) => show(model, key),
                To::Build => go_to(model, Where::Build),
                To::OpenSources => {
                    go_to(model, Where::Sources);
                    super::sources::set_only_open(model, true);
                    model.sources.at = 0;
                }
                To::NewUnit => {
                    go_to(model, Where::Parts);
                    super::form::open(model, Purpose::Unit(None), &Start::default());
                }
                To::NewConnector => {
                    go_to(model, Where::Face);
                    super::form::open(model, Purpose::Connector(None), &Start::default());
                }
                To::Entry(seq) => {
                    go_to(model, Where::Log);
                    return Some(super::log::open(model, seq));
                }
                To::Nowhere => model.complain("this finding names no record to go to"),
            }
            Some(Vec::new())
        }
        Do::AcceptFinding => Some(super::finding::accept(model)),
        Do::Mend => {
            super::finding::mend(model);
            Some(Vec::new())
        }
        Do::AskFacts => {
            super::asking::open(model);
            Some(Vec::new())
        }
        Do::ShowNotes => {
            model.overview.notes = !model.overview.notes;
            model.derived.overview = std::sync::OnceLock::new();
            Some(Vec::new())
        }
        Do::BriefFindings => {
            // The brief list of no finding has no row.
            let was_on = row_at(model).and_then(|row| row.finding);
            model.overview.brief = !model.overview.brief;
            model.derived.overview = std::sync::OnceLock::new();
            let at = rows(model)
                .iter()
                .position(|row| row.finding.is_some() && row.finding == was_on);
            model.overview.at = at.unwrap_or(0);
            Some(Vec::new())
        }
        _ => None,
    }
}
