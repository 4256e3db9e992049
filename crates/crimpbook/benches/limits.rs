//! All limits of the design in one table: the limit, what was measured, and the verdict with the distance. `cargo bench --bench limits`.
//!
//! What starts, draws, idles and takes memory is measured here, on the program itself in a pseudo-terminal. The others are measured
//! by the benches of their crates, which are run one after the other and print what is read here: `@ name value`.

#![allow(clippy::unwrap_used, reason = "a benchmark that cannot go on may stop")]
#![allow(clippy::disallowed_methods, reason = "a benchmark measures time")]

#[allow(dead_code, reason = "the benches of the checks use the rest of it")]
#[path = "../../workbook/benches/fleet/mod.rs"]
mod fleet;
mod program;

use std::{collections::BTreeMap, fs, hint::black_box, path::Path, process::Command, time::Instant};

use program::{PROGRAM, Running, ticks_of};

/// A row of the table.
struct Row {
    what: &'static str,
    /// The name it is measured under.
    name: &'static str,
    limit: f64,
    unit: &'static str,
    /// What it hangs on, where it is over its limit.
    reason: &'static str,
}

const fn row(
    what: &'static str,
    name: &'static str,
    limit: f64,
    unit: &'static str,
    reason: &'static str,
) -> Row {
    Row {
        what,
        name,
        limit,
        unit,
        reason,
    }
}

const ROWS: &[Row] = &[
    row(
        "start to first frame, demo",
        "start-demo-ms",
        15.0,
        "ms",
        "a third is the system's, which maps and relocates the program; the rest reads the file's counts and takes the terminal",
    ),
    row(
        "start to first frame, 5,000 wires",
        "start-5000-ms",
        60.0,
        "ms",
        "as for the demo, and counting goes over the tables' indexes",
    ),
    row(
        "key to frame at 5,000 wires, median of the slowest",
        "key-median-ms",
        3.0,
        "ms",
        "the frame is drawn whole and what differs is sent",
    ),
    row(
        "key to frame at 5,000 wires, 99 % of the slowest",
        "key-99-ms",
        10.0,
        "ms",
        "at one key in a hundred the rows of a list are made anew, or other work had the processor",
    ),
    row(
        "a tick made durable, to a bare transaction",
        "tick-ratio",
        1.3,
        "times",
        "the log's entry is chained by its hash before it is written",
    ),
    row(
        "all findings, demo",
        "findings-demo-ms",
        10.0,
        "ms",
        "two fifths of it solve states, at both ends of the supply as well where a level may pass a limit",
    ),
    row(
        "all findings, 5,000 wires",
        "findings-5000-ms",
        300.0,
        "ms",
        "two fifths of it solve states, at both ends of the supply as well where a level may pass a limit",
    ),
    row(
        "all findings after an edit of a colour, 5,000 wires",
        "edit-colour-5000-ms",
        // Two frames.
        33.0,
        "ms",
        "the list of 2,000 findings is put in order anew",
    ),
    row(
        "the list at once after an edit of a length, its figures to follow, 5,000 wires",
        "listed-length-5000-ms",
        // Two frames.
        33.0,
        "ms",
        "the checks of the plan that read a length run anew, and the list is put in order",
    ),
    row(
        "the list at once after an added wire, its figures to follow, 5,000 wires",
        "listed-wire-5000-ms",
        33.0,
        "ms",
        "nets are joined anew over the whole book, what the edit can reach carries signals anew, and checks of the plan run over them",
    ),
    row(
        "the list at once after a decision, its figures to follow, 5,000 wires",
        "listed-decision-5000-ms",
        33.0,
        "ms",
        "every check of the plan runs anew, and the list is put in order",
    ),
    row(
        "all findings after an edit of a length, 5,000 wires",
        "edit-length-5000-ms",
        300.0,
        "ms",
        "every state is solved again",
    ),
    row(
        "all findings after an added wire, 5,000 wires",
        "edit-wire-5000-ms",
        300.0,
        "ms",
        "every state is solved again",
    ),
    row(
        "DC operating point, 1,000 wires",
        "point-ms",
        3.0,
        "ms",
        "one factorisation and a few Newton steps; compare machines by the yardstick",
    ),
    row(
        "every single fault × 8 states, 200 wires",
        "sweep-200-ms",
        100.0,
        "ms",
        "each fault is an update of a factor, some from nothing; compare machines by the yardstick",
    ),
    row(
        "every single fault × 8 states, 1,000 wires",
        "sweep-1000-ms",
        1500.0,
        "ms",
        "each fault is an update of a factor, some from nothing; compare machines by the yardstick",
    ),
    row(
        "any one fault's voltages afterwards, the slowest",
        "one-fault-ms",
        1.0,
        "ms",
        "the slowest is solved from nothing",
    ),
    row(
        "what is kept of the faults beyond the book",
        "sweep-mb",
        60.0,
        "MB",
        "what each fault changes is kept sparsely",
    ),
    // The pieces' tables may take 0.3 s; that all of it stays below what combining them may take holds both.
    row(
        "rules over 24 switches, 1,799 pairs: pieces solved and combined",
        "rules-s",
        0.05,
        "s",
        "the pieces' tables are solved in it as well",
    ),
    row(
        "all rules of the demo, every fault",
        "rules-demo-s",
        0.3,
        "s",
        "where a feed or a ground is lost, thousands of positions of contacts that hang on it are solved",
    ),
    row(
        "first suspects and where to measure, demo",
        "suspects-demo-s",
        0.2,
        "s",
        "every single fault is solved in the state, touching wires too",
    ),
    row(
        "first suspects and where to measure, 1,000 wires",
        "suspects-1000-s",
        2.0,
        "s",
        "every single fault is solved in the state, touching wires too",
    ),
    row(
        "an edit tried, without proofs, demo",
        "tried-demo-s",
        0.1,
        "s",
        "the figures are computed for the book tried",
    ),
    row(
        "memory with 5,000 wires open",
        "memory-mb",
        60.0,
        "MB",
        "the book takes 30 MB, figures of all states, signals and findings are kept for the screens, and what trying out mends needed is not given back to the system",
    ),
    row(
        "processor while idle, 5,000 wires",
        "idle-percent",
        0.1,
        "%",
        "a watcher looks whether others changed the file",
    ),
    row(
        "the program, stripped",
        "program-mb",
        10.0,
        "MB",
        "over 1 MB of it are tables for unwinding, without which a fault of one check would take the screens with it",
    ),
];

/// How costs grow with the number of wires, as exponents.
const GROWTH: &[(&str, &str)] = &[
    ("an operating point", "point-exponent"),
    ("every single fault", "sweep-exponent"),
    ("opening a file", "open-exponent"),
];

/// The benches of the other crates.
const BENCHES: &[(&str, &str)] = &[
    ("crimpbook", "screens"),
    ("crimpbook-store", "tick"),
    ("crimpbook-workbook", "check"),
    ("crimpbook-core", "network"),
    ("crimpbook-workbook", "rules"),
    ("crimpbook-workbook", "suspects"),
];

/// How fast this machine is at what has nothing to do with the program: the figures of two machines are compared by it.
/// Multiplications that wait for each other, and looks into 4 MB in no order; the median of some rounds, ms.
fn yardstick_ms() -> f64 {
    const PLACES: usize = 1 << 19;
    const STEPS: usize = 2_000_000;
    let table: Vec<u64> = (0..PLACES as u64)
        .map(|n| n.wrapping_mul(0x9e37_79b9_7f4a_7c15))
        .collect();
    let round = || {
        let begun = Instant::now();
        let (mut at, mut sum) = (1u64, 1.0f64);
        for _ in 0..STEPS {
            at = at.wrapping_mul(0x5851_f42d_4c95_7f2d) ^ table[(at >> 45) as usize % PLACES];
            sum = sum.mul_add(1.000_000_1, at as f64 * 1e-20);
        }
        black_box((at, sum));
        begun.elapsed().as_secs_f64() * 1e3
    };
    let mut rounds: Vec<f64> = (0..15).map(|_| round()).collect();
    rounds.sort_by(f64::total_cmp);
    rounds[rounds.len() / 2]
}

fn main() {
    let mut measured = BTreeMap::new();
    measured.insert("yardstick-ms".to_owned(), yardstick_ms());
    on_the_program(&mut measured);
    for (package, bench) in BENCHES {
        match run(package, bench) {
            Ok(text) => read(&text, &mut measured),
            Err(why) => eprintln!("{package} {bench}: {why}"),
        }
    }
    print(&measured);
}

/// Starts, memory, idling and size of the program.
fn on_the_program(measured: &mut BTreeMap<String, f64>) {
    let folder = tempfile::tempdir().unwrap();
    let made = Command::new(PROGRAM)
        .args(["demo", "demo.crimpbook"])
        .current_dir(folder.path())
        .env("HOME", folder.path())
        .output();
    assert!(made.unwrap().status.success());
    // A start begins with a copy of this process, which is small as long as it has made no large workbook.
    let mut start = |name: &str, file: &str| {
        let mut times: Vec<f64> = (0..15)
            .map(|_| Running::start(folder.path(), file).leave())
            .collect();
        times.sort_by(f64::total_cmp);
        let median = times[times.len() / 2];
        println!("@ {name} {median}");
        measured.insert(name.to_owned(), median);
    };
    start("start-demo-ms", "demo.crimpbook");
    large(folder.path());
    start("start-5000-ms", "large.crimpbook");
    let running = Running::start(folder.path(), "large.crimpbook");
    // The checks of a large book are through.
    running.settle();
    measured.insert("memory-mb".to_owned(), running.memory_mb());
    let (before, frames) = (ticks_of(running.id()), running.bytes());
    let seconds = 20.0;
    std::thread::sleep(std::time::Duration::from_secs_f64(seconds));
    // The system counts in hundredths of a second.
    let used = ticks_of(running.id()) - before;
    measured.insert("idle-percent".to_owned(), used as f64 / seconds);
    println!(
        "{} bytes were drawn in {seconds} s of idling",
        running.bytes() - frames
    );
    running.leave();
    let size = fs::metadata(PROGRAM).unwrap().len();
    measured.insert("program-mb".to_owned(), size as f64 / 1e6);
}

/// Makes `large.crimpbook`: 56 demo vehicles in one, which have 5,000 wires.
fn large(folder: &Path) {
    let json = crimpbook_record::json::write(&fleet::fleet(56), &[]);
    fs::write(folder.join("large.json"), json).unwrap();
    let made = Command::new(PROGRAM)
        .args(["new", "large.crimpbook", "--from", "large.json"])
        .current_dir(folder)
        .env("HOME", folder)
        .output()
        .unwrap();
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
}

/// Runs a bench of another crate and gives what it prints.
fn run(package: &str, bench: &str) -> Result<String, String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let output = Command::new(cargo)
        .args(["bench", "--quiet", "-p", package, "--bench", bench])
        .current_dir(root)
        // Trials by seed have no limit of time.
        .envs([("CRIMPBOOK_TRIAL_SEEDS", "0"), ("CRIMPBOOK_TRIED_EDITS", "0")])
        .output()
        .map_err(|error| error.to_string())?;
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    print!("{text}");
    if output.status.success() {
        Ok(text)
    } else {
        Err(String::from_utf8_lossy(&output.stderr).into_owned())
    }
}

fn read(text: &str, measured: &mut BTreeMap<String, f64>) {
    for line in text.lines() {
        if let Some((name, value)) = line.strip_prefix("@ ").and_then(|rest| rest.split_once(' '))
            && let Ok(value) = value.trim().parse()
        {
            measured.insert(name.to_owned(), value);
        }
    }
}

fn print(measured: &BTreeMap<String, f64>) {
    println!("\n{:<52} {:>10} {:>12}  verdict", "what", "at most", "measured");
    let mut over = 0;
    for row in ROWS {
        let limit = format!("{} {}", row.limit, row.unit);
        let Some(value) = measured.get(row.name) else {
            over += 1;
            println!("{:<52} {limit:>10} {:>12}  NOT MEASURED", row.what, "-");
            continue;
        };
        let shown = format!("{} {}", short(*value), row.unit);
        let share = value / row.limit;
        let verdict = if share <= 1.0 {
            format!("within, at {:.0} %", share * 100.0)
        } else {
            over += 1;
            let because = if row.reason.is_empty() { "" } else { ": " };
            format!("OVER by {:.0} %{because}{}", (share - 1.0) * 100.0, row.reason)
        };
        println!("{:<52} {limit:>10} {shown:>12}  {verdict}", row.what);
    }
    for (what, name) in GROWTH {
        if let Some(exponent) = measured.get(*name) {
            println!("{what} grows with wires ^ {exponent:.2}");
        }
    }
    if let Some(sync) = measured.get("sync-ms") {
        println!("this disk syncs what a tick writes in {} ms", short(*sync));
    }
    if let Some(yardstick) = measured.get("yardstick-ms") {
        println!(
            "yardstick: {} ms for arithmetic and memory that have nothing to do with the program; DEVELOPERS.md tells what it was where its figures were measured",
            short(*yardstick)
        );
    }
    println!(
        "{over} of {} rows are over their limit or not measured",
        ROWS.len()
    );
}

fn short(value: f64) -> String {
    match value.abs() {
        v if v >= 100.0 => format!("{value:.0}"),
        v if v >= 10.0 => format!("{value:.1}"),
        _ => format!("{value:.3}"),
    }
}
