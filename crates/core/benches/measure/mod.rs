//! Time, memory and growth.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crimpbook_core::network::Executor;

/// Runs tasks on two threads and adds up what they take of a processor.
#[derive(Default)]
pub struct TwoThreads {
    /// Milliseconds of the run that goes on, and of the least one that is over.
    cpu_ms: Mutex<(f64, Option<f64>)>,
}

impl TwoThreads {
    /// A new run begins.
    pub fn reset(&self) {
        let mut cpu_ms = self.cpu_ms.lock().unwrap();
        *cpu_ms = (0.0, least(*cpu_ms));
    }

    /// Processor time of the least run, both threads together.
    pub fn least_cpu_ms(&self) -> f64 {
        least(*self.cpu_ms.lock().unwrap()).unwrap_or(0.0)
    }
}

fn least((now_ms, before_ms): (f64, Option<f64>)) -> Option<f64> {
    if now_ms == 0.0 {
        return before_ms;
    }
    Some(before_ms.map_or(now_ms, |before_ms| now_ms.min(before_ms)))
}

impl Executor for TwoThreads {
    fn run(&self, count: usize, task: &(dyn Fn(usize) + Sync)) {
        let next = AtomicUsize::new(0);
        let work = || {
            loop {
                let at = next.fetch_add(1, Ordering::Relaxed);
                if at >= count {
                    break;
                }
                task(at);
            }
            self.cpu_ms.lock().unwrap().0 += thread_cpu_ms();
        };
        std::thread::scope(|scope| {
            scope.spawn(work);
            scope.spawn(work);
        });
    }
}

/// What this thread has had of a processor, where Linux tells.
fn thread_cpu_ms() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let first = text.split(' ').next().and_then(|text| text.parse::<f64>().ok());
    first.unwrap_or(0.0) / 1e6
}

/// Memory of this process that is in use, where Linux tells.
pub fn resident_mb() -> f64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let kb = line.and_then(|line| line.trim().split(' ').next()?.parse::<f64>().ok());
    kb.unwrap_or(0.0) / 1024.0
}

/// Milliseconds of the fastest of some runs, and what the last one gave.
#[allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]
pub fn timed<T>(runs: usize, mut work: impl FnMut() -> T) -> (f64, T) {
    let mut best_ms = f64::INFINITY;
    let mut result = None;
    for _ in 0..runs.max(1) {
        let start = std::time::Instant::now();
        let made = work();
        best_ms = best_ms.min(start.elapsed().as_secs_f64() * 1e3);
        result = Some(made);
    }
    (best_ms, result.unwrap())
}

/// Slope of the best straight line through the logarithms.
pub fn exponent(times: &[(f64, f64)]) -> f64 {
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
