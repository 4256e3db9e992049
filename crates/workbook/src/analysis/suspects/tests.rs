//! Fault finding on a lamp behind a fuse, against what anyone would say.

use super::*;
use crate::{
    analysis::suppose::Touch,
    model::{About, PartKind, SignalKind, Wire},
    testing::Bench,
};

/// Battery, F1, W1 to a lamp, W2 back to battery negative; beside it a second lamp on W3 behind F2, back over W4.
fn lamps() -> Bench {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    let lamp = || PartKind::Lamp {
        hot_ohm: 12.0,
        cold_ohm: None,
        rated_v: None,
    };
    for (fuse, way, unit, feed, back, name) in [
        ("F1", "PB-A1", "LA", "W1", "W2", "lamp"),
        ("F2", "PB-A2", "LB", "W3", "W4", "other lamp"),
    ] {
        bench.fuse_way(fuse, 3.0, "BP", way);
        bench.wire(feed, way, &format!("{unit}-A1"), 1.0, 1.0);
        bench.wire(back, &format!("{unit}-A2"), "BN", 1.0, 1.0);
        bench.part(name, lamp(), &[&format!("{unit}-A1"), &format!("{unit}-A2")]);
        let ground = bench.cavity(&format!("{unit}-A"), "2");
        bench.edit(ground, |c: &mut crate::model::Cavity| {
            c.kind = Some(SignalKind::Ground)
        });
    }
    bench
}

fn asked(
    bench: &Bench,
    seen: &[&str],
    read: &[&str],
) -> (Snapshot, std::sync::Arc<Signatures>, Found, Inquiry) {
    let see = bench.snapshot();
    let of = see.signatures(&see.states()[0], Some(12.6)).unwrap();
    let inquiry = Inquiry {
        symptoms: seen.iter().map(|text| symptom(&of, text).unwrap()).collect(),
        readings: read
            .iter()
            .map(|text| reading(see.book(), &of, text).unwrap())
            .collect(),
        ..Inquiry::default()
    };
    let found = suspects(&of, &inquiry);
    (see, of, found, inquiry)
}

fn names(see: &Snapshot, of: &Signatures, found: &Found) -> Vec<String> {
    let faults = found
        .suspects
        .iter()
        .map(|s| of.faults[s.fault].failing.typed(see));
    faults.collect()
}

#[test]
fn a_dark_lamp_can_be_its_fuse_its_wires_its_plug_or_a_short_and_nothing_of_the_other() {
    let (see, of, found, inquiry) = asked(&lamps(), &["lamp off", "other lamp on"], &[]);
    let names = names(&see, &of, &found);
    for fault in ["F1:open", "W1:open", "W2:open", "LA-A:open", "W1:chassis"] {
        assert!(names.iter().any(|n| n == fault), "{fault} in {names:?}");
    }
    for fault in ["F2:open", "W3:open", "W4:open", "LB-A:open", "W3:chassis"] {
        assert!(!names.iter().any(|n| n == fault), "{fault} in {names:?}");
    }
    assert!((found.suspects.iter().map(|s| s.share).sum::<f64>() - 1.0).abs() < 1e-9);
    // At the lamp's feed the way there is told from the way back.
    let next = next_places(&of, &inquiry, &found, 1);
    let place = see.book().cavity_name(of.places[next[0].place].at);
    assert!(["LA-A1", "LA-A2", "PB-A1"].contains(&place.as_str()), "{place}");
}

#[test]
fn volts_at_the_lamp_leave_only_its_way_back() {
    let (see, of, found, _) = asked(&lamps(), &["lamp off"], &["LA-A2=12.5"]);
    let names = names(&see, &of, &found);
    assert!(names.contains(&"W2:open".to_owned()), "{names:?}");
    assert!(
        !names.contains(&"F1:open".to_owned()) && !names.contains(&"W1:open".to_owned()),
        "{names:?}"
    );
    let unfit = found
        .unfit
        .iter()
        .find(|u| of.faults[u.fault].failing.typed(&see) == "F1:open")
        .unwrap();
    assert_eq!(unfit.against, [1], "the reading speaks against the fuse");
}

#[test]
fn readings_that_no_single_fault_shows_are_named_and_two_faults_are_suspected() {
    let (see, of, found, _) = asked(
        &lamps(),
        &["lamp off", "other lamp off"],
        &["PB-A1=12.6", "PB-A2=12.6"],
    );
    assert!(found.suspects.is_empty() && !found.as_usual);
    assert!(
        found.contradicting.contains(&vec![0, 1, 2]),
        "{:?}",
        found.contradicting
    );
    let both = found
        .pairs
        .first()
        .unwrap()
        .faults
        .map(|at| of.faults[at].failing);
    let wire = |at: usize| see.book().label_of(see.wiring().wires[at].wire);
    match both {
        [Failing::Wire(one, Touch::Off), Failing::Wire(other, Touch::Off)] => {
            let mut wires = [wire(one), wire(other)];
            wires.sort();
            assert!(["W1", "W2"].contains(&wires[0].as_str()) && ["W3", "W4"].contains(&wires[1].as_str()));
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_is_as_usual_says_so() {
    let (_, _, found, _) = asked(&lamps(), &["lamp on", "other lamp on"], &["PB-A1=12.5"]);
    assert!(found.as_usual);
}

#[test]
fn a_fault_without_anything_to_touch_is_never_ruled_out() {
    let mut bench = Bench::new();
    bench.state("KEY");
    bench.battery();
    bench.wire("W1", "BP", "XA-A1", 1.0, 1.0);
    bench.load("pump", 1.0, &["XA-A1", "BN"]);
    let see = bench.snapshot();
    let early = see.signatures_of(&see.states()[0], Some(12.6), false).unwrap();
    let found = suspects(&early, &Inquiry::default());
    let touching: Vec<bool> = found
        .cannot
        .iter()
        .map(|at| early.faults[*at].failing.is_touch())
        .collect();
    assert_eq!(touching, [true, true], "both touches of W1 wait, and stay listed");
}

#[test]
fn wires_without_size_or_class_are_said_not_to_be_weighed() {
    let mut bench = lamps();
    let said = |bench: &Bench| asked(bench, &["lamp off"], &[]).1.unweighed_words();
    assert_eq!(said(&bench), None);
    let about = *bench.book().all::<About>().keys().next().unwrap();
    bench.edit(about, |a: &mut About| a.insulation_class_c = None);
    for (label, class_c, area_mm2) in [
        ("W1", Some(105.0), None),
        ("W2", Some(105.0), Some(1.0)),
        ("W4", Some(105.0), Some(1.0)),
    ] {
        let wire = bench.named::<Wire>(label);
        bench.edit(wire, |w: &mut Wire| {
            (w.insulation_class_c, w.area_mm2) = (class_c, area_mm2);
        });
    }
    let words = said(&bench).unwrap();
    assert!(words.ends_with("size or class of insulation: W1, W3"), "{words}");
    for n in 5..12 {
        bench.wire(&format!("W{n}"), "PB-A1", &format!("X-A{n}"), 1.0, 1.0);
    }
    let words = said(&bench).unwrap();
    assert!(words.ends_with(": W1, W3, W5, W6, W7, W8 and 3 more"), "{words}");
}

#[test]
fn what_is_typed_wrong_says_what_to_type() {
    let bench = lamps();
    let see = bench.snapshot();
    let of = see.signatures(&see.states()[0], None).unwrap();
    assert!(symptom(&of, "lamp").unwrap_err().hint.contains("on or off"));
    assert_eq!(symptom(&of, "lamp: off"), symptom(&of, "lamp off"));
    let both = |text| seen_or_read(see.book(), &of, text);
    let hint = |text| both(text).unwrap_err().hint;
    assert!(hint("LA-A2 lots").contains("volts the meter shows") && hint("lamp lots").contains("on or off"));
    assert!(matches!(
        (both("lamp off"), both("LA-A2 1")),
        (Ok(Item::Seen(_)), Ok(Item::Read(..)))
    ));
    assert!(symptom(&of, "lamb off").unwrap_err().what.contains("lamb"));
    assert!(
        symptom(&of, "headlamp lamp off")
            .unwrap_err()
            .hint
            .contains("other lamp")
    );
    assert_eq!(symptom(&of, "f1 blown").map(|s| s.on), Ok(true));
    let book = see.book();
    assert!(reading(book, &of, "LA-A1").unwrap_err().hint.contains("="));
    assert!(reading(book, &of, "LA-A9=3").unwrap_err().what.contains("LA-A9"));
    assert!(
        reading(book, &of, "LA-A1=open")
            .unwrap_err()
            .what
            .contains("only ohms")
    );
    assert_eq!(reading(book, &of, "la-a1 = 12,4 V").map(|r| r.1), Ok(12.4));
    let wire: &Wire = book.all::<Wire>().values().next().unwrap();
    assert!(!wire.label.is_empty());
}

/// A unit that drives a relay once it reads its input on: what follows from the lost input is a look of its own.
#[test]
fn a_unit_that_reads_otherwise_drives_otherwise() {
    use crate::model::{Cavity, ContactForm, Driver, Limits, OutputSide, Part, PartPosition};
    let mut bench = Bench::new();
    let state = bench.state("KEY");
    bench.battery();
    bench.wire("W1", "BP", "MC-A1", 1.0, 1.0);
    bench.wire("W2", "BP", "RB-A1", 1.0, 1.0);
    bench.wire("W3", "RB-A2", "MC-A2", 1.0, 1.0);
    bench.wire("W4", "MC-A3", "BN", 1.0, 1.0);
    let (input, ground) = (bench.cavity("MC-A", "1"), bench.cavity("MC-A", "3"));
    bench.edit(ground, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
    bench.edit(input, |c: &mut Cavity| {
        c.limits = Limits {
            on_above_v: Some(6.0),
            off_below_v: Some(3.0),
            ..Limits::default()
        };
    });
    bench.part("pull", PartKind::Resistor { ohm: 10_000.0 }, &["MC-A1", "MC-A3"]);
    let out = bench.part("OUT", Bench::low_side(0.05), &["MC-A2", "MC-A3"]);
    bench.edit(out, |p: &mut Part| {
        if let PartKind::Output { when, side, .. } = &mut p.kind {
            *when = "MC.go".to_owned();
            assert_eq!(*side, OutputSide::LowSide);
        }
    });
    let coil = bench.part("K coil", Bench::coil(85.0, 9.0), &["RB-A1", "RB-A2"]);
    let contact = Bench::contact(ContactForm::NormallyOpen, Driver::Coil { part: coil });
    bench.part("K contact", contact, &["BP", "RB-A3"]);
    bench.load("pump", 1.0, &["RB-A3", "BN"]);
    bench.set(state, out, PartPosition::On);
    bench.expression("MC", "MC.go", "MC-A1");
    let (see, of, found, _) = asked(&bench, &["MC.go off", "K coil off", "pump off"], &[]);
    let names = names(&see, &of, &found);
    assert!(names.contains(&"W1:open".to_owned()), "{names:?}");
    assert!(
        !names.contains(&"W3:open".to_owned()),
        "its own wire off leaves the input on: {names:?}"
    );
}

/// The first state tells the fuse of one lamp, the second says that this lamp works there: no single fault does both.
#[test]
fn what_another_state_shows_rules_out_here() {
    let bench = lamps();
    let (see, of, found, inquiry) = asked(&bench, &["lamp off"], &[]);
    let all = found.likelihoods(&of);
    assert_eq!(all.len(), found.suspects.len() + found.cannot.len());
    let only = |typed: &str| {
        let keeps = all.iter().filter(|(failing, _)| failing.typed(&see) == typed);
        Inquiry {
            elsewhere: in_all([all.clone(), keeps.map(|(f, much)| (*f, *much)).collect()]),
            ..inquiry.clone()
        }
    };
    let found = suspects(&of, &only("F1:open"));
    assert_eq!(names(&see, &of, &found), ["F1:open"]);
    let found = suspects(&of, &only("nothing"));
    assert!(found.suspects.is_empty() && found.states_apart && found.pairs.is_empty());
}

/// Each lamp that is dark is a symptom of its own, told with its own fuse and wires and where to measure.
#[test]
fn the_likeliest_symptoms_have_their_first_measurements() {
    let all = first_measures(&lamps().snapshot());
    let dark: Vec<&First> = all.iter().filter(|first| first.symptom == "lamp: off").collect();
    let [dark] = dark[..] else { panic!("{all:?}") };
    assert_eq!(dark.state, "KEY");
    assert!(dark.suspects.iter().any(|s| s == "F1 is blown"), "{dark:?}");
    assert!(
        dark.suspects
            .iter()
            .all(|s| !s.contains("F2") && !s.contains("touches"))
    );
    assert!((1..=MOST_MEASURES).contains(&dark.measures.len()));
    assert!(
        dark.measures
            .iter()
            .all(|m| m.leads.contains("other lead on") && m.shows.len() > 1)
    );
}
