//! States: the voltage to expect at every cavity in every operating state.
//!
//! Connector and cavity are the Face's own, so that both screens stay at the same place.

use crimpbook_workbook::{
    analysis::{
        CavityVolts, StateResult,
        suppose::{Reads, reads},
    },
    measure::Expected,
    model::{Cavity, Decision, Key, Kind},
};

use super::{
    Model, face, meter, rules,
    sieve::{By, List, arrange},
    written,
};
use crate::screen::ask::{Answer, Question, answer};

/// So many states are asked about, more than fit on a screen.
const NEAR: usize = 16;

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

/// The states around the one the cursor is on, those that are nearest first: what is shown lies among them.
pub fn near(model: &Model) -> impl Iterator<Item = &StateResult> {
    let states = model.findings.current().map_or(&[][..], |see| see.states());
    let here = model.states.state.min(states.len().saturating_sub(1));
    let mut near: Vec<(usize, &StateResult)> = states.iter().enumerate().collect();
    near.sort_by_key(|(at, _)| at.abs_diff(here));
    near.into_iter().take(NEAR).map(|(_, of)| of)
}

/// What a meter should show at a cavity in a state, or why that cannot be told; none: it is being computed.
pub fn window(model: &Model, of: &StateResult, cavity: &Cavity) -> Option<Expected> {
    match answer(model, Question::Windows(of.state))? {
        Answer::Windows(Ok(windows)) => windows.get(&cavity.id).cloned(),
        Answer::Windows(Err(why)) => Some(Expected::CannotTell(why.clone())),
        _ => None,
    }
}

/// A window in full.
pub fn window_words(expected: &Expected) -> String {
    match expected {
        Expected::Floats => "floats, a meter shows about 0 V".to_owned(),
        Expected::CannotTell(why) => format!("cannot tell: {why}"),
        Expected::Within {
            least: Some(least),
            most: Some(most),
        } => format!("{least:.2} to {most:.2} V"),
        Expected::Within { least, most } => meter::window(*least, *most, "V"),
    }
}

/// A window for a narrow cell; rounded outwards, so that what is right is never told wrong.
pub fn window_short(expected: &Expected) -> String {
    let Expected::Within {
        least: Some(least),
        most: Some(most),
    } = expected
    else {
        return match expected {
            Expected::Floats => "floats".to_owned(),
            _ => "cannot tell".to_owned(),
        };
    };
    let digits = if least.abs().max(most.abs()) < 10.0 { 2 } else { 1 };
    let step = 10f64.powi(digits);
    // A hair is left to what binary fractions make of a rounded figure; adding zero takes the sign off nothing.
    let out = |v: f64| v / step + 0.0;
    let (least, most) = (
        out((least * step + 1e-6).floor()),
        out((most * step - 1e-6).ceil()),
    );
    let digits = digits as usize;
    format!("{least:.digits$}–{most:.digits$}")
}

/// What stands in a cell: the figure and a mark behind it.
pub fn cell(cavity: &Cavity, volts: CavityVolts) -> (String, char) {
    let own = volts.own_words();
    match (own.as_str(), reads(&cavity.limits, volts.own_ground_v)) {
        ("-", _) => (volts.negative_words(), 'n'),
        (_, Some(of)) => (own, mark(of)),
        (_, None) => (own, ' '),
    }
}

fn mark(of: Reads) -> char {
    match of {
        Reads::On => '●',
        Reads::Off => '○',
        Reads::Undefined => '?',
    }
}

/// The same with a window: not sure where its ends read otherwise.
pub fn window_cell(cavity: &Cavity, volts: CavityVolts, expected: &Expected) -> (String, char) {
    let mark = match (cell(cavity, volts).1, ends_read(cavity, expected)) {
        ('n', _) => 'n',
        (_, Some((one, other))) if one != other => '?',
        (mark, _) => mark,
    };
    (window_short(expected), mark)
}

/// What a cavity's unit reads at both ends of a window.
pub fn ends_read(cavity: &Cavity, expected: &Expected) -> Option<(Reads, Reads)> {
    let Expected::Within { least, most } = expected else {
        return None;
    };
    Some((reads(&cavity.limits, *least)?, reads(&cavity.limits, *most)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_window_is_rounded_outwards() {
        let short = |least, most| window_short(&Expected::within(least, most));
        assert_eq!(short(11.24, 14.41), "11.2–14.5");
        assert_eq!(short(11.2, 14.4), "11.2–14.4");
        assert_eq!(short(-0.06, 0.05), "-0.06–0.05");
        assert_eq!(short(0.0, 0.05), "0.00–0.05");
        assert_eq!(short(-6.12, -5.55), "-6.12–-5.55");
        assert_eq!(window_short(&Expected::Floats), "floats");
    }
}
