//! What a worker computes of a snapshot of the book, and the worker.

use std::{
    cell::RefCell,
    collections::HashMap,
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
    check::{self, Finding, Report},
    model::{Key, Wire},
};

use super::{ask::Question, effect::Msg};
use crate::session::Trouble;

/// All that was computed of one generation of the book.
#[derive(Debug)]
pub struct Computed {
    /// What the checks say.
    pub report: Report,
    /// The book with its computed results, each computed already; none in tests that need none.
    pub snapshot: Option<Arc<Snapshot>>,
    /// Whether mends were tried out.
    pub tried: bool,
    /// The gravest open finding of each record, as its place in the report.
    gravest: HashMap<Key, usize>,
}

impl Computed {
    /// A report, with what it was computed from.
    pub fn new(report: Report, snapshot: Option<Arc<Snapshot>>) -> Self {
        let mut gravest = HashMap::new();
        for (at, finding) in report.findings.iter().enumerate() {
            for place in finding.places.iter().filter(|_| !finding.is_accepted()) {
                gravest.entry(*place).or_insert(at);
            }
        }
        Self {
            report,
            snapshot,
            tried: true,
            gravest,
        }
    }

    /// The same with the rules proven, which takes a while; none where there is nothing to prove.
    pub fn proven(&self) -> Option<Self> {
        let see = self.snapshot.as_ref().filter(|_| self.report.unproven > 0)?;
        let report = check::prove(see, &self.report);
        Some(Self {
            tried: self.tried,
            ..Self::new(report, Some(Arc::clone(see)))
        })
    }

    /// The gravest open stop or warning at one of these places.
    pub fn gravest(&self, places: impl IntoIterator<Item = Key>) -> Option<&Finding> {
        let at = places
            .into_iter()
            .filter_map(|place| self.gravest.get(&place))
            .min()?;
        self.report.findings.get(*at)
    }

    /// Whether rules are to be proven unasked: on a large book that takes long, so that it is left until somebody looks.
    fn waits_for_proof(&self) -> bool {
        let wires = |see: &Arc<Snapshot>| see.book().all::<Wire>().len();
        self.report.unproven > 0 && self.snapshot.as_ref().map_or(0, wires) < LARGE
    }

    /// Computes everything that the screens show, so that drawing computes nothing.
    pub fn of(book: Arc<Book>) -> Self {
        Self::after(None, book, drop, &|| true)
    }

    /// After an edit of a large book that moves figures: the list at once, as [`check::list_at_once`] gives it, with the figures
    /// of the book before.
    pub(in crate::screen) fn at_once(before: Option<&Self>, snapshot: &Snapshot) -> Option<Self> {
        let report = check::list_at_once(snapshot)?;
        Some(Self {
            tried: false,
            ..Self::new(report, before.and_then(|before| before.snapshot.clone()))
        })
    }

    /// As [`Computed::of`], from what was computed of the book before, where there is one: what an edit left as it was is
    /// kept. Mends are tried out only as long as `go_on` says so; of a large book `told` is given the list before that.
    pub fn after(
        before: Option<&Self>,
        book: Arc<Book>,
        mut told: impl FnMut(Told),
        go_on: &dyn Fn() -> bool,
    ) -> Self {
        let large = book.all::<Wire>().len() >= LARGE;
        let snapshot = Arc::new(match before.and_then(|before| before.snapshot.as_deref()) {
            Some(before) => before.next(book),
            None => Snapshot::new(book),
        });
        let at_once = || Self::at_once(before, &snapshot);
        if let Some(listed) = Some(large).filter(|large| *large).and_then(|_| at_once()) {
            told(Told::AtOnce(listed));
        }
        // Drawing computes nothing.
        let ready = |report| {
            snapshot.signals();
            snapshot.worst();
            snapshot.protection();
            snapshot.tree();
            Self::new(report, Some(Arc::clone(&snapshot)))
        };
        if !large {
            return ready(check::run_while(&snapshot, go_on));
        }
        let listed = |report| {
            told(Told::Whole(Self {
                tried: false,
                ..ready(report)
            }));
        };
        ready(check::run_in_two(&snapshot, listed, go_on))
    }
}

/// What is told of a large book before all is done.
#[derive(Debug)]
pub enum Told {
    /// The list, with what rests on figures as it was before.
    AtOnce(Computed),
    /// All but mends.
    Whole(Computed),
}

/// From so many wires on the list is shown before mends are tried out, which is what takes long then.
const LARGE: usize = 500;

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
    let mut last: Option<Arc<Computed>> = None;
    let prover = prover(send.clone());
    let mut next: Option<Job> = None;
    while let Some(job) = next.take().or_else(|| waiting.recv().ok()) {
        let (mut check, mut ask) = (None, None);
        for job in std::iter::once(job).chain(waiting.try_iter()) {
            match job {
                // A question about the book before is of no use any more.
                Job::Check(generation, book) => (check, ask) = (Some((generation, book)), None),
                Job::Ask(generation, of, question) => ask = Some((generation, of, question)),
            }
        }
        if let Some((generation, book)) = check {
            let newer = RefCell::new(None);
            // Questions are answered between two trials; whoever has edited on needs no mends of the book before.
            let go_on = || {
                for job in waiting.try_iter() {
                    match job {
                        Job::Check(..) => drop(newer.replace(Some(job))),
                        Job::Ask(generation, of, question) => tell(send, answered(generation, &of, question)),
                    }
                }
                newer.borrow().is_none()
            };
            let listed = |told| {
                tell(
                    send,
                    match told {
                        Told::AtOnce(computed) => Msg::Listed(generation, Arc::new(computed)),
                        Told::Whole(computed) => Msg::Checked(generation, Arc::new(computed)),
                    },
                );
            };
            // A fault of a check must not take the screens with it.
            let done = catch_unwind(AssertUnwindSafe(|| {
                Computed::after(last.as_deref(), book, listed, &go_on)
            }));
            let answer = match done {
                Ok(computed) => {
                    let computed = Arc::new(computed);
                    last = Some(Arc::clone(&computed));
                    Msg::Checked(generation, computed)
                }
                Err(_) => stopped("the checks"),
            };
            if send.send(answer).is_err() {
                return;
            }
            next = newer.into_inner();
            if let Some(computed) = last.as_ref().filter(|of| next.is_none() && of.waits_for_proof()) {
                // It lives as long as this thread.
                let _ = prover.send((generation, Arc::clone(computed)));
            }
        }
        if let Some((generation, of, question)) = ask {
            if send.send(answered(generation, &of, question)).is_err() {
                return;
            }
            // What the proof says belongs among the findings as well.
            if question == Question::Proof
                && let Ok(Some(proven)) = catch_unwind(AssertUnwindSafe(|| of.proven()))
            {
                tell(send, Msg::Checked(generation, Arc::new(proven)));
            }
        }
    }
}

/// Starts the thread that proves rules beside the worker, so that no edit waits for it. Of books that wait only the
/// newest is proven.
fn prover(send: Sender<Msg>) -> Sender<(u64, Arc<Computed>)> {
    let (books, waiting) = channel::<(u64, Arc<Computed>)>();
    thread::spawn(move || {
        while let Ok(first) = waiting.recv() {
            let (generation, computed) = waiting.try_iter().last().unwrap_or(first);
            let answer = match catch_unwind(AssertUnwindSafe(|| computed.proven())) {
                Ok(Some(proven)) => Msg::Checked(generation, Arc::new(proven)),
                Ok(None) => continue,
                Err(_) => stopped("the proof of the rules"),
            };
            if send.send(answer).is_err() {
                return;
            }
        }
    });
    books
}

/// Sends what is said before the whole is done. That nobody listens any more is seen then.
fn tell(send: &Sender<Msg>, msg: Msg) {
    let _ = send.send(msg);
}

fn answered(generation: u64, of: &Computed, question: Question) -> Msg {
    let answer = || of.snapshot.as_ref().map(|see| question.answer(see));
    match catch_unwind(AssertUnwindSafe(answer)) {
        Ok(Some(answer)) => Msg::Answered(generation, question, Arc::new(answer)),
        _ => stopped("the figures of this screen"),
    }
}

fn stopped(what: &str) -> Msg {
    Msg::Failed(Trouble::File(format!(
        "{what} stopped by a fault of the program; what they say is missing"
    )))
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
