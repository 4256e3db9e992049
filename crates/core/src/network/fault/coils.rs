//! What coils do under a fault.

use super::currents::Currents;

impl Currents<'_> {
    /// Where the coils go from `pulled`, by their voltages behind those of the bends.
    pub(super) fn coils_go(&self, at_ports: &[f64], pulled: &[bool]) -> Vec<bool> {
        let ports = &self.faults.ports;
        let volts = at_ports.iter().skip(ports.bends.len());
        let coils = ports.coils.iter().zip(volts).zip(pulled);
        coils
            .map(|((coil, u), &pulled)| u.abs() >= if pulled { coil.drop_out_v } else { coil.pull_in_v })
            .collect()
    }
}
