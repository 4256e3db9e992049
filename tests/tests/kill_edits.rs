//! Changes of all kinds that were acknowledged survive SIGKILL, whole and in their order, and the log still gives the rows.

#![cfg(unix)]

use std::{
    collections::BTreeSet,
    io::{BufRead, BufReader},
    os::unix::process::ExitStatusExt,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    thread,
};

use crimpbook_store::Store;
use crimpbook_tests::traceable;
use tempfile::TempDir;

const EDITOR: &str = env!("CARGO_BIN_EXE_editor");

/// Kills at counts of acknowledgements.
const KILLS: u64 = 200;
/// Over so many workbooks: a log that grows for ever would only test patience.
const BOOKS: u64 = 10;

/// An acknowledged change: its place in the log, its id, its kind.
type Ack = (u64, String, String);

/// The demo's workbook in a scratch folder; in memory where there is such a place, since a killed process leaves both alike.
fn workbook() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir_in("/dev/shm")
        .or_else(|_| tempfile::tempdir())
        .unwrap();
    let path = folder.path().join("car.crimpbook");
    let made = Command::new(EDITOR).arg("make").arg(&path).status().unwrap();
    assert!(made.success());
    (folder, path)
}

fn acknowledged(line: &str) -> Option<Ack> {
    let mut words = line.strip_prefix("ack ")?.split(' ');
    Some((
        words.next()?.parse().ok()?,
        words.next()?.to_owned(),
        words.next()?.to_owned(),
    ))
}

/// Opens what a killed editor left: every acknowledged change stands where it was said to stand, at most the one in flight
/// beyond, and the whole verifies: integrity, references, the chain of the log, and the rows that replaying it gives.
fn nothing_lost(path: &Path, acks: &[Ack]) -> u64 {
    let opened = Store::open(path).unwrap();
    let head = opened.store.head().seq;
    for (seq, id, kind) in acks {
        let kept = opened.heads.iter().find(|head| head.seq == *seq);
        let kept = kept.map(|head| (head.id.to_string(), format!("{:?}", head.kind)));
        assert_eq!(
            kept,
            Some((id.clone(), kind.clone())),
            "change {seq} was acknowledged"
        );
    }
    if let Some((last, ..)) = acks.last() {
        assert!(
            (*last..=last + 1).contains(&head),
            "{last} was the last; the log ends at {head}"
        );
    }
    let verified = opened.store.verify().unwrap();
    assert_eq!(verified.head, opened.store.head());
    opened.store.close().unwrap();
    head
}

/// Kills the editor of one workbook again and again; gives how many changes were acknowledged, and of which kinds.
fn killed_often(book: u64) -> (usize, BTreeSet<String>) {
    let (_folder, path) = workbook();
    let (mut changes, mut kinds) = (0, BTreeSet::new());
    for cycle in 0..KILLS / BOOKS {
        let seed = book * 1000 + cycle;
        let mut child = Command::new(EDITOR)
            .arg("edit")
            .arg(&path)
            .arg(seed.to_string())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut acks = Vec::new();
        for _ in 0..=seed % 7 {
            let line = lines.next().unwrap().unwrap();
            acks.push(acknowledged(&line).unwrap_or_else(|| panic!("{line}")));
        }
        child.kill().unwrap();
        // What it still said before it died was acknowledged as well.
        acks.extend(lines.map(|line| acknowledged(&line.unwrap()).unwrap()));
        assert_eq!(child.wait().unwrap().signal(), Some(9), "SIGKILL");
        nothing_lost(&path, &acks);
        changes += acks.len();
        kinds.extend(acks.into_iter().map(|(_, _, kind)| kind));
    }
    (changes, kinds)
}

#[test]
fn no_acknowledged_change_of_any_kind_is_lost_by_two_hundred_kills() {
    let done: Vec<_> = thread::scope(|scope| {
        let runs: Vec<_> = (0..BOOKS)
            .map(|book| scope.spawn(move || killed_often(book)))
            .collect();
        runs.into_iter().map(|run| run.join().unwrap()).collect()
    });
    let changes: usize = done.iter().map(|(changes, _)| changes).sum();
    let kinds: BTreeSet<&String> = done.iter().flat_map(|(_, kinds)| kinds).collect();
    assert!(changes >= 700, "{changes}");
    for wanted in ["Design", "Progress", "Reading", "Redo", "Release", "Undo"] {
        assert!(
            kinds.iter().any(|kind| *kind == wanted),
            "no {wanted} among {kinds:?}"
        );
    }
}

#[test]
fn no_acknowledged_change_is_lost_at_any_step_of_one() {
    if !traceable() {
        return;
    }
    let mut killed = 0;
    for (call, points) in [
        ("pwrite64", [3, 9, 18, 31, 47, 70]),
        ("/^f(data)?sync", [1, 2, 4, 7, 11, 16]),
    ] {
        for point in points {
            let (_folder, path) = workbook();
            let mut child = Command::new("strace")
                .args(["-f", "-qq", "-o", "/dev/null", "-e"])
                .arg(format!("inject={call}:signal=SIGKILL:when={point}"))
                .args([EDITOR, "edit"])
                .arg(&path)
                .arg(point.to_string())
                .stdout(Stdio::piped())
                .spawn()
                .unwrap();
            let said: Vec<String> = BufReader::new(child.stdout.take().unwrap())
                .lines()
                .map(Result::unwrap)
                .collect();
            killed += usize::from(child.wait().unwrap().signal() == Some(9));
            let acks: Vec<Ack> = said.iter().filter_map(|line| acknowledged(line)).collect();
            nothing_lost(&path, &acks);
        }
    }
    assert!(killed >= 10, "the faults hit only {killed} times");
}
