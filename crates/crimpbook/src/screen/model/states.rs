//! States: the voltage to expect at every cavity in every operating state.
//!
//! Connector and cavity are the Face's own, so that both screens stay at the same place.

use crimpbook_workbook::{
    analysis::{
        CavityVolts, StateResult,
        suppose::{Reads, reads},
    },
    model::{Cavity, Decision, Key, Kind},
};

use super::{
    Model, face, rules,
    sieve::{By, List, arrange},
    written,
};

/// What States shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shows {
    /// Cavities by states.
    #[default]
    Table,
    /// Rules with what breaks them.
    Rules,
    /// What is written down: rules, behaviours, switches, states.
    Written,
}

/// State of the States screen.
#[derive(Debug, Clone, Default)]
pub struct States {
    /// What is shown.
    pub shows: Shows,
    /// The line of the rules that the cursor is on.
    pub rule_at: usize,
    /// The line of what is written down that the cursor is on.
    pub written_at: usize,
    /// The operating state the cursor is on.
    pub state: usize,
}

/// The cavities of the connector shown that have something to measure; none while that is computed.
pub fn rows(model: &Model) -> Option<Vec<&Cavity>> {
    let see = model.findings.current()?;
    let nodes = &see.wiring().nodes;
    let connector = face::connector(model)?;
    let mut all = model.book.cavities_of(connector.id);
    all.retain(|c| {
        let known = nodes.unit_side(c.id).or_else(|| nodes.wire_side(c.id)).is_some();
        known && !matches!(c.decision, Decision::Blank | Decision::NotOurs)
    });
    let said = |c: &&Cavity| {
        let kind = c.kind.map_or("", |kind| kind.words());
        format!("{} {} {kind} {}", c.number, c.name, c.decision.words())
    };
    arrange(&model.sieves.of(List::Volts), &mut all, said, |c, by| match by {
        1 => By::words(&c.name),
        _ => By::words(c.kind.map_or("", |kind| kind.words())),
    });
    Some(all)
}

/// The place of the cursor among them.
pub fn at(model: &Model, rows: &[&Cavity]) -> usize {
    let here = face::cavity(model).map(|c| c.id);
    rows.iter().position(|c| Some(c.id) == here).unwrap_or(0)
}

/// The cavity the cursor is on.
pub fn cavity(model: &Model) -> Option<&Cavity> {
    let rows = rows(model)?;
    rows.get(at(model, &rows)).copied()
}

/// The operating state the cursor is on.
pub fn state(model: &Model) -> Option<&StateResult> {
    let states = model.findings.current()?.states();
    states.get(model.states.state.min(states.len().saturating_sub(1)))
}

/// The record under the cursor: a state in the table, a rule among the rules, any where all is listed.
pub fn record(model: &Model) -> Option<Key> {
    match model.states.shows {
        Shows::Table => state(model).map(|of| Key::of(of.state)),
        Shows::Rules => rules::rule(model).map(Key::of),
        Shows::Written => written::row(model)?.key,
    }
}

/// The kind that is added where the cursor is.
pub fn kind(model: &Model) -> Kind {
    match model.states.shows {
        Shows::Table => Kind::State,
        Shows::Rules => Kind::Rule,
        Shows::Written => written::row(model).map_or(Kind::Rule, |row| row.kind),
    }
}

/// What stands in a cell: the figure and a mark behind it.
pub fn cell(cavity: &Cavity, volts: CavityVolts) -> (String, char) {
    let own = volts.own_words();
    match (own.as_str(), reads(&cavity.limits, volts.own_ground_v)) {
        ("-", _) => (volts.negative_words(), 'n'),
        (_, Some(Reads::On)) => (own, '●'),
        (_, Some(Reads::Off)) => (own, '○'),
        (_, Some(Reads::Undefined)) => (own, '?'),
        (_, None) => (own, ' '),
    }
}
