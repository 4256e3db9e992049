//! Whether relays and loads stay as they are under a fault.

use super::currents::Currents;
use super::round::Round;
use crate::network::law::{Bent, Work};
use crate::network::operate::{AT_REST_V, START_SHARE};

impl Currents<'_> {
    /// Whether no coil pulls in or drops out.
    pub(super) fn coils_stay(&self, round: &Round) -> bool {
        let ports = &self.faults.ports;
        let (besides, loose) = round.current_a.split_at(self.besides.len());
        ports.coils.iter().enumerate().all(|(at, coil)| {
            let mut u = coil.u;
            for (beside, current_a) in self.besides.iter().zip(besides) {
                u -= coil.pair.rise(&beside.answer) * current_a;
            }
            for (loose, current_a) in self.loose.iter().zip(loose) {
                u -= ports.at_coil(at, loose.port) * current_a;
            }
            for drift in &self.drifting {
                u -= ports.at_coil(at, drift.port) * drift.current_a;
            }
            (coil.least_v..coil.most_v).contains(&u.abs())
        })
    }

    /// Whether no power load starts or drops out.
    pub(super) fn loads_stay(&self, at_bends: &[f64]) -> bool {
        self.faults
            .ports
            .bends
            .iter()
            .zip(at_bends)
            .enumerate()
            .all(|(port, (bend, &u))| {
                let Bent::PowerLoad(law) = bend.law else {
                    return true;
                };
                match self.work(port) {
                    Work::Running => u >= law.least_v,
                    Work::Waiting => false,
                    Work::DroppedOut => {
                        // What it would find at switch-on, itself drawing nothing.
                        let own_ohms = self.faults.ports.at_bend(port, port);
                        let relief = (1.0 - own_ohms * bend.slope_s).max(f64::MIN_POSITIVE);
                        (u - bend.u).abs() < AT_REST_V || u / relief < START_SHARE * law.least_v
                    }
                }
            })
    }
}
