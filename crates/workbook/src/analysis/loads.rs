//! What outputs, sensor references and contacts carry, beside what they may.

use crimpbook_core::network::Condition;

use super::{Snapshot, StateResult};
use crate::model::{Id, Part, PartKind};

/// An output, reference or contact and its load in a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// The output, reference or contact.
    pub part: Id<Part>,
    /// What it carries, A.
    pub current_a: f64,
    /// What it may carry all the time, A; none: not told.
    pub most_a: Option<f64>,
    /// What it may carry for a moment, A, and how long that is, s.
    pub peak: Option<(f64, Option<f64>)>,
    /// It gives all it can: a reference at its limit.
    pub limited: bool,
}

impl Snapshot {
    /// Outputs, references and contacts that carry something in a state, in order of ids.
    pub fn loads(&self, of: &StateResult) -> Vec<Load> {
        let parts = self.wiring().parts.iter().enumerate();
        parts
            .filter_map(|(at, run)| {
                let (most_a, peak) = match self.book().get(run.part)?.kind {
                    PartKind::Output {
                        most_a,
                        peak_a,
                        peak_s,
                        ..
                    } => (most_a, peak_a.map(|a| (a, peak_s))),
                    PartKind::Contact { most_a, .. } => (most_a, None),
                    PartKind::Reference { limit_a, .. } => (limit_a, None),
                    _ => return None,
                };
                let current_a = of.operated.part_a(at).abs();
                (current_a > 0.0).then(|| Load {
                    part: run.part,
                    current_a,
                    most_a,
                    peak,
                    limited: of.operated.condition(at) == Some(Condition::Limited),
                })
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::{model::*, testing::Bench};

    #[test]
    fn an_output_carries_what_its_lamp_draws() {
        let mut bench = Bench::new();
        let state = bench.state("STOP");
        bench.battery();
        bench.resistor("lamp", 120.0, &["BP", "MC-A26"]);
        let out = bench.part("MC OUT5", Bench::low_side(0.05), &["MC-A26", "BN"]);
        bench.edit(out, |p: &mut Part| {
            if let PartKind::Output { most_a, .. } = &mut p.kind {
                *most_a = Some(0.3);
            }
        });
        let see = bench.snapshot();
        assert_eq!(see.loads(&see.states()[0]), [], "it is off");
        bench.set(state, out, PartPosition::On);
        let see = bench.snapshot();
        let loads = see.loads(&see.states()[0]);
        assert_eq!(loads.len(), 1);
        assert_eq!((loads[0].part, loads[0].most_a), (out, Some(0.3)));
        assert!((loads[0].current_a - 12.6 / 120.061).abs() < 1e-6, "{loads:?}");
    }
}
