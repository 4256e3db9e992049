//! What is worst for each wire over all operating states.

use super::StateResult;

/// A figure and the state in which it is worst; the state by its place in the list of results.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// The figure.
    pub value: f64,
    /// Place of the state.
    pub state: usize,
}

/// The worst of each wire.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct WireWorst {
    /// Largest current, A.
    pub current_a: Option<Worst>,
    /// Hottest conductor, °C.
    pub conductor_c: Option<Worst>,
}

/// Over all states, beside the wires of the wiring.
pub(super) fn worst(states: &[StateResult], wires: usize) -> Vec<WireWorst> {
    let most = |value: &dyn Fn(&StateResult) -> f64| {
        states
            .iter()
            .enumerate()
            .map(|(state, of)| Worst {
                value: value(of),
                state,
            })
            .reduce(|a, b| if b.value > a.value { b } else { a })
    };
    (0..wires)
        .map(|at| WireWorst {
            current_a: most(&|of| of.operated.wire_a(at).abs()),
            conductor_c: most(&|of| of.temperatures.conductor_c.get(at).copied().unwrap_or(f64::NAN)),
        })
        .collect()
}
