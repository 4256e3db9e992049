//! What the enumeration found, kept beside the test, against the proof.

use super::*;

/// A fault and a rule that it breaks, in how many combinations; of a fault that breaks none, an empty rule.
type Pair = (String, String, u64);

fn kept_at() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/rules/demo.broken.csv")
}

fn kept() -> Vec<Pair> {
    let text = std::fs::read_to_string(kept_at()).unwrap();
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
    let of = |fault: &Fault| enumerated.iter().any(|(words, ..)| *words == fault.words);
    let tried: Vec<&Fault> = proof.faults.iter().filter(|f| of(f)).collect();
    let opens = |faults: &[&Fault]| faults.iter().filter(|f| f.class == Class::Open).count();
    assert_eq!(
        opens(&tried),
        opens(&proof.faults.iter().collect::<Vec<_>>()),
        "every open"
    );
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

/// Makes the file anew.
#[test]
#[ignore = "takes half an hour and more; makes tests/data/rules/demo.broken.csv anew"]
fn enumerate_the_demo() {
    let tables = demo::tables();
    let see = Snapshot::new(Arc::new(Book::from_tables(tables.clone(), None)));
    let faults = &see.proof().faults;
    let solutions = AtomicUsize::new(0);
    let part = |which: usize| {
        let apart = Apart::of(&tables, demo::live(&see));
        let mut whole = Whole::of(&apart, see.book());
        let combinations = whole.combinations();
        let before = whole.without_fault(&combinations);
        assert!(
            before.iter().all(|(_, broken)| *broken == 0),
            "every rule holds without a fault"
        );
        let mut found: Vec<Pair> = Vec::new();
        for fault in faults.iter().skip(which).step_by(THREADS) {
            let broken = whole.with_fault(fault, &combinations, &before);
            eprintln!("{} {broken:?}", fault.words);
            if broken.is_empty() {
                found.push((fault.words.clone(), String::new(), 0));
            }
            found.extend(broken.into_iter().map(|(rule, n)| (fault.words.clone(), rule, n)));
        }
        solutions.fetch_add(whole.solutions, Ordering::Relaxed);
        found
    };
    let part = &part;
    let mut all: Vec<Pair> = std::thread::scope(|scope| {
        let parts: Vec<_> = (0..THREADS)
            .map(|which| scope.spawn(move || part(which)))
            .collect();
        parts.into_iter().flat_map(|part| part.join().unwrap()).collect()
    });
    all.sort();
    let mut text = format!(
        "# The rules of the demo that each fault breaks, and in how many of {} combinations that hold without it.\n\
         # Made by crates/workbook/tests/rules/whole.rs: {} networks made and solved one by one, over {} of {} faults.\n\
         fault,rule,combinations\n",
        see.proof().combinations,
        solutions.load(Ordering::Relaxed),
        faults.len(),
        faults.len(),
    );
    for (fault, rule, combinations) in all {
        text.push_str(&format!("{fault},{rule},{combinations}\n"));
    }
    std::fs::write(kept_at(), text).unwrap();
}
