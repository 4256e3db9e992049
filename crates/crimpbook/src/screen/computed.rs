//! What a worker computes of a snapshot of the book, and the worker.

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{
        Arc,
        mpsc::{Receiver, Sender, channel},
    },
    thread,
};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{self, Report},
};

use super::effect::Msg;
use crate::session::Trouble;

/// All that was computed of one generation of the book.
#[derive(Debug)]
pub struct Computed {
    /// What the checks say.
    pub report: Report,
    /// The book with its computed results, each computed already; none in tests that need none.
    pub snapshot: Option<Snapshot>,
}

impl Computed {
    /// Computes everything that the screens show, so that drawing computes nothing.
    pub fn of(book: Arc<Book>) -> Self {
        let snapshot = Snapshot::new(book);
        let report = check::run(&snapshot);
        snapshot.signals();
        snapshot.worst();
        snapshot.protection();
        Self {
            report,
            snapshot: Some(snapshot),
        }
    }
}

/// A book to compute, under its generation number.
pub type Job = (u64, Arc<Book>);

/// Starts the worker. Of jobs that wait, only the newest is done; the answer goes to `send`.
pub fn worker(send: Sender<Msg>) -> Sender<Job> {
    let (jobs, waiting) = channel();
    thread::spawn(move || work(&waiting, &send));
    jobs
}

fn work(waiting: &Receiver<Job>, send: &Sender<Msg>) {
    while let Ok(mut job) = waiting.recv() {
        while let Ok(newer) = waiting.try_recv() {
            job = newer;
        }
        let (generation, book) = job;
        // A fault of a check must not take the screens with it.
        let done = catch_unwind(AssertUnwindSafe(|| Computed::of(book)));
        let answer = match done {
            Ok(computed) => Msg::Checked(generation, Arc::new(computed)),
            Err(_) => Msg::Failed(Trouble::File(
                "the checks stopped by a fault of the program; what they say is missing".to_owned(),
            )),
        };
        if send.send(answer).is_err() {
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_newest_of_waiting_jobs_is_done() {
        let (jobs, waiting) = channel();
        let (send, answers) = channel();
        for generation in 1..=5 {
            jobs.send((generation, Arc::new(Book::default()))).unwrap();
        }
        drop(jobs);
        work(&waiting, &send);
        drop(send);
        let done: Vec<u64> = answers
            .iter()
            .filter_map(|msg| match msg {
                Msg::Checked(generation, _) => Some(generation),
                _ => None,
            })
            .collect();
        assert_eq!(done, [5]);
    }
}
