//! The DC network on generated harnesses of four sizes: times, how they grow, and a checksum of the
//! voltages. `cargo bench -p crimpbook-core --bench network`; build with optimisation, two cores.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]

mod generated;

use std::sync::atomic::{AtomicUsize, Ordering};

use crimpbook_core::network::{Change, Executor, Network, Solution, Start};
use generated::{Generated, generated};

const SIZES: [usize; 4] = [40, 200, 1000, 5000];
const SWEPT: [usize; 3] = [40, 200, 1000];
const STATES: u64 = 8;

fn main() {
    points();
    faults();
}

/// An operating point from switch-on in each of the states.
fn points() {
    let mut times = Vec::new();
    println!(
        "{:>6} {:>6} {:>9} {:>10} {:>10} {:>16}",
        "wires", "nodes", "elements", "ready ms", "point ms", "checksum V"
    );
    for wires in SIZES {
        let made: Vec<_> = (0..STATES).map(|state| generated(wires, state).circuit).collect();
        let (ready_ms, networks) = timed(wires, || {
            made.iter()
                .map(|circuit| Network::new(circuit.clone()).unwrap())
                .collect::<Vec<_>>()
        });
        let (point_ms, solutions) = timed(wires, || {
            networks
                .iter()
                .map(|network| network.solve(&Start::Released).unwrap())
                .collect::<Vec<_>>()
        });
        let sum: f64 = solutions.iter().map(checksum).sum();
        let (ready_ms, point_ms) = (ready_ms / STATES as f64, point_ms / STATES as f64);
        let (nodes, elements) = (made[0].node_count(), made[0].elements().len());
        println!("{wires:>6} {nodes:>6} {elements:>9} {ready_ms:>10.3} {point_ms:>10.3} {sum:>16.6}");
        times.push((wires as f64, point_ms));
    }
    println!("an operating point grows with wires ^ {:.2}\n", exponent(&times));
}

/// Every wire off, to chassis and to supply, in each of the states, from the operating point in service.
fn faults() {
    let mut times = Vec::new();
    println!(
        "{:>6} {:>8} {:>10} {:>10} {:>8} {:>16}",
        "wires", "faults", "all ms", "each us", "anew %", "checksum V"
    );
    for wires in SWEPT {
        let made: Vec<_> = (0..STATES).map(|state| generated(wires, state)).collect();
        let networks: Vec<_> = made
            .iter()
            .map(|made| Network::new(made.circuit.clone()).unwrap())
            .collect();
        let list = single_faults(&made[0]);
        let (all_ms, (anew, sum)) = timed(wires * 40, || {
            let mut all = (0, 0.0);
            for network in &networks {
                let point = network.operate(&Start::Released).unwrap();
                let faults = point.faults();
                let seen = faults.sweep(&list, &TwoThreads, |at, faulted| {
                    let faulted = faulted.unwrap();
                    let (_, end) = made[0].circuit.elements()[made[0].wires[at / 3].0.index()].ends();
                    (faulted.is_anew(), faulted.voltage(end).volts().unwrap_or(0.0))
                });
                all.0 += seen.iter().filter(|(anew, _)| *anew).count();
                all.1 += seen.iter().map(|(_, volts)| volts).sum::<f64>();
            }
            all
        });
        let count = list.len() * networks.len();
        let (each_us, share) = (1e3 * all_ms / count as f64, 100.0 * anew as f64 / count as f64);
        println!("{wires:>6} {count:>8} {all_ms:>10.1} {each_us:>10.2} {share:>8.2} {sum:>16.6}");
        times.push((wires as f64, all_ms));
    }
    println!("all single faults grow with wires ^ {:.2}", exponent(&times));
}

fn single_faults(made: &Generated) -> Vec<[Change; 1]> {
    let mut list = Vec::new();
    for &(wire, stud) in &made.wires {
        let (_, end) = made.circuit.elements()[wire.index()].ends();
        list.push([Change::Open(wire)]);
        list.push([Change::Bridge {
            a: end,
            b: stud,
            ohms: 0.001,
        }]);
        list.push([Change::Bridge {
            a: end,
            b: made.supply,
            ohms: 0.001,
        }]);
    }
    list
}

struct TwoThreads;

impl Executor for TwoThreads {
    fn run(&self, count: usize, task: &(dyn Fn(usize) + Sync)) {
        let next = AtomicUsize::new(0);
        let work = || {
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                if at >= count {
                    return;
                }
                task(at);
            }
        };
        std::thread::scope(|scope| {
            scope.spawn(work);
            scope.spawn(work);
        });
    }
}

/// Sum of the held voltages.
fn checksum(solution: &Solution) -> f64 {
    solution.held().map(|(_, volts)| volts).sum()
}

/// Runs often enough to measure; milliseconds of the fastest run, and what it gave.
#[allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn timed<T>(wires: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let runs = (4000 / wires).clamp(1, 40);
    let mut best = f64::INFINITY;
    let mut result = None;
    for _ in 0..runs {
        let start = std::time::Instant::now();
        let made = work();
        best = best.min(start.elapsed().as_secs_f64() * 1e3);
        result = Some(made);
    }
    (best, result.unwrap())
}

/// Slope of the best straight line through the logarithms.
fn exponent(times: &[(f64, f64)]) -> f64 {
    let count = times.len() as f64;
    let (mut x, mut y, mut xx, mut xy) = (0.0, 0.0, 0.0, 0.0);
    for (wires, time) in times.iter().map(|(wires, time)| (wires.ln(), time.ln())) {
        x += wires;
        y += time;
        xx += wires * wires;
        xy += wires * time;
    }
    (count * xy - x * y) / (count * xx - x * x)
}
