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

use super::{ask::Question, effect::Msg};
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
        snapshot.tree();
        Self {
            report,
            snapshot: Some(snapshot),
        }
    }
}

/// Work for the worker, under the generation number of its book.
#[derive(Debug)]
pub enum Job {
    /// Compute a book.
    Check(u64, Arc<Book>),
    /// Answer a question about what was computed.
    Ask(u64, Arc<Computed>, Question),
}

/// Starts the worker. Of jobs of a kind that wait, only the newest is done; the answer goes to `send`.
pub fn worker(send: Sender<Msg>) -> Sender<Job> {
    let (jobs, waiting) = channel();
    thread::spawn(move || work(&waiting, &send));
    jobs
}

fn work(waiting: &Receiver<Job>, send: &Sender<Msg>) {
    while let Ok(job) = waiting.recv() {
        let (mut check, mut ask) = (None, None);
        for job in std::iter::once(job).chain(waiting.try_iter()) {
            match job {
                // A question about the book before is of no use any more.
                Job::Check(..) => (check, ask) = (Some(job), None),
                Job::Ask(..) => ask = Some(job),
            }
        }
        for job in [check, ask].into_iter().flatten() {
            if send.send(done(job)).is_err() {
                return;
            }
        }
    }
}

/// Does a job. A fault of a check must not take the screens with it.
fn done(job: Job) -> Msg {
    let stopped = |what: &str| {
        Msg::Failed(Trouble::File(format!(
            "{what} stopped by a fault of the program; what they say is missing"
        )))
    };
    match job {
        Job::Check(generation, book) => match catch_unwind(AssertUnwindSafe(|| Computed::of(book))) {
            Ok(computed) => Msg::Checked(generation, Arc::new(computed)),
            Err(_) => stopped("the checks"),
        },
        Job::Ask(generation, of, question) => {
            let answer = || of.snapshot.as_ref().map(|see| question.answer(see));
            match catch_unwind(AssertUnwindSafe(answer)) {
                Ok(Some(answer)) => Msg::Answered(generation, question, Arc::new(answer)),
                _ => stopped("the figures of this screen"),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_question_about_an_older_book_is_dropped() {
        let (jobs, waiting) = channel();
        let (send, answers) = channel();
        let empty = Arc::new(Computed::of(Arc::new(Book::default())));
        let ask = |generation| Job::Ask(generation, Arc::clone(&empty), Question::FarEnds);
        for job in [ask(1), Job::Check(2, Arc::new(Book::default()))] {
            jobs.send(job).unwrap();
        }
        jobs.send(ask(2)).unwrap();
        drop(jobs);
        work(&waiting, &send);
        drop(send);
        let done: Vec<String> = answers
            .iter()
            .map(|msg| match msg {
                Msg::Checked(generation, _) => format!("checked {generation}"),
                Msg::Answered(generation, ..) => format!("answered {generation}"),
                other => format!("{other:?}"),
            })
            .collect();
        assert_eq!(done, ["checked 2", "answered 2"]);
    }

    #[test]
    fn only_the_newest_of_waiting_jobs_is_done() {
        let (jobs, waiting) = channel();
        let (send, answers) = channel();
        for generation in 1..=5 {
            jobs.send(Job::Check(generation, Arc::new(Book::default())))
                .unwrap();
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
