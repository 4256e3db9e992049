//! Many faults, on as many cores as the caller has.

use std::sync::Mutex;

use super::{Change, Faulted, Faults};
use crate::network::NetworkError;

/// Runs tasks that do not depend on each other, in any order, on any threads.
pub trait Executor: Sync {
    /// Calls `task` once with each number below `count` and returns when all are done.
    fn run(&self, count: usize, task: &(dyn Fn(usize) + Sync));
}

/// Runs one task after the other.
#[derive(Debug, Clone, Copy, Default)]
pub struct Serial;

impl Executor for Serial {
    fn run(&self, count: usize, task: &(dyn Fn(usize) + Sync)) {
        (0..count).for_each(task);
    }
}

/// Faults per task: enough that handing out costs nothing, few enough that the last ones of two threads end together.
const PER_TASK: usize = 8;

impl Faults<'_> {
    /// Solves every fault in service and keeps of each what `read` takes from it, in the order given.
    pub fn sweep<F, T, R>(&self, faults: &[F], executor: &dyn Executor, read: R) -> Vec<T>
    where
        F: AsRef<[Change]> + Sync,
        T: Send,
        R: Fn(usize, Result<Faulted<'_>, NetworkError>) -> T + Sync,
    {
        let chunks: Vec<&[F]> = faults.chunks(PER_TASK).collect();
        let done: Vec<Mutex<Vec<T>>> = chunks.iter().map(|_| Mutex::new(Vec::new())).collect();
        executor.run(chunks.len(), &|chunk| {
            let results = (chunk * PER_TASK..)
                .zip(chunks[chunk])
                .map(|(at, changes)| read(at, self.solve(changes.as_ref())))
                .collect();
            // A lock is poisoned only by a panic, which then goes on elsewhere.
            *done[chunk]
                .lock()
                .unwrap_or_else(std::sync::PoisonError::into_inner) = results;
        });
        done.into_iter()
            .flat_map(|chunk| {
                chunk
                    .into_inner()
                    .unwrap_or_else(std::sync::PoisonError::into_inner)
            })
            .collect()
    }
}
