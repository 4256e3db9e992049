//! What a meter should show at every cavity in a state with all plugs on, over the range of the supply, of the copper's warmth and of
//! what a hand meter may be off.

use std::collections::HashMap;

use super::{
    powered::{Making, Setup},
    test::{Expected, Known},
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, State},
};

/// By cavity, against the unit's own ground; against battery negative where the unit has none, or it floats against that.
pub type Windows = HashMap<Id<Cavity>, Expected>;

/// The windows of a state.
///
/// # Errors
/// Why they cannot be told, in a sentence's end.
pub fn windows(see: &Snapshot, state: Id<State>) -> Result<Windows, String> {
    let making = Making {
        see,
        known: &Known::default(),
        windows: true,
    };
    let solved = making.solve(&Setup::of(state))?;
    let cavities = see.book().all::<Cavity>().keys();
    Ok(cavities.map(|id| (*id, solved.volts_own(see, *id))).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing;

    #[test]
    fn every_figure_lies_in_its_window() {
        let see = Snapshot::of(&testing::demo());
        let mut apart = 0;
        for of in see.states() {
            let windows = windows(&see, of.state).unwrap();
            for (cavity, expected) in &windows {
                let volts = see.cavity_volts(of, *cavity);
                let name = see.book().cavity_name(*cavity);
                let v = volts.own_ground_v.or(volts.negative.volts());
                match expected {
                    Expected::Within {
                        least: Some(least),
                        most: Some(most),
                    } => {
                        let v = v.unwrap_or(f64::NAN);
                        assert!((*least..=*most).contains(&v), "{name}: {v} in {least} to {most}");
                        apart += usize::from(most - least > 1.0);
                    }
                    Expected::Floats => assert_eq!(v, None, "{name}"),
                    other => panic!("{name}: {other:?}"),
                }
            }
        }
        assert!(apart > 100, "{apart}");
    }
}
