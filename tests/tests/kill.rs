//! Ticks that were acknowledged survive SIGKILL, and reach the disk before they are acknowledged.

#![cfg(unix)]

use std::{
    collections::BTreeMap,
    fs,
    io::{BufRead, BufReader},
    os::unix::process::ExitStatusExt,
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
};

use crimpbook_store::Store;
use crimpbook_tests::traceable;
use crimpbook_workbook::model::StepDone;
use tempfile::TempDir;

const TICKER: &str = env!("CARGO_BIN_EXE_ticker");

/// A workbook in a scratch folder; in memory where there is such a place, since a killed process leaves both alike.
fn workbook() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir_in("/dev/shm")
        .or_else(|_| tempfile::tempdir())
        .unwrap();
    let path = folder.path().join("car.crimpbook");
    assert!(
        Command::new(TICKER)
            .arg("make")
            .arg(&path)
            .status()
            .unwrap()
            .success()
    );
    (folder, path)
}

/// A ticker at work.
fn ticking(path: &Path, count: &str) -> Child {
    Command::new(TICKER)
        .arg("tick")
        .arg(path)
        .arg(count)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// A number below `n` that follows from a seed.
fn seeded(seed: u64, n: u64) -> u64 {
    let mut z = seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    (z ^ (z >> 31)) % n
}

/// The place in the log that a line acknowledges.
fn acknowledged(line: &str) -> Option<u64> {
    line.strip_prefix("ack ")?.parse().ok()
}

/// Opens what a killed ticker left: whole, verified, nothing acknowledged lost, at most the tick in flight beyond. Gives the end of
/// the log.
fn nothing_lost(path: &Path, acknowledged: u64, for_writing: bool) -> u64 {
    let opened = if for_writing {
        Store::open(path).unwrap()
    } else {
        Store::open_read_only(path).unwrap()
    };
    let head = opened.store.head().seq;
    assert!(
        head >= acknowledged,
        "tick {acknowledged} was acknowledged; the log ends at {head}"
    );
    assert!(head <= acknowledged + 1, "more than the tick in flight");
    assert_eq!(opened.book.all::<StepDone>().len() as u64, head - 1);
    let verified = opened.store.verify().unwrap();
    assert_eq!(verified.head, opened.store.head());
    opened.store.close().unwrap();
    if for_writing {
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }
    head
}

#[test]
fn no_acknowledged_tick_is_lost_when_the_program_is_killed() {
    let (_folder, path) = workbook();
    let mut head = 1;
    for cycle in 0..50 {
        let mut child = ticking(&path, "1000000");
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let mut last = head;
        for _ in 0..=seeded(cycle, 12) {
            let line = lines.next().unwrap().unwrap();
            last = acknowledged(&line).unwrap_or_else(|| panic!("{line}"));
        }
        child.kill().unwrap();
        // What it still said before it died was acknowledged as well.
        for line in lines {
            last = acknowledged(&line.unwrap()).unwrap();
        }
        assert_eq!(child.wait().unwrap().signal(), Some(9), "SIGKILL");
        // Every other time the ticker itself has to cope with what it finds.
        head = nothing_lost(&path, last, cycle % 2 == 0);
    }
    assert!(head > 50);
}

#[test]
fn no_acknowledged_tick_is_lost_at_any_step_of_a_change() {
    if !traceable() {
        return;
    }
    let mut killed = 0;
    for (call, points) in [
        ("pwrite64", 16),
        ("/^f(data)?sync", 8),
        ("unlink", 3),
        ("ftruncate", 2),
    ] {
        for point in 1..=points {
            let (_folder, path) = workbook();
            let when = point + seeded(point, 2);
            let run = Command::new("strace")
                .args(["-f", "-qq", "-o", "/dev/null", "-e"])
                .arg(format!("inject={call}:signal=SIGKILL:when={when}"))
                .args([TICKER, "tick"])
                .arg(&path)
                .arg("3")
                .output()
                .unwrap();
            killed += usize::from(run.status.signal() == Some(9));
            let said = String::from_utf8(run.stdout).unwrap();
            let last = said.lines().filter_map(acknowledged).max().unwrap_or(1);
            let head = nothing_lost(&path, last, false);
            assert_eq!(nothing_lost(&path, head, true), head);
        }
    }
    assert!(killed >= 15, "the faults hit only {killed} times");
}

#[test]
fn a_disk_that_fails_is_told_and_acknowledges_nothing() {
    if !traceable() {
        return;
    }
    let mut refused = 0;
    for (call, error, says) in [
        ("pwrite64", "ENOSPC", "Full: no room left for "),
        ("/^f(data)?sync", "EIO", "Other: the disk of "),
    ] {
        for when in [1, 5, 16, 17, 20, 24, 30] {
            let (_folder, path) = workbook();
            let run = Command::new("strace")
                .args(["-f", "-qq", "-o", "/dev/null", "-e"])
                .arg(format!("inject={call}:error={error}:when={when}+"))
                .args([TICKER, "tick"])
                .arg(&path)
                .arg("3")
                .output()
                .unwrap();
            let said = String::from_utf8(run.stdout).unwrap();
            let last = said.lines().filter_map(acknowledged).max().unwrap_or(1);
            if last < 4 {
                assert_eq!(run.status.code(), Some(4), "{said}");
                assert!(said.lines().any(|line| line.starts_with(says)), "{said}");
                refused += 1;
            }
            let opened = Store::open(&path).unwrap();
            let head = opened.store.head().seq;
            // A sync that fails may have been done all the same; what was not acknowledged may be there or not, but whole.
            assert!((last..=last + 1).contains(&head), "{head}: {said}");
            opened.store.verify().unwrap();
            opened.store.close().unwrap();
            assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
        }
    }
    assert!(refused >= 6, "{refused}");
}

#[test]
fn two_programs_tick_at_once_and_neither_loses_a_tick() {
    let (_folder, path) = workbook();
    let ticker = || ticking(&path, "60");
    let runs = [ticker(), ticker()].map(|child| child.wait_with_output().unwrap());
    for run in &runs {
        let said = String::from_utf8_lossy(&run.stdout);
        assert!(run.status.success(), "{said}");
        assert_eq!(said.lines().filter_map(acknowledged).count(), 60);
    }
    assert_eq!(nothing_lost(&path, 121, true), 121);
}

#[test]
fn looking_while_another_program_ticks_sees_whole_ticks_and_leaves_nothing() {
    let (folder, path) = workbook();
    let mut child = ticking(&path, "1000000");
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    for _ in 0..20 {
        let last = acknowledged(&lines.next().unwrap().unwrap()).unwrap();
        let run = Command::new(TICKER).arg("look").arg(&path).output().unwrap();
        let said = String::from_utf8(run.stdout).unwrap();
        let seen: Option<u64> = said
            .trim_end()
            .strip_prefix("steps ")
            .and_then(|n| n.parse().ok());
        assert!(
            seen.is_some_and(|seen| seen + 1 >= last),
            "{last} acknowledged, then: {said}"
        );
    }
    child.kill().unwrap();
    child.wait().unwrap();
    let names = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name());
    let mut names: Vec<_> = names.map(|name| name.into_string().unwrap()).collect();
    names.sort();
    assert_eq!(names, ["car.crimpbook", "car.crimpbook-shm", "car.crimpbook-wal"]);
}

#[test]
fn every_tick_is_synced_before_it_is_acknowledged() {
    if !traceable() {
        return;
    }
    let (folder, path) = workbook();
    let trace = folder.path().join("trace");
    let run = Command::new("strace")
        .args([
            "-f",
            "-y",
            "-qq",
            "-e",
            "trace=write,pwrite64,fsync,fdatasync",
            "-o",
        ])
        .arg(&trace)
        .args([TICKER, "tick"])
        .arg(&path)
        .arg("20")
        .output()
        .unwrap();
    assert!(run.status.success());
    let trace = fs::read_to_string(trace).unwrap();
    assert_eq!(synced_acknowledgements(&trace), Ok(20), "{trace}");
}

/// How many acknowledgements there are in a trace, if before each of them something was written to the file beside the workbook
/// since the one before, and nothing of that is still without a sync.
fn synced_acknowledgements(trace: &str) -> Result<usize, String> {
    let mut acknowledged = 0;
    let mut written = false;
    let mut unsynced: BTreeMap<String, &str> = BTreeMap::new();
    for line in trace.lines() {
        let call = line
            .split_once(' ')
            .map_or(line, |(_pid, call)| call.trim_start());
        let file = call
            .split_once('<')
            .and_then(|(_, rest)| rest.split_once('>'))
            .map_or("", |(file, _)| file);
        if call.starts_with("pwrite64(") && file.ends_with(".crimpbook-wal") {
            written = true;
            unsynced.insert(file.to_owned(), line);
        } else if call.starts_with("fsync(") || call.starts_with("fdatasync(") {
            if call.ends_with("= 0") {
                unsynced.remove(file);
            }
        } else if call.starts_with("write(1<") && call.contains("\"ack ") {
            if !written {
                return Err(format!("nothing was written before {line}"));
            }
            if let Some(lost) = unsynced.values().next() {
                return Err(format!("{lost} was not synced before {line}"));
            }
            acknowledged += 1;
            written = false;
        }
    }
    Ok(acknowledged)
}

#[test]
fn a_trace_without_syncs_is_told_from_one_with_them() {
    let write = "7 pwrite64(5</t/car.crimpbook-wal>, \"x\"..., 24, 0) = 24\n";
    let sync = "7 fdatasync(5</t/car.crimpbook-wal>) = 0\n";
    let other = "7 fdatasync(4</t/car.crimpbook>) = 0\n";
    let failed = "7 fdatasync(5</t/car.crimpbook-wal>) = -1 EIO (Input/output error)\n";
    let ack = "7 write(1<pipe:[9]>, \"ack 2\\n\", 6) = 6\n";
    let check = |lines: &[&str]| synced_acknowledgements(&lines.concat());
    assert_eq!(check(&[write, sync, ack, write, write, sync, ack]), Ok(2));
    for wrong in [
        &[write, ack][..],
        &[write, ack, sync],
        &[sync, write, ack],
        &[write, other, ack],
        &[write, failed, ack],
        &[write, sync, ack, ack],
        &[write, sync, write, ack],
    ] {
        assert!(check(wrong).is_err(), "{wrong:?}");
    }
}
