use super::*;
use crate::{
    Book,
    analysis::Snapshot,
    edit::{
        Edit,
        make::{self, WireField},
        testing::stamp,
    },
    model::*,
    testing::Bench,
};
use chrono::DateTime;

/// A plug of three in a row: a feed from a stud through a splice, a ground, a lamp's wire.
fn plug() -> Bench {
    let mut bench = Bench::new();
    bench.battery();
    bench.wire("W1", "BP", "SP1", 1.0, 2.0);
    bench.wire("W2", "SP1", "MC-A1", 0.5, 1.0);
    bench.wire("W3", "SP1", "BM-A1", 0.5, 1.0);
    bench.wire("W4", "MC-A3", "G1", 1.0, 1.0);
    bench.chassis("G1", "BN", 0.002);
    bench.wire("W5", "MC-A2", "DI-A1", 0.35, 2.0);
    bench.load("logic", 0.1, &["MC-A1", "MC-A3"]);
    let out = bench.part("lamp out", Bench::low_side(0.1), &["MC-A2", "MC-A3"]);
    let state = bench.state("ON");
    bench.set(state, out, PartPosition::On);
    let ground = bench.cavity("MC-A", "3");
    bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
    let connector = bench.connector("MC-A");
    bench.edit(connector, |c: &mut Connector| {
        c.face = "rows 3, from upper left, seen from mating side".to_owned();
    });
    let negative = bench.named::<Junction>("BN");
    let page = bench.named::<About>("test bench");
    bench.edit(page, |a: &mut About| a.reference = Some(negative));
    bench
}

fn told(book: &Book, test: &Test) -> String {
    let (least, most) = test.expected.bounds();
    let figure = |v: Option<f64>| v.map_or_else(|| "any".to_owned(), |v| format!("{v:.3}"));
    let expected = match &test.expected {
        Expected::CannotTell(why) => why.clone(),
        Expected::Floats => "floats".to_owned(),
        Expected::Within { .. } => format!("{} to {}", figure(least), figure(most)),
    };
    format!(
        "{} {} - {}: {expected}",
        test.kind.words(),
        book.cavity_name(test.at),
        test.against_words(book)
    )
}

fn lines(see: &Snapshot, stage: Stage) -> Vec<String> {
    let listed = listed(see, stage, &Known::default());
    listed.tests.iter().map(|t| told(see.book(), t)).collect()
}

#[test]
fn end_to_end_starts_with_what_shows_a_mirrored_plug() {
    let see = plug().snapshot();
    let listed = listed(&see, Stage::Through, &Known::default());
    let lines: Vec<String> = listed.tests.iter().map(|t| told(see.book(), t)).collect();
    // By hand: W1 2 m at 18.5 mΩ/m and W2 1 m at 37.1 mΩ/m, times 1.1325 for length and warmth, one ring, two crimps in the
    // splice, one contact, and the meter's 0.1 Ω.
    assert_eq!(
        lines,
        [
            "end to end BM-A1 - BP: 0.000 to 0.192",
            "mirrored? MC-A1 - BP: 0.000 to 0.192",
            "ground MC-A3 - BN: 0.000 to 0.129",
            "end to end MC-A2 - DI-A1: 0.000 to 0.235",
        ]
    );
    let hint = &listed.tests[1].hint;
    assert!(
        hint.contains("joined at MC-A3, the plug was numbered mirrored: stop"),
        "{hint}"
    );
}

#[test]
fn what_is_missing_is_said() {
    let mut bench = plug();
    let wire = bench.named::<Wire>("W5");
    bench.edit(wire, |w: &mut Wire| w.length_m = None);
    let lines = lines(&bench.snapshot(), Stage::Through);
    assert!(
        lines.contains(&"end to end MC-A2 - DI-A1: missing the length of W5".to_owned()),
        "{lines:?}"
    );
}

#[test]
fn sweeps_leave_out_what_is_meant_to_be_joined() {
    let see = plug().snapshot();
    assert_eq!(
        lines(&see, Stage::Chassis),
        [
            "open to chassis BM-A1 - chassis: 1000000.000 to any",
            "open to chassis DI-A1 - chassis: 1000000.000 to any",
            "open to chassis MC-A1 - chassis: 1000000.000 to any",
            "open to chassis MC-A2 - chassis: 1000000.000 to any",
        ]
    );
    assert_eq!(
        lines(&see, Stage::Supply),
        [
            "open to supply DI-A1 - BP: 1000000.000 to any",
            "open to supply MC-A2 - BP: 1000000.000 to any",
            "open to supply MC-A3 - BP: 1000000.000 to any",
        ]
    );
    assert_eq!(
        lines(&see, Stage::Neighbours),
        [
            "open to neighbour MC-A1 - MC-A2: 1000000.000 to any",
            "open to neighbour MC-A2 - MC-A3: 1000000.000 to any",
        ],
        "MC-A1 and MC-A3 do not lie beside each other"
    );
}

#[test]
fn the_can_pair_reads_what_is_built_in_so_far() {
    let mut bench = Bench::new();
    for (at, label) in ["MC", "BM"].iter().enumerate() {
        for (number, kind) in [("1", SignalKind::CanHigh), ("2", SignalKind::CanLow)] {
            let cavity = bench.cavity(&format!("{label}-A"), number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        let ends = [format!("{label}-A1"), format!("{label}-A2")];
        bench.part(
            &format!("end {at}"),
            PartKind::Terminator { ohm: 120.0 },
            &[&ends[0], &ends[1]],
        );
    }
    bench.wire("W1", "MC-A1", "BM-A1", 0.5, 2.0);
    bench.wire("W2", "MC-A2", "BM-A2", 0.5, 2.0);
    let can = |bench: &Bench| {
        let lines = lines(&bench.snapshot(), Stage::Parts);
        lines.into_iter().find(|line| line.contains("MC-A1")).unwrap()
    };
    // MC's own terminator is at the place measured; that of BM hangs on wires that are not built yet.
    assert_eq!(can(&bench), "CAN pair MC-A1 - MC-A2: 111.600 to 128.400");
    let book = bench.book();
    let steps: Vec<_> = ["W1", "W2"]
        .iter()
        .flat_map(|label| crate::plan::of_wire(&book, bench.named::<Wire>(label)))
        .collect();
    let answer = crate::plan::Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: stamp(1).at,
        who: "Ann".to_owned(),
    };
    let edit = crate::plan::answer(&book, &mut IdMaker::new(3), &steps, &answer).unwrap();
    let book = kept(&book, edit);
    let see = Snapshot::of(&book);
    assert!(lines(&see, Stage::Parts).contains(&"CAN pair MC-A1 - MC-A2: 55.800 to 64.200".to_owned()));
}

#[test]
fn coils_have_a_window_and_electronics_before_them_none() {
    let mut bench = Bench::new();
    bench.part("K1 coil", Bench::coil(85.0, 9.0), &["PB-A1", "PB case"]);
    bench.part("K2 coil", Bench::coil(85.0, 9.0), &["PB rail", "PB case"]);
    let mut economiser = Bench::coil(3.2, 9.0);
    if let PartKind::Coil { hold_a, .. } = &mut economiser {
        *hold_a = Some(0.2);
    }
    bench.part("MAIN coil", economiser, &["CB-A1", "CB-A2"]);
    let see = bench.snapshot();
    let listed = listed(&see, Stage::Parts, &Known::default());
    let lines: Vec<String> = listed.tests.iter().map(|t| told(see.book(), t)).collect();
    // 85 Ω ∓ 10 % at 10 and 40 °C: 76.5 · 244.5/254.5 − 0.1 and 93.5 · 274.5/254.5 + 0.1.
    assert_eq!(lines[0], "coil PB-A1 - chassis: 73.394 to 100.948");
    assert!(
        lines[1].starts_with("coil CB-A1 - CB-A2: an economiser"),
        "{}",
        lines[1]
    );
    assert_eq!(
        listed.untold,
        ["K2 coil: cannot tell: PB rail is inside, a lead has no place there"]
    );
}

#[test]
fn volts_span_the_supply_unless_it_was_read() {
    let bench = plug();
    let see = bench.snapshot();
    let state = bench.named::<State>("ON");
    let off = lines(&see, Stage::PlugsOff(state));
    assert_eq!(
        off,
        [
            "volts, plugs off MC-A1 - MC-A3: 10.400 to 14.520",
            "volts, plugs off MC-A2 - MC-A3: floats",
            "volts, plugs off MC-A3 - BN: -0.050 to 0.050",
        ]
    );
    let on = lines(&see, Stage::PlugsOn(state));
    assert!(
        on.contains(&"volts, plugs on MC-A2 - MC-A3: -0.050 to 0.050".to_owned()),
        "{on:?}"
    );
    let known = Known {
        supply_v: Some(12.4),
        ..Known::default()
    };
    let listed = listed(&see, Stage::PlugsOff(state), &known);
    assert_eq!(
        told(see.book(), &listed.tests[0]),
        "volts, plugs off MC-A1 - MC-A3: 12.190 to 12.610"
    );
    assert_eq!(
        listed.tests[1].expected.judge(Some(4.0)),
        Some(false),
        "something feeds it"
    );
}

fn kept(book: &Book, edit: Edit) -> Book {
    let mut after = book.clone();
    let entry = book.prepare(edit, stamp(2)).unwrap();
    after.apply(&entry).unwrap();
    after
}

fn taken(value: Option<f64>, minute: i64) -> Taken {
    Taken {
        value,
        at: DateTime::UNIX_EPOCH + chrono::TimeDelta::minutes(minute),
        who: "Ann".to_owned(),
        meter: "meter 1".to_owned(),
        note: String::new(),
        leads_ohm: Some(0.2),
        current_a: None,
    }
}

#[test]
fn a_reading_lapses_with_its_wire_and_comes_back_by_a_new_one_only() {
    let bench = plug();
    let book = bench.book();
    let mut ids = IdMaker::new(9);
    let tests = listed(&Snapshot::of(&book), Stage::Through, &Known::default()).tests;
    let at = |name: &str| {
        let found = tests.iter().find(|t| book.cavity_name(t.at) == name);
        found.unwrap().clone()
    };
    let (feed, lamp) = (at("MC-A1"), at("MC-A2"));
    let mut now = kept(
        &book,
        take(&book, &mut ids, &feed, &taken(Some(0.12), 1)).unwrap(),
    );
    now = kept(&now, take(&now, &mut ids, &lamp, &taken(Some(0.15), 1)).unwrap());
    assert_eq!(standing(&now, &feed), Standing::Passed);
    let reading = reading_of(&now, &feed).unwrap();
    assert_eq!(reading.leads_ohm, Some(0.2));
    assert!(reading.rested_on.iter().any(|rest| rest.group == "size"));

    // A size further up the same way.
    let size = make::set_wires(&now, &[bench.named::<Wire>("W1")], &WireField::mm2(1.5)).unwrap();
    let entry = now.prepare(size, stamp(3)).unwrap();
    let mut after = now.clone();
    after.apply(&entry).unwrap();
    assert_eq!(
        reading_of(&after, &feed).unwrap().lapsed.as_deref(),
        Some("W1: size changed from 1 to 1.5 mm²")
    );
    assert_eq!(standing(&after, &feed), Standing::Lapsed);
    assert_eq!(standing(&after, &lamp), Standing::Passed, "its wire is another");

    // Taking the change back brings no reading back.
    let back = kept(&after, crate::edit::invert(&entry));
    assert_eq!(standing(&back, &feed), Standing::Lapsed);
    let again = take(&back, &mut ids, &feed, &taken(Some(0.13), 5)).unwrap();
    assert_eq!(again.title, "MC-A1 mirrored?: 0.13 Ω, right");
    let again = kept(&back, again);
    assert_eq!(standing(&again, &feed), Standing::Passed);
    assert_eq!(again.all::<Reading>().len(), 3, "the one that lapsed stays");
}

#[test]
fn a_wrong_reading_asks_what_was_done() {
    let book = plug().book();
    let test = listed(&Snapshot::of(&book), Stage::Through, &Known::default())
        .tests
        .remove(0);
    let mut ids = IdMaker::new(9);
    let refused = take(&book, &mut ids, &test, &taken(None, 1))
        .unwrap_err()
        .to_string();
    assert!(refused.contains("say what was found and done"), "{refused}");
    let told = Taken {
        note: "seal over the contact; crimped anew".to_owned(),
        ..taken(Some(2.0), 1)
    };
    let now = kept(&book, take(&book, &mut ids, &test, &told).unwrap());
    assert_eq!(standing(&now, &test), Standing::Failed);
    let tally = tally(&now, &[test]);
    assert_eq!((tally.total, tally.done, tally.failed), (1, 0, 1));
}

#[test]
fn one_key_answers_the_rest_of_a_sweep_and_leaves_the_exceptions() {
    let book = plug().book();
    let tests = listed(&Snapshot::of(&book), Stage::Chassis, &Known::default()).tests;
    let mut ids = IdMaker::new(9);
    let told = Taken {
        note: "chafed at the bracket".to_owned(),
        ..taken(Some(3.0), 1)
    };
    let now = kept(&book, take(&book, &mut ids, &tests[1], &told).unwrap());
    let now = kept(&now, all_open(&now, &mut ids, &tests, &taken(None, 2)).unwrap());
    let all: Vec<Standing> = tests.iter().map(|t| standing(&now, t)).collect();
    use Standing::{Failed, Passed};
    assert_eq!(all, [Passed, Failed, Passed, Passed]);
    assert!(all_open(&now, &mut ids, &tests, &taken(None, 3)).is_err());
}

#[test]
fn contacts_are_ranked_by_millivolts_and_not_told_by_ohms() {
    let mut bench = Bench::new();
    for (wire, from, to) in [
        ("W1", "A-A1", "B-A1"),
        ("W2", "A-A2", "B-A2"),
        ("W3", "A-A3", "B-A3"),
    ] {
        bench.wire(wire, from, to, 0.5, 1.0);
    }
    let mut book = bench.book();
    let mut ids = IdMaker::new(9);
    let known = Known {
        current_a: Some(2.0),
        ..Known::default()
    };
    let list = |book: &Book, stage| listed(&Snapshot::of(book), stage, &known).tests;
    let tests = list(&book, Stage::Crimps);
    assert_eq!(tests.len(), 3);
    for (test, volts) in tests.iter().zip([0.080, 0.240]) {
        let told = Taken {
            current_a: Some(2.0),
            note: "to be crimped anew".to_owned(),
            ..taken(Some(volts), 1)
        };
        book = kept(&book, take(&book, &mut ids, test, &told).unwrap());
    }
    let through = list(&book, Stage::Through).pop().unwrap();
    let ohms = take(&book, &mut ids, &through, &taken(Some(0.14), 1));
    book = kept(&book, ohms.unwrap());
    let found: Vec<(String, CrimpVerdict)> = crimps(&book)
        .iter()
        .map(|c| (book.label_of(c.wire), c.verdict))
        .collect();
    assert_eq!(
        found,
        [
            ("W2".to_owned(), CrimpVerdict::OverLimit),
            ("W1".to_owned(), CrimpVerdict::Good),
            ("W3".to_owned(), CrimpVerdict::CannotTell),
        ]
    );
    // 0.24 V at 2 A less 37.1 mΩ of copper at 25 °C.
    let worst = crimps(&book)[0].ohm.unwrap();
    assert!((worst - (0.12 - 0.0371 * 259.5 / 254.5)).abs() < 1e-4, "{worst}");
    let unknown = listed(&Snapshot::of(&book), Stage::Crimps, &Known::default());
    assert!(matches!(&unknown.tests[0].expected, Expected::CannotTell(why) if why.starts_with("missing")));
}

#[test]
fn neither_release_nor_trial_while_a_temporary_link_stands() {
    let bench = plug();
    let book = bench.book();
    let mut ids = IdMaker::new(9);
    let ends = (book.find_end("MC-A1").unwrap(), book.find_end("MC-A2").unwrap());
    let at = stamp(1).at;
    assert!(
        make::add_link(&book, &mut ids, ends, "bridge", " ", at).is_err(),
        "why?"
    );
    let link = make::add_link(&book, &mut ids, ends, "bridge", "to light the lamp", at).unwrap();
    let now = kept(&book, link);
    let trial = Trial::new(ids.make(), at, "Ann");
    for edit in [
        make::release(&now, "x").unwrap(),
        Edit::design("trial", vec![crate::edit::Change::make(trial)]),
    ] {
        let refused = now.prepare(edit, stamp(3)).unwrap_err().to_string();
        assert!(refused.contains("bridge from MC-A1 to MC-A2"), "{refused}");
    }
}
