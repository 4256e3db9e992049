//! The voltage to expect at a cavity in a state.

use crimpbook_core::network::Potential;
use crimpbook_workbook::{
    analysis::{Snapshot, StateResult},
    model::{Cavity, End, Id, Wire},
};

/// What a meter should read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Expected {
    /// Volts against the unit's own ground.
    Own(f64),
    /// Volts against battery negative: the unit has no ground of its own, or it floats.
    Negative(f64),
    /// Nothing holds it.
    Floating,
    /// It goes to and fro.
    Unsteady(f64, f64),
}

impl Expected {
    /// What to expect at a cavity in a computed state.
    pub fn at(see: &Snapshot, state: &StateResult, cavity: Id<Cavity>) -> Self {
        let volts = see.cavity_volts(state, cavity);
        match (volts.negative, volts.own_ground_v) {
            (Potential::Unsteady { least_v, most_v }, _) => Self::Unsteady(least_v, most_v),
            (Potential::Floating, None) => Self::Floating,
            (_, Some(own)) => Self::Own(own),
            (Potential::At(volts), None) => Self::Negative(volts),
        }
    }

    /// For a narrow cell; a dagger stands for "against battery negative".
    pub fn words(self) -> String {
        match self {
            Self::Own(volts) => hundredths(volts),
            Self::Negative(volts) => format!("{}†", hundredths(volts)),
            Self::Floating => "floats".to_owned(),
            Self::Unsteady(least, most) => format!("{} to {}", hundredths(least), hundredths(most)),
        }
    }
}

/// A voltage to a hundredth, which is what a meter shows.
pub fn hundredths(volts: f64) -> String {
    // Adding zero takes the sign off a rounded nothing.
    ((volts * 100.0).round() / 100.0 + 0.0).to_string()
}

/// Whether something is joined to the cavity, so that there is something to measure.
pub fn is_joined(see: &Snapshot, cavity: &Cavity) -> bool {
    use crimpbook_workbook::model::Decision;
    let has_wire = see.book().index().wires_at_cavity.contains_key(&cavity.id);
    has_wire || matches!(cavity.decision, Decision::Bridged { .. })
}

/// The end of a wire where the current leaves it, if it enters at its `from` end or not.
pub(crate) fn far_end(wire: &Wire, enters_from: bool) -> End {
    if enters_from { wire.to } else { wire.from }
}

#[cfg(test)]
mod tests {
    use super::hundredths;

    #[test]
    fn volts_are_given_as_a_meter_shows_them() {
        assert_eq!(hundredths(12.3449), "12.34");
        assert_eq!(hundredths(-0.001), "0");
        assert_eq!(hundredths(5.0), "5");
    }
}
