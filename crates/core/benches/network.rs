//! The DC network on generated harnesses of four sizes: times, how they grow, and a checksum of the
//! voltages. `cargo bench -p crimpbook-core --bench network`; build with optimisation, two cores.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]

mod generated;

use crimpbook_core::network::{Network, Solution, Start};
use generated::generated;

const SIZES: [usize; 4] = [40, 200, 1000, 5000];
const STATES: u64 = 8;

fn main() {
    let mut times = Vec::new();
    println!(
        "{:>6} {:>6} {:>9} {:>12} {:>12} {:>16}",
        "wires", "nodes", "elements", "ready ms", "point ms", "checksum V"
    );
    for wires in SIZES {
        let networks: Vec<_> = (0..STATES).map(|state| generated(wires, state)).collect();
        let (ready_ms, made) = timed(wires, || {
            networks
                .iter()
                .map(|made| Network::new(made.circuit.clone()).unwrap())
                .collect::<Vec<_>>()
        });
        let (point_ms, solutions) = timed(wires, || {
            made.iter()
                .map(|network| network.solve(&Start::Released).unwrap())
                .collect::<Vec<Solution>>()
        });
        let circuit = &networks[0].circuit;
        let sum: f64 = solutions.iter().map(checksum).sum();
        let (ready_ms, point_ms) = (ready_ms / STATES as f64, point_ms / STATES as f64);
        println!(
            "{wires:>6} {:>6} {:>9} {ready_ms:>12.3} {point_ms:>12.3} {sum:>16.6}",
            circuit.node_count(),
            circuit.elements().len()
        );
        times.push((wires as f64, point_ms));
    }
    println!("an operating point grows with wires ^ {:.2}", exponent(&times));
}

/// Sum of the held voltages.
fn checksum(solution: &Solution) -> f64 {
    solution.held().map(|(_, volts)| volts).sum()
}

/// Runs often enough to measure; milliseconds of the fastest run, and what it gave.
#[allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
fn timed<T>(wires: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let runs = (4000 / wires).clamp(3, 40);
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
