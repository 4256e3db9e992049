use super::*;
use crate::{
    Book,
    edit::testing::{apply, changed},
    log::Entry,
    model::*,
    testing::Bench,
};

fn say(outcome: Outcome) -> Answer {
    Answer {
        outcome,
        note: String::new(),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).unwrap(),
        who: "A.".to_owned(),
    }
}

fn tick(book: &mut Book, ids: &mut IdMaker, steps: &[StepOf], n: u128) -> Entry {
    let edit = answer(book, ids, steps, &say(Outcome::Done)).unwrap();
    apply(book, edit, n)
}

/// MC-A sealed with two grounds, a pair and a signal; SP7 a splice; G2 a stud.
pub(super) fn bench() -> Bench {
    let mut bench = Bench::new();
    let connector = bench.connector("MC-A");
    bench.edit(connector, |c| c.sealed = Some(true));
    for number in ["1", "2", "3", "4", "5", "6"] {
        bench.cavity("MC-A", number);
    }
    bench.edit(connector, |c| c.face = "rows 3 3".to_owned());
    bench.wire("W1", "MC-A1", "SP7", 0.5, 2.0);
    let high = bench.wire("W2", "MC-A2", "BM-A1", 0.5, 1.0);
    bench.wire("W3", "G2", "MC-A3", 1.5, 1.0);
    let low = bench.wire("W4", "MC-A4", "BM-A2", 0.5, 1.0);
    for wire in [high, low] {
        bench.edit(wire, |w: &mut Wire| w.pair = "C1".to_owned());
    }
    let ground = bench.cavity("MC-A", "3");
    bench.edit(ground, |c| c.kind = Some(SignalKind::Ground));
    bench
}

fn wire(book: &Book, label: &str) -> Id<Wire> {
    book.index().labelled(label).unwrap()
}

fn words(book: &Book, steps: &[StepOf]) -> Vec<String> {
    let one = |s: &StepOf| format!("{} {}", book.built_name(s.of), s.step.words());
    steps.iter().map(one).collect()
}

#[test]
fn steps_follow_from_the_ends() {
    let book = bench().book();
    assert_eq!(
        words(&book, &of_wire(&book, wire(&book, "W1"))),
        [
            "W1 cut",
            "W1 label both ends",
            "W1 at MC-A1 seal on",
            "W1 at MC-A1 strip",
            "W1 at MC-A1 crimp",
            "W1 at MC-A1 insert",
            "W1 at SP7 strip",
            "W1 continuity",
            "W1 not shorted",
        ]
    );
    let of_stud: Vec<Step> = of_wire(&book, wire(&book, "W3")).iter().map(|s| s.step).collect();
    assert!(of_stud.starts_with(&[
        Step::Cut,
        Step::Label,
        Step::Strip,
        Step::Crimp,
        Step::Bolt,
        Step::Seal
    ]));
    let connector = book.index().labelled("MC-A").unwrap();
    let own: Vec<Step> = of_connector(&book, connector).iter().map(|s| s.step).collect();
    assert_eq!(own, [Step::Plugs, Step::SecondaryLock, Step::Finish]);
    let splice = book.index().labelled("SP7").unwrap();
    assert_eq!(
        words(&book, &of_junction(&book, splice)),
        ["SP7 join", "SP7 seal the splice", "SP7 place"]
    );
    let stud = book.index().labelled("G2").unwrap();
    let own: Vec<Step> = of_junction(&book, stud).iter().map(|s| s.step).collect();
    assert_eq!(
        own,
        [Step::Clean, Step::Lugs, Step::Torque, Step::Protect, Step::Finish]
    );
}

/// The wires at MC-A as the hands take them.
fn in_hands(book: &Book) -> Vec<String> {
    let connector = book.index().labelled("MC-A").unwrap();
    let ends = ends_in_order(book, connector).into_iter();
    ends.map(|(wire, _)| book.label_of(wire)).collect()
}

#[test]
fn at_a_connector_grounds_come_first_and_pairs_together() {
    assert_eq!(in_hands(&bench().book()), ["W3", "W1", "W2", "W4"]);
}

#[test]
fn a_pair_whose_second_wire_lies_far_off_stays_together() {
    let mut bench = bench();
    bench.wire("W5", "MC-A6", "SP8", 0.5, 1.0);
    let last = bench.wire("W6", "MC-A5", "SP9", 0.5, 1.0);
    bench.edit(last, |w: &mut Wire| w.pair = "c1".to_owned());
    assert_eq!(in_hands(&bench.book()), ["W3", "W1", "W2", "W4", "W6", "W5"]);
}

#[test]
fn the_cut_list_goes_drum_by_drum() {
    let mut bench = bench();
    let red = bench.wire("W5", "MC-A6", "SP8", 0.5, 1.25);
    bench.edit(red, |w: &mut Wire| w.colour = "RD".parse().ok());
    let book = bench.book();
    let twisted = cut_m(&book, book.get(wire(&book, "W2")).unwrap()).unwrap();
    let list: Vec<(Option<f64>, String, usize, f64)> = cut_list(&book)
        .into_iter()
        .map(|g| {
            (
                g.area_mm2,
                g.colour.map_or_else(String::new, |c| c.to_string()),
                g.wires.len(),
                g.total_m,
            )
        })
        .collect();
    assert_eq!(
        list,
        [
            (Some(0.5), String::new(), 3, 2.0 + 2.0 * twisted),
            (Some(0.5), "RD".to_owned(), 1, 1.25),
            (Some(1.5), String::new(), 1, 1.0)
        ]
    );
}

#[test]
fn ticks_are_counted_and_what_was_answered_for_is_not_again() {
    let mut book = bench().book();
    let mut ids = IdMaker::new(3);
    let w1 = wire(&book, "W1");
    let steps = of_wire(&book, w1);
    let entry = tick(&mut book, &mut ids, &steps[..1], 1);
    assert_eq!(entry.title, "W1: cut done");
    tick(&mut book, &mut ids, &steps[7..8], 2);
    tick(&mut book, &mut ids, &steps[8..], 3);
    let failed = answer(&book, &mut ids, &steps[1..2], &say(Outcome::Failed)).unwrap();
    assert_eq!(failed.title, "W1: label both ends failed");
    apply(&mut book, failed, 4);
    let sum = Progress::of_wire(&book, w1);
    assert_eq!((sum.total, sum.done, sum.failed, sum.redo), (9, 3, 1, 0));
    assert!(
        answer(&book, &mut ids, &steps[..1], &say(Outcome::Done)).is_err(),
        "it is ticked already"
    );
    let back = take_back(&book, steps[0]).unwrap();
    apply(&mut book, back, 5);
    assert_eq!(task(&book, steps[0]).standing, Standing::Open);
    assert!(take_back(&book, steps[0]).is_err());
    let none = StepOf {
        of: Built::Wire(w1),
        step: Step::Bolt,
    };
    let refused = answer(&book, &mut ids, &[none], &say(Outcome::Done))
        .unwrap_err()
        .to_string();
    assert_eq!(refused, "wire W1: has no step \"lug on\" in the plan; look again");
}

/// What a change of the plan sends back, as `place step: reason`.
fn lapsed(book: &Book, change: crate::edit::Change) -> Vec<String> {
    let entry = crate::edit::testing::design(book, vec![change]).unwrap_or_else(|r| panic!("{r}"));
    let mut told: Vec<String> = entry
        .changes
        .into_iter()
        .filter_map(|c| match c.after {
            Some(Record::StepDone(s)) => Some(format!(
                "{} {}: {}",
                book.built_name(s.of),
                s.step.words(),
                s.redo.unwrap_or_default()
            )),
            _ => None,
        })
        .collect();
    told.sort();
    told
}

fn all_built(with_rests: bool) -> Book {
    let mut bench = bench();
    bench.contact_family("S", 0.35, 0.5);
    let mut book = bench.book();
    let steps = all_steps(&book);
    tick(&mut book, &mut IdMaker::new(4), &steps, 1);
    assert!(Progress::of_all(&book).is_complete());
    if !with_rests {
        book.change(|tables| {
            let ids: Vec<_> = tables.steps_done.keys().copied().collect();
            for id in ids {
                if let Some(step) = tables.steps_done.get_mut(&id) {
                    step.rested_on.clear();
                }
            }
        });
    }
    book
}

#[test]
fn a_changed_size_sends_the_whole_wire_back() {
    for with_rests in [true, false] {
        let book = all_built(with_rests);
        let told = lapsed(
            &book,
            changed(&book, wire(&book, "W1"), |w| w.area_mm2 = Some(0.75)),
        );
        assert_eq!(
            told,
            [
                "MC-A boot, label, photo: MC-A: wires changed",
                "MC-A secondary lock: MC-A: wires changed",
                "SP7 join: SP7: wires changed",
                "SP7 place: SP7: wires changed",
                "SP7 seal the splice: SP7: wires changed",
                "W1 at MC-A1 crimp: W1: size changed from 0.5 to 0.75 mm²",
                "W1 at MC-A1 insert: W1: size changed from 0.5 to 0.75 mm²",
                "W1 at MC-A1 seal on: W1: size changed from 0.5 to 0.75 mm²",
                "W1 at MC-A1 strip: W1: size changed from 0.5 to 0.75 mm²",
                "W1 at SP7 strip: W1: size changed from 0.5 to 0.75 mm²",
                "W1 continuity: W1: size changed from 0.5 to 0.75 mm²",
                "W1 cut: W1: size changed from 0.5 to 0.75 mm²",
                "W1 label both ends: W1: size changed from 0.5 to 0.75 mm²",
                "W1 not shorted: W1: size changed from 0.5 to 0.75 mm²",
            ]
        );
    }
}

#[test]
fn a_moved_end_sends_back_that_end_and_the_tests_but_not_the_other_crimp() {
    let mut book = all_built(true);
    let five = book.find_cavity("MC-A5").unwrap();
    let told = lapsed(
        &book,
        changed(&book, wire(&book, "W2"), |w| w.from = End::Cavity(five)),
    );
    let moved = "W2: moved from MC-A2 to MC-A5";
    assert_eq!(
        told,
        [
            "MC-A boot, label, photo: MC-A: wires changed",
            "MC-A sealing plugs: MC-A: empty cavities changed",
            "MC-A secondary lock: MC-A: wires changed",
            &format!("W2 at MC-A2 crimp: {moved}"),
            &format!("W2 at MC-A2 insert: {moved}"),
            &format!("W2 at MC-A2 seal on: {moved}"),
            &format!("W2 at MC-A2 strip: {moved}"),
            &format!("W2 continuity: {moved}"),
            &format!("W2 label both ends: {moved}"),
            &format!("W2 not shorted: {moved}"),
        ]
    );
    // A record's other fields, a rename of the wire's signal, concern nothing that was built.
    let note = changed(&book, wire(&book, "W2"), |w| w.signal = "CAN H".to_owned());
    assert_eq!(lapsed(&book, note), Vec::<String>::new());
    let length = lapsed(
        &book,
        changed(&book, wire(&book, "W2"), |w| w.length_m = Some(1.2)),
    );
    assert!(
        length.contains(&"W2 cut: W2: length changed from 1 to 1.2 m".to_owned()),
        "{length:?}"
    );
    let label = lapsed(
        &book,
        changed(&book, wire(&book, "W2"), |w| w.label = "W20".to_owned()),
    );
    assert_eq!(label, ["W2 label both ends: W2: label changed from W2 to W20"]);
    let family = book.index().labelled::<ContactFamily>("S").unwrap();
    let set = changed(&book, book.find_cavity("MC-A2").unwrap(), |c| {
        c.contact = Some(family)
    });
    assert_eq!(
        lapsed(&book, set.clone()),
        Vec::<String>::new(),
        "no family was stated before"
    );
    apply(&mut book, crate::edit::Edit::design("a", vec![set]), 7);
}

#[test]
fn face_and_contact_send_back_what_rests_on_them() {
    let mut bench = bench();
    let (s, m) = (
        bench.contact_family("S", 0.35, 0.5),
        bench.contact_family("M", 0.5, 1.5),
    );
    let cavity = bench.cavity("MC-A", "1");
    bench.edit(cavity, |c| c.contact = Some(s));
    let mut book = bench.book();
    let steps = all_steps(&book);
    tick(&mut book, &mut IdMaker::new(4), &steps, 1);
    let told = lapsed(&book, changed(&book, cavity, |c| c.contact = Some(m)));
    assert_eq!(
        told,
        ["crimp", "insert", "seal on", "strip"]
            .map(|step| format!("W1 at MC-A1 {step}: MC-A1: contact changed from S to M"))
    );
    let connector: Id<Connector> = book.index().labelled("MC-A").unwrap();
    let face = lapsed(
        &book,
        changed(&book, connector, |c| {
            c.face = "rows 3 3, from lower left".to_owned()
        }),
    );
    assert_eq!(face.len(), 4, "{face:?}");
    assert!(
        face.iter().all(|t| t.contains(" insert: MC-A: face changed")),
        "{face:?}"
    );
    let respelt = lapsed(
        &book,
        changed(&book, connector, |c| c.face = "rows 3 3 from top left".to_owned()),
    );
    assert_eq!(respelt, Vec::<String>::new(), "the same face in other words");
}

#[test]
fn a_change_of_the_page_reaches_the_wires_that_take_it_from_there() {
    let mut bench = bench();
    let own = bench.wire("W2", "MC-A2", "BM-A1", 0.5, 1.0);
    bench.edit(own, |w: &mut Wire| w.size_table = Some(SizeTable::Iso6722));
    let mut book = bench.book();
    let steps = all_steps(&book);
    tick(&mut book, &mut IdMaker::new(4), &steps, 1);
    let page = book.all::<About>().values().next().unwrap().id;
    let told = lapsed(&book, changed(&book, page, |a| a.size_table = SizeTable::Awg));
    assert!(
        told.contains(&"W1 cut: W1: size table changed from ISO 6722 to AWG".to_owned()),
        "{told:?}"
    );
    assert!(!told.iter().any(|t| t.starts_with("W2 ")), "{told:?}");
    assert_eq!(
        lapsed(&book, changed(&book, page, |a| a.purpose = "x".to_owned())),
        Vec::<String>::new()
    );
}
