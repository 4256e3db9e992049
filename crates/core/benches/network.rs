//! The DC network on generated harnesses of four sizes: times beside their limits, how they grow, memory, and
//! a checksum of the voltages. `cargo bench -p crimpbook-core --bench network`, on two idle cores; what else
//! runs there disturbs the figures, so the least of several runs is shown, and the processor's time beside.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]

mod generated;
mod measure;

use crimpbook_core::network::{Change, Ended, Faults, Network, OperatingPoint, Solution, Start};
use generated::{Generated, generated};
use measure::{TwoThreads, exponent, resident_mb, timed};

const SIZES: [usize; 4] = [40, 200, 1000, 5000];
const SWEPT: [usize; 3] = [40, 200, 1000];
const STATES: u64 = 8;
/// A loop over many faults looks at each of so many alone.
const ONE_IN: usize = 40;

fn main() {
    points();
    faults();
}

/// An operating point from switch-on in each of the states.
fn points() {
    let mut times = Vec::new();
    println!("An operating point, mean of {STATES} states, the order of elimination being known");
    println!("     limit at 1000 wires: 3 ms");
    println!(" wires  nodes  elements  order ms  point ms       checksum V");
    for wires in SIZES {
        let made: Vec<_> = (0..STATES).map(|state| generated(wires, state).circuit).collect();
        let runs = (20_000 / wires).clamp(3, 60);
        let (ready_ms, networks) = timed(runs, || {
            made.iter()
                .map(|circuit| Network::new(circuit.clone()).unwrap())
                .collect::<Vec<_>>()
        });
        let (point_ms, solutions) = timed(runs, || {
            networks
                .iter()
                .map(|network| network.solve(&Start::Released).unwrap())
                .collect::<Vec<_>>()
        });
        let sum: f64 = solutions.iter().map(checksum).sum();
        let (ready_ms, point_ms) = (ready_ms / STATES as f64, point_ms / STATES as f64);
        let (nodes, elements) = (made[0].node_count(), made[0].elements().len());
        println!("{wires:>6} {nodes:>6} {elements:>9} {ready_ms:>9.3} {point_ms:>9.3} {sum:>16.6}");
        if wires == 1000 {
            println!("@ point-ms {point_ms}");
        }
        times.push((wires as f64, point_ms));
    }
    println!("@ point-exponent {}", exponent(&times));
    println!("an operating point grows with wires ^ {:.2}\n", exponent(&times));
}

/// Every wire off, to chassis and to supply, in each of the states, from the operating point in service.
fn faults() {
    let mut times = Vec::new();
    println!(
        "Every single fault, 3 a wire, in {STATES} states, on two threads; voltages of every node computed"
    );
    println!("     limits: 100 ms at 200 wires, 1500 ms at 1000; any one fault 1 ms; 60 MB");
    println!(
        " wires   faults    all ms  cpu/2 ms  each us  anew %  slowest one ms  over 1 ms      MB       checksum V"
    );
    for wires in SWEPT {
        let made: Vec<_> = (0..STATES).map(|state| generated(wires, state)).collect();
        let list = single_faults(&made[0]);
        let before_mb = resident_mb();
        let networks: Vec<_> = made
            .iter()
            .map(|made| Network::new(made.circuit.clone()).unwrap())
            .collect();
        let threads = TwoThreads::default();
        let (all_ms, (anew, sum)) = timed((1000 / wires).clamp(2, 20), || {
            threads.reset();
            let mut all = (0, 0.0);
            for network in &networks {
                let point = network.operate(&Start::Released).unwrap();
                let seen = point.faults().sweep(&list, &threads, |at, faulted| {
                    let faulted = faulted.unwrap();
                    let (_, end) = made[0].circuit.elements()[made[0].wires[at / 3].0.index()].ends();
                    (faulted.is_anew(), faulted.voltage(end).volts().unwrap_or(0.0))
                });
                all.0 += seen.iter().filter(|(anew, _)| *anew).count();
                all.1 += seen.iter().map(|(_, volts)| volts).sum::<f64>();
            }
            all
        });
        let points: Vec<OperatingPoint<'_>> = networks
            .iter()
            .map(|network| network.operate(&Start::Released).unwrap())
            .collect();
        let ready: Vec<Faults<'_>> = points.iter().map(OperatingPoint::faults).collect();
        let kept_mb = resident_mb() - before_mb;
        let kept: Vec<Vec<Option<Ended>>> = ready
            .iter()
            .map(|faults| faults.sweep(&list, &threads, |_, faulted| faulted.unwrap().ended()))
            .collect();
        let kept_mb = kept_mb.max(resident_mb() - before_mb);
        let slow = ready
            .iter()
            .zip(&kept)
            .map(|(faults, kept)| slowest(faults, &list, kept));
        let (slowest_ms, over) = slow.fold((0.0f64, 0), |all, one| (all.0.max(one.0), all.1 + one.1));
        let count = list.len() * networks.len();
        let (half_ms, each_us) = (0.5 * threads.least_cpu_ms(), 1e3 * all_ms / count as f64);
        let share = 100.0 * anew as f64 / count as f64;
        println!(
            "{wires:>6} {count:>8} {all_ms:>9.1} {half_ms:>9.1} {each_us:>8.2} {share:>7.2} {slowest_ms:>15.3} {over:>10} {kept_mb:>7.1} {sum:>16.6}"
        );
        if wires >= 200 {
            println!("@ sweep-{wires}-ms {all_ms}");
        }
        if wires == 1000 {
            println!("@ one-fault-ms {slowest_ms}\n@ sweep-mb {kept_mb}");
        }
        times.push((wires as f64, all_ms));
    }
    println!("@ sweep-exponent {}", exponent(&times));
    println!("all single faults grow with wires ^ {:.2}", exponent(&times));
}

/// Milliseconds of the slowest of some faults once all have been solved, with every voltage and current read, and how many take
/// longer than one: those solved from nothing and some others.
fn slowest(faults: &Faults<'_>, list: &[[Change; 1]], kept: &[Option<Ended>]) -> (f64, usize) {
    let (mut worst, mut over) = (0.0f64, 0);
    for (at, (change, ended)) in list.iter().zip(kept).enumerate() {
        if at % ONE_IN == 0 || ended.is_some() || faults.solve(change).unwrap().is_anew() {
            let (ms, _) = timed(5, || {
                faults.solve_again(change, ended.as_ref()).unwrap().solution()
            });
            worst = worst.max(ms);
            over += usize::from(ms > 1.0);
        }
    }
    (worst, over)
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

/// Sum of the held voltages.
fn checksum(solution: &Solution) -> f64 {
    solution.held().map(|(_, volts)| volts).sum()
}
