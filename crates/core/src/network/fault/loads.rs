//! What power loads do under a fault, as [`Search`](crate::network::operate::Search) has it, with currents
//! beside the network instead of a new factor.

use super::currents::{Currents, Loose};
use super::round::Round;
use crate::network::law::{Bent, Work};
use crate::network::operate::{AT_REST_V, DIODE_V, START_SHARE};

/// A power load among the bends, and its least voltage.
type Load = (usize, f64);

impl Currents<'_> {
    /// Has power loads drop out or start by the voltages `found` on present positions, and says what is found
    /// then.
    pub(super) fn loads_settle(&mut self, found: (Round, Vec<f64>)) -> Option<(Round, Vec<f64>)> {
        let loads = self.loads();
        let (_, at_ports) = &found;
        let fallen: Vec<Load> = loads
            .iter()
            .copied()
            .filter(|&(port, least_v)| self.work(port) == Work::Running && at_ports[port] < least_v)
            .collect();
        let found = if loads.iter().any(|load| self.may_start(load, at_ports)) {
            self.start_all(&loads)?
        } else if fallen.is_empty() {
            found
        } else {
            if self.stay_down(&fallen)? {
                // Below its least voltage a load draws what it draws dropped out: the balance holds.
                for (port, _) in fallen {
                    self.work[port] = Work::DroppedOut;
                }
                found
            } else {
                self.start_all(&loads)?
            }
        };
        for &(port, _) in &loads {
            self.rest_v[port] = found.1[port];
        }
        Some(found)
    }

    fn loads(&self) -> Vec<Load> {
        let bends = self.faults.ports.bends.iter().enumerate();
        bends
            .filter_map(|(port, bend)| match bend.law {
                Bent::PowerLoad(law) => Some((port, law.least_v)),
                _ => None,
            })
            .collect()
    }

    /// Whether a load that has dropped out could find its least voltage, itself drawing nothing.
    fn may_start(&self, &(port, least_v): &Load, at_ports: &[f64]) -> bool {
        if self.work(port) != Work::DroppedOut || at_ports[port] - self.rest_v[port] < AT_REST_V {
            return false;
        }
        let ports = &self.faults.ports;
        let Bent::PowerLoad(law) = ports.bends[port].law else {
            return false;
        };
        let slope_s = law.power_w / (law.least_v * law.least_v);
        let relief = (1.0 - ports.at_bend(&self.faults.point.settled.search, port, port) * slope_s)
            .max(f64::MIN_POSITIVE);
        at_ports[port] / relief >= START_SHARE * least_v
    }

    /// Whether none of these loads, which have fallen, would start again even if all of them drew nothing.
    fn stay_down(&mut self, fallen: &[Load]) -> Option<bool> {
        let below = |at_ports: &[f64], margin_v: f64| {
            fallen
                .iter()
                .all(|&(port, least_v)| at_ports[port] < least_v - margin_v)
        };
        if below(&self.silent(fallen)?, DIODE_V) {
            return Some(true);
        }
        let kept = (self.loose.clone(), self.drifting.clone(), self.work.clone());
        for &(port, _) in fallen {
            self.work[port] = Work::Waiting;
        }
        let (_, at_ports) = self.settle()?;
        (self.loose, self.drifting, self.work) = kept;
        Some(below(&at_ports, 0.0))
    }

    /// Voltages at bends and coils if none of these loads drew anything, the others on their tangents.
    fn silent(&mut self, loads: &[Load]) -> Option<Vec<f64>> {
        let kept = (self.loose.clone(), self.drifting.clone());
        let speaks = |port: usize| loads.iter().all(|(load, _)| *load != port);
        self.drifting.retain(|drift| speaks(drift.port));
        self.loose.retain(|loose| loose.dead || speaks(loose.port));
        self.loose.extend(loads.iter().map(|&(port, _)| Loose {
            port,
            tangent_v: 0.0,
            dead: true,
            hangs: false,
        }));
        let at_ports = self.round().and_then(|round| self.at_ports(&round));
        (self.loose, self.drifting) = kept;
        at_ports
    }

    /// Starts all power loads from nothing: each works if the voltage that it finds at switch-on and keeps at
    /// work is enough.
    fn start_all(&mut self, loads: &[Load]) -> Option<(Round, Vec<f64>)> {
        for &(port, _) in loads {
            self.work[port] = Work::Waiting;
            self.collapsed[port] = false;
        }
        let (_, top) = self.settle()?;
        for &(port, least_v) in loads {
            self.work[port] = if top[port] >= least_v {
                Work::Running
            } else {
                Work::DroppedOut
            };
        }
        let top = (self.loose.clone(), self.drifting.clone());
        loop {
            let found = self.settle()?;
            let running = loads.iter().filter(|(port, _)| self.work(*port) == Work::Running);
            let fallen = running
                .map(|&(port, least_v)| (port, found.1[port] / least_v))
                .filter(|&(_, share)| share < 1.0 - 1e-12)
                .min_by(|left, right| left.1.total_cmp(&right.1));
            if let Some((port, _)) = fallen {
                self.work[port] = Work::DroppedOut;
                self.collapsed[port] = true;
                // What fell with it may stand without it.
                (self.loose, self.drifting) = top.clone();
            } else if !self.start_more(loads, &found.1) {
                return Some(found);
            }
        }
    }

    /// Starts loads that find their least voltage only through others that draw; says whether there were any.
    fn start_more(&mut self, loads: &[Load], at_ports: &[f64]) -> bool {
        let mut started = false;
        for &(port, least_v) in loads {
            if self.work[port] == Work::DroppedOut && !self.collapsed[port] && at_ports[port] >= least_v {
                self.work[port] = Work::Running;
                started = true;
            }
        }
        started
    }
}
