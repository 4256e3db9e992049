//! What the enumeration found, kept beside the test, against the proof.

use super::*;

/// A fault and a rule that it breaks, in how many combinations; of a fault that breaks none, an empty rule.
type Pair = (String, String, u64);

fn kept_at() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/rules/demo.broken.csv")
}

fn kept() -> Vec<Pair> {
    let text = std::fs::read_to_string(kept_at()).unwrap_or_default();
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let pair = |line: &str| {
        let [fault, rule, combinations] = line.split(',').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        (fault.to_owned(), rule.to_owned(), combinations.parse().unwrap())
    };
    let mut all: Vec<Pair> = lines.map(pair).collect();
    all.sort();
    all
}

/// The proof breaks the same rules by the same faults, in as many combinations, as solving each network by itself does.
#[test]
fn the_demo_is_proven_as_it_is_enumerated() {
    let tables = demo::tables();
    let see = Snapshot::new(Arc::new(Book::from_tables(tables, None)));
    let proof = see.proof();
    let enumerated = kept();
    let of = |fault: &&Fault| enumerated.iter().any(|(words, ..)| *words == fault.words);
    let (tried, left): (Vec<&Fault>, Vec<&Fault>) = proof.faults.iter().partition(of);
    assert!(left.is_empty(), "every fault is enumerated, but these: {left:#?}");
    let mut proven: Vec<Pair> = Vec::new();
    for fault in tried {
        let before = proven.len();
        for rule in &proof.rules {
            let broken = rule.broken_by(fault.class).iter();
            let mut broken = broken.filter(|b| proof.faults[b.fault] == *fault);
            let label = see.book().label_of(rule.rule);
            proven.extend(
                broken
                    .next()
                    .map(|b| (fault.words.clone(), label, b.combinations)),
            );
        }
        if proven.len() == before {
            proven.push((fault.words.clone(), String::new(), 0));
        }
    }
    let missing: Vec<&Pair> = enumerated.iter().filter(|p| !proven.contains(p)).collect();
    let besides: Vec<&Pair> = proven.iter().filter(|p| !enumerated.contains(p)).collect();
    assert!(
        missing.is_empty() && besides.is_empty(),
        "enumerated only: {missing:#?}\nproven only: {besides:#?}"
    );
    assert!(enumerated.len() > 50, "{}", enumerated.len());
}

/// How many networks the file that is kept says it took.
fn networks_kept() -> usize {
    let text = std::fs::read_to_string(kept_at()).unwrap_or_default();
    let words: Vec<&str> = text.split_whitespace().collect();
    let said = words.windows(2).find(|two| two[1] == "networks,");
    said.map_or(0, |two| two[0].parse().unwrap())
}

/// What is enumerated so far, so that it can be broken off and gone on with.
fn so_far_at() -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo.enumerated")
}

/// Adds to the file the faults that it does not hold; after a change of the demo, take out of it what is to be made anew.
#[test]
#[ignore = "takes hours; completes tests/data/rules/demo.broken.csv"]
fn enumerate_the_demo() {
    let tables = demo::tables();
    let see = Snapshot::new(Arc::new(Book::from_tables(tables.clone(), None)));
    let faults = &see.proof().faults;
    let held = kept();
    let so_far = std::fs::read_to_string(so_far_at()).unwrap_or_default();
    let mut done: BTreeSet<&str> = held.iter().map(|(fault, ..)| fault.as_str()).collect();
    done.extend(so_far.lines().filter_map(|line| line.split(',').next()));
    let left: Vec<&Fault> = faults
        .iter()
        .filter(|fault| !done.contains(fault.words.as_str()))
        .collect();
    let file = std::fs::OpenOptions::new()
        .create(true)
        .append(true)
        .open(so_far_at());
    let (file, next) = (Mutex::new(file.unwrap()), AtomicUsize::new(0));
    let some = || {
        let apart = Apart::of(&tables, demo::live(&see));
        let mut whole = Whole::of(&apart, see.book());
        let combinations = whole.combinations();
        let before = whole.without_fault(&combinations);
        assert!(
            before.iter().all(|(_, broken)| *broken == 0),
            "every rule holds without a fault"
        );
        while let Some(fault) = left.get(next.fetch_add(1, Ordering::Relaxed)) {
            let solutions = whole.solutions;
            let mut broken = whole.with_fault(fault, &combinations, &before);
            if broken.is_empty() {
                broken.insert(String::new(), 0);
            }
            let solutions = whole.solutions - solutions;
            let lines = broken
                .iter()
                .map(|(rule, n)| format!("{},{rule},{n},{solutions}\n", fault.words));
            let lines: String = lines.collect();
            eprint!("{lines}");
            file.lock().unwrap().write_all(lines.as_bytes()).unwrap();
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..THREADS {
            scope.spawn(some);
        }
    });
    keep(see.proof().combinations, faults.len(), held);
}

/// Keeps what was enumerated of every fault beside what was kept before.
fn keep(combinations: u64, faults: usize, mut all: Vec<Pair>) {
    let so_far = std::fs::read_to_string(so_far_at()).unwrap();
    let mut solutions = BTreeMap::new();
    for line in so_far.lines() {
        let [fault, rule, broken, networks] = line.split(',').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        all.push((fault.to_owned(), rule.to_owned(), broken.parse().unwrap()));
        solutions.insert(fault, networks.parse::<usize>().unwrap());
    }
    all.sort_unstable();
    let told: BTreeSet<&str> = all.iter().map(|(fault, ..)| fault.as_str()).collect();
    assert_eq!(told.len(), faults);
    let mut text = format!(
        "# The rules of the demo that each fault breaks, and in how many of {combinations} combinations that hold without it.\n\
         # Made by crates/workbook/tests/rules/whole.rs: {} networks, each written, factorised and solved by itself, over all {faults} faults.\n\
         fault,rule,combinations\n",
        networks_kept() + solutions.values().sum::<usize>(),
    );
    for (fault, rule, broken) in all {
        text.push_str(&format!("{fault},{rule},{broken}\n"));
    }
    std::fs::write(kept_at(), text).unwrap();
    std::fs::remove_file(so_far_at()).unwrap();
}
