//! How long a tick takes to be durable, beside the same rows in one bare transaction; and how long a file takes to open.
//!
//! `cargo bench -p crimpbook-store`. The disk's own sync time is printed first: most of a tick is that.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a bench measures time, and may stop at a fault"
)]

use std::{
    fs::{self, File},
    io::Write,
    path::Path,
    time::{Duration, Instant},
};

use rusqlite::{Connection, params_from_iter, types::Value};
use serde_json::json;

use crimpbook_store::{Opened, Store};
use crimpbook_workbook::{
    edit::Change,
    log::{ENTRY_SCHEMA, Entry, EntryKind},
    model::{Id, Record},
};

const TICKS: u32 = 200;

fn main() {
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let folder = folder.path();
    let took = [40, 200, 1000, 5000].map(|wires| (f64::from(wires), opening(folder, wires)));
    println!("@ open-exponent {}", exponent(&took));
    ticking(folder);
}

fn opening(folder: &Path, wires: u32) -> f64 {
    let path = folder.join(format!("{wires}.crimpbook"));
    book(&path, wires).store.close().unwrap();
    let mut times = Vec::new();
    let mut records = 0;
    for _ in 0..20 {
        let start = Instant::now();
        let opened = Store::open(&path).unwrap();
        times.push(start.elapsed());
        records = opened.book.tables().len();
    }
    let median = ms(median(&mut times));
    println!(
        "open {wires:>5} wires, {records:>6} records, {:>6} kB: {median:>8.2} ms median",
        fs::metadata(&path).unwrap().len() / 1024,
    );
    median
}

/// The slope of the straight line through the logarithms: what grows as the first with this exponent.
fn exponent(points: &[(f64, f64)]) -> f64 {
    let count = points.len() as f64;
    let logs: Vec<(f64, f64)> = points.iter().map(|(x, y)| (x.ln(), y.ln())).collect();
    let (x, y) = logs
        .iter()
        .fold((0.0, 0.0), |sum, at| (sum.0 + at.0, sum.1 + at.1));
    let (x, y) = (x / count, y / count);
    let slopes = logs.iter().fold((0.0, 0.0), |sum, at| {
        (sum.0 + (at.0 - x) * (at.1 - y), sum.1 + (at.0 - x).powi(2))
    });
    slopes.0 / slopes.1
}

fn ticking(folder: &Path) {
    let mut sync = Vec::new();
    let mut file = File::create(folder.join("sync")).unwrap();
    for _ in 0..50 {
        file.write_all(&[7; 4 * 4120]).unwrap();
        let start = Instant::now();
        file.sync_data().unwrap();
        sync.push(start.elapsed());
    }
    println!(
        "sync of what a tick writes: {:.2} ms median",
        ms(median(&mut sync))
    );
    println!("@ sync-ms {}", ms(median(&mut sync)));

    let mut ours = book(&folder.join("ours.crimpbook"), 1000).store;
    let rows = rows(folder);
    let bare = bare(folder);
    ours.get_ready().unwrap();
    let (mut our_times, mut bare_times) = (Vec::new(), Vec::new());
    for (n, rows) in (0..TICKS).zip(&rows) {
        let start = Instant::now();
        ours.commit(&tick(n)).unwrap();
        our_times.push(start.elapsed());
        let start = Instant::now();
        bare.execute_batch("BEGIN IMMEDIATE").unwrap();
        for (sql, cells) in rows {
            bare.prepare_cached(sql)
                .unwrap()
                .execute(params_from_iter(cells))
                .unwrap();
        }
        bare.execute_batch("COMMIT").unwrap();
        bare_times.push(start.elapsed());
    }
    let (our, bare) = (median(&mut our_times), median(&mut bare_times));
    println!(
        "a tick: {:.2} ms median; the same rows in a bare transaction: {:.2} ms; {:.2} times as long",
        ms(our),
        ms(bare),
        our.as_secs_f64() / bare.as_secs_f64()
    );
    println!("@ tick-ratio {}", our.as_secs_f64() / bare.as_secs_f64());
}

/// The rows that the ticks make, as they stand in a file: table by table.
fn rows(folder: &Path) -> Vec<Vec<(String, Vec<Value>)>> {
    let path = folder.join("rows.crimpbook");
    let mut store = book(&path, 1000).store;
    (0..TICKS).for_each(|n| drop(store.commit(&tick(n)).unwrap()));
    store.close().unwrap();
    let db = Connection::open(&path).unwrap();
    let read = |table: &str, from: &str| -> Vec<(String, Vec<Value>)> {
        let mut statement = db.prepare(&format!("SELECT * FROM {table} {from}")).unwrap();
        let columns = statement.column_count();
        let marks = vec!["?"; columns].join(", ");
        let sql = format!("INSERT INTO {table} VALUES ({marks})");
        let rows = statement.query_map([], |row| (0..columns).map(|column| row.get(column)).collect());
        rows.unwrap().map(|cells| (sql.clone(), cells.unwrap())).collect()
    };
    let steps = read("steps_done", "ORDER BY length(id), id");
    let log = read("log", "WHERE seq > 1 ORDER BY seq");
    steps
        .into_iter()
        .zip(log)
        .map(|(step, entry)| vec![step, entry])
        .collect()
}

/// The same book under the same settings, with nothing of ours in between.
fn bare(folder: &Path) -> Connection {
    let path = folder.join("bare.crimpbook");
    book(&path, 1000).store.close().unwrap();
    let db = Connection::open(path).unwrap();
    db.execute_batch("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON")
        .unwrap();
    db.query_row("PRAGMA journal_mode = WAL", [], |_| Ok(())).unwrap();
    db
}

/// A workbook of as many wires, each between two cavities of its own.
fn book(path: &Path, wires: u32) -> Opened {
    let mut records = Vec::new();
    let mut add = |record: serde_json::Value| records.push(serde_json::from_value::<Record>(record).unwrap());
    for unit in 0..wires.div_ceil(50) {
        add(json!({"unit": {"id": format!("4{unit}"), "label": format!("U{unit}"), "name": "controller"}}));
    }
    for connector in 0..wires.div_ceil(25) {
        add(
            json!({"connector": {"id": format!("5{connector}"), "unit": format!("4{}", connector / 2),
            "label": format!("U{}-{connector}", connector / 2)}}),
        );
    }
    for cavity in 0..wires * 2 {
        add(
            json!({"cavity": {"id": format!("6{cavity}"), "connector": format!("5{}", cavity / 50),
            "number": format!("{}", cavity % 50 + 1), "name": "throttle 1", "kind": "analogue_in",
            "limits": {"most_v": 5.5, "most_a": 0.01}, "decision": "wired", "why": "pedal track", "page": "41"}}),
        );
    }
    for wire in 0..wires {
        add(
            json!({"wire": {"id": format!("7{wire}"), "label": format!("W{wire}"), "signal": "throttle 1",
            "from": {"cavity": format!("6{}", wire * 2)}, "to": {"cavity": format!("6{}", wire * 2 + 1)},
            "area_mm2": 0.5, "colour": "GN/WH", "length_m": 2.4}}),
        );
    }
    let changes = records.into_iter();
    let changes = changes.map(|after| Change {
        before: None,
        after: Some(after),
    });
    Store::create(path, &[entry(EntryKind::Creation, u32::MAX, changes.collect())]).unwrap()
}

fn tick(n: u32) -> Entry {
    let step = json!({"step_done": {"id": format!("8{n}"), "of": {"end": {"wire": format!("7{}", n % 1000), "end": "from"}},
        "step": "crimp", "outcome": "done", "at": "2026-03-01T09:30:00Z", "who": "anna", "note": "",
        "rested_on": [{"on": {"kind": "wire", "id": format!("7{}", n % 1000)}, "group": "size", "value": "0.5"}]}});
    let after = Some(serde_json::from_value(step).unwrap());
    entry(EntryKind::Progress, n, vec![Change { before: None, after }])
}

fn entry(kind: EntryKind, n: u32, changes: Vec<Change>) -> Entry {
    Entry {
        schema: ENTRY_SCHEMA,
        id: Id::from_bits(1 << 64 | u128::from(n)),
        at: "2026-03-01T09:30:00Z".parse().unwrap(),
        who: "anna".to_owned(),
        kind,
        title: format!("W{n} from: crimp done"),
        why: String::new(),
        of: None,
        revision: None,
        changes,
        merged: None,
    }
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}
