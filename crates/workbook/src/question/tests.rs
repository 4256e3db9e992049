//! Questions in their order, and answers through the door.

use super::{Field, Measure, Question, Sitting, fields, questions};
use crate::{Book, check::run_without_mends, edit::Stamp, model::*, question::Ask, testing::Bench};

/// A record for every field of the table, with nothing told.
fn record_for(bench: &mut Bench, field: &Field) -> Key {
    let part = |bench: &mut Bench, kind: PartKind, ends: &[&str]| Key::of(bench.part("P", kind, ends));
    match (field.kind, field.path.get(1).copied()) {
        (Kind::About, _) => {
            let about = bench.book().all::<About>().values().next().unwrap().id;
            bench.edit(about, |a: &mut About| a.insulation_class_c = None);
            Key::of(about)
        }
        (Kind::Zone, _) => {
            let zone = bench.zone("cabin", 20.0);
            bench.edit(zone, |z: &mut Zone| z.ambient_c = None);
            Key::of(zone)
        }
        (Kind::Bundle, _) => Key::of(bench.bundle("tunnel", None)),
        (Kind::Unit, _) => Key::of(bench.unit("MC")),
        (Kind::Fuse, _) => Key::of(bench.fuse("F1", 10.0)),
        (Kind::Junction, _) => {
            bench.end("SP1");
            Key::of(bench.named::<Junction>("SP1"))
        }
        (Kind::Wire, _) => {
            let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
            bench.edit(wire, |w: &mut Wire| {
                w.area_mm2 = None;
                w.length_m = None;
            });
            Key::of(wire)
        }
        (Kind::Connector, _) => Key::of(bench.connector("MC-A")),
        (Kind::Cavity, _) => {
            let cavity = bench.cavity("MC-A", "1");
            if field.path.last() == Some(&"ohm") {
                bench.edit(cavity, |c: &mut Cavity| {
                    c.limits.pull = Some(Pull {
                        to: PullTo::Ground,
                        ohm: None,
                    });
                });
            }
            Key::of(cavity)
        }
        (Kind::ContactFamily, _) => {
            let family = bench.contact_family("S", 0.1, 9.0);
            bench.edit(family, |f: &mut ContactFamily| {
                f.least_mm2 = None;
                f.most_mm2 = None;
            });
            Key::of(family)
        }
        (Kind::Part, Some("source")) => Key::of(bench.battery()),
        (Kind::Part, Some("load")) => Key::of({
            let load = bench.load("pump", 5.0, &["VP-A1", "VP-A2"]);
            bench.edit(load, |p: &mut Part| {
                if let PartKind::Load { least_v, .. } = &mut p.kind {
                    *least_v = None;
                }
            });
            load
        }),
        (Kind::Part, Some("lamp")) => {
            let lamp = PartKind::Lamp {
                hot_ohm: 10.0,
                cold_ohm: None,
                rated_v: None,
            };
            part(bench, lamp, &["L-A1", "L-A2"])
        }
        (Kind::Part, Some("coil")) => {
            let coil = PartKind::Coil {
                ohm: 80.0,
                pull_in_v: None,
                drop_out_v: None,
                hold_a: None,
                pull_in_s: None,
                suppression: None,
                polarised: false,
            };
            part(bench, coil, &["K-A1", "K-A2"])
        }
        (Kind::Part, Some("contact")) => {
            let contact = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
            part(bench, contact, &["K-A3", "K-A4"])
        }
        (Kind::Part, Some("output")) => part(bench, Bench::low_side(0.1), &["MC-A1", "MC-A2"]),
        (Kind::Part, Some("reference")) => {
            let reference = PartKind::Reference {
                volts_v: 5.0,
                ohm: 1.0,
                limit_a: None,
            };
            part(bench, reference, &["MC-A3", "MC-A4"])
        }
        other => panic!("no record for {other:?}"),
    }
}

fn ask_for(key: Key, field: &'static Field) -> Ask {
    Ask { of: vec![key], field }
}

fn answered(book: &mut Book, ask: &Ask, typed: &str) -> Result<(), String> {
    let edit = ask.answer(book, typed)?;
    let stamp = Stamp {
        id: Id::from_bits(77),
        at: chrono::DateTime::UNIX_EPOCH,
        who: "A.".to_owned(),
    };
    let entry = book.prepare(edit, stamp).map_err(|e| e.to_string())?;
    book.apply(&entry).map_err(|e| e.to_string())
}

#[test]
fn every_field_is_answered_with_its_example_through_the_door() {
    for field in fields::ALL {
        let mut bench = Bench::new();
        let key = record_for(&mut bench, field);
        match field.measure {
            Measure::Record(Kind::Zone) => drop(bench.zone(field.example, 30.0)),
            Measure::Record(Kind::Bundle) => drop(bench.bundle(field.example, None)),
            Measure::Record(Kind::ContactFamily) => drop(bench.contact_family(field.example, 0.1, 9.0)),
            _ => {}
        }
        let mut book = bench.book();
        let ask = ask_for(key, field);
        assert!(
            ask.is_open(&book),
            "{} is asked for while it is open",
            field.name()
        );
        let done = answered(&mut book, &ask, field.example);
        assert_eq!(done, Ok(()), "{} of {:?}", field.name(), field.kind);
        assert!(!ask.is_open(&book), "{} is told then", field.name());
    }
}

#[test]
fn names_of_fields_are_unique_within_their_kind() {
    let mut seen = std::collections::BTreeSet::new();
    for field in fields::ALL {
        assert!(seen.insert((field.kind, field.name())), "{}", field.name());
    }
}

#[test]
fn figures_are_kept_in_their_base_unit_and_sizes_as_they_were_written() {
    let mut bench = Bench::new();
    let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
    let family = bench.contact_family("S", 0.1, 9.0);
    bench.edit(wire, |w: &mut Wire| {
        w.area_mm2 = None;
        w.length_m = None;
    });
    let mut book = bench.book();
    answered(&mut book, &Ask::of(wire, &fields::WIRE_SIZE), "AWG 16").unwrap();
    answered(&mut book, &Ask::of(wire, &fields::WIRE_LENGTH), "8 ft").unwrap();
    answered(&mut book, &Ask::of(family, &fields::SEAL_LEAST_MM), "1.2").unwrap();
    answered(&mut book, &Ask::of(family, &fields::SEAL_MOST_MM), "0.19 cm").unwrap();
    let wire = book.get(wire).unwrap();
    assert_eq!(wire.size_table, Some(SizeTable::Awg));
    assert!(wire.size_written.contains("16"), "{}", wire.size_written);
    assert_eq!(wire.length_m, Some(2.4384));
    let family = book.get(family).unwrap();
    assert_eq!(
        (family.seal_least_mm, family.seal_most_mm),
        (Some(1.2), Some(1.9))
    );
}

#[test]
fn a_bad_answer_is_one_sentence_that_says_how_it_is_written() {
    let mut bench = Bench::new();
    let coil = record_for(&mut bench, &fields::COIL_PULL_IN_V);
    let cavity = bench.cavity("MC-A", "9");
    bench.zone("cabin", 30.0);
    let unit = bench.unit("MC");
    let mut book = bench.book();
    let mut says = |ask: Ask, typed: &str| answered(&mut book, &ask, typed).unwrap_err();
    let coil = |field| ask_for(coil, field);
    assert_eq!(
        says(coil(&fields::COIL_PULL_IN_V), "9 A"),
        "`A` is no unit of a voltage. Use V or mV."
    );
    assert_eq!(
        says(coil(&fields::COIL_PULL_IN_V), ""),
        "nothing is typed; write it as in 9 V, or skip it"
    );
    assert_eq!(
        says(coil(&fields::COIL_SUPPRESSION), "di"),
        "di can be diode or diode and zener; type a little more of it"
    );
    assert_eq!(
        says(coil(&fields::COIL_SUPPRESSION), "varistor"),
        "varistor is none of none, diode, diode and zener, resistor"
    );
    assert_eq!(
        says(Ask::of(unit, &fields::UNIT_ZONE), "bay"),
        "no zone is called bay; there is cabin"
    );
    assert_eq!(
        says(Ask::of(cavity, &fields::CAVITY_CONTACT), "S"),
        "no contact family is entered yet; enter one on Parts, then come back"
    );
    // A coil's figure is no lamp's, and an answer is not given twice.
    assert!(says(coil(&fields::LAMP_COLD_OHM), "1 Ω").contains("another kind"));
    let ask = coil(&fields::COIL_PULL_IN_V);
    answered(&mut book, &ask, "9 V").unwrap();
    assert!(
        answered(&mut book, &ask, "8 V")
            .unwrap_err()
            .contains("answered already")
    );
    // What cannot be is refused by the door, in a sentence of its own.
    let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
    bench.edit(wire, |w: &mut Wire| w.length_m = None);
    let ask = Ask::of(wire, &fields::WIRE_LENGTH);
    assert!(answered(&mut bench.book(), &ask, "900 m").is_err());
}

#[test]
fn one_answer_goes_to_all_that_share_it() {
    let mut bench = Bench::new();
    let family = bench.contact_family("S", 0.1, 9.0);
    for (at, wire) in ["W1", "W2", "W3"].into_iter().enumerate() {
        bench.wire(wire, &format!("MC-A{}", at + 1), "SP1", 0.5, 1.0);
    }
    let mut book = bench.book();
    let report = run_without_mends(&bench.snapshot());
    let asked = questions(&book, &report);
    let contact: Vec<&Question> = asked
        .iter()
        .filter(|q| q.ask.as_ref().is_some_and(|a| a.field == &fields::CAVITY_CONTACT))
        .collect();
    let [question] = contact[..] else {
        panic!("{asked:?}")
    };
    assert_eq!(question.words, "contact family of MC-A1 and 2 more");
    answered(&mut book, question.ask.as_ref().unwrap(), "s").unwrap();
    let cavities = book.all::<Cavity>().values();
    assert!(cavities.clone().count() == 3 && cavities.clone().all(|c| c.contact == Some(family)));
}

/// Two units with manuals, a bare unit, a contact and a wire without its length.
fn sitting() -> Bench {
    let mut bench = Bench::new();
    let coil = |bench: &mut Bench, label: &str, ends: &[&str]| {
        let kind = PartKind::Coil {
            ohm: 80.0,
            pull_in_v: None,
            drop_out_v: None,
            hold_a: None,
            pull_in_s: None,
            suppression: Some(Suppression::Diode),
            polarised: false,
        };
        bench.part(label, kind, ends)
    };
    coil(&mut bench, "K9 coil", &["RB-A1", "RB-A2"]);
    coil(&mut bench, "K1 coil", &["RB-A3", "RB-A4"]);
    coil(&mut bench, "K5 coil", &["AA-A1", "AA-A2"]);
    coil(&mut bench, "K7 coil", &["ZZ-A1", "ZZ-A2"]);
    for (unit, title) in [("RB", "Relay box"), ("ZZ", "Big manual")] {
        let unit = bench.unit(unit);
        bench.edit(unit, |u: &mut Unit| {
            u.manual = Some(Manual {
                title: title.to_owned(),
                revision: "2".to_owned(),
            });
        });
    }
    for (number, page) in [("1", "7"), ("3", "12")] {
        let cavity = bench.cavity("RB-A", number);
        bench.edit(cavity, |c: &mut Cavity| c.page = page.to_owned());
    }
    bench
}

#[test]
fn a_sitting_leafs_through_each_manual_once_and_ends_at_the_vehicle() {
    let mut bench = sitting();
    let mut report = crate::check::Report::default();
    let book = bench.book();
    let parts: Vec<&Part> = book.all::<Part>().values().collect();
    let zone = bench.zone("cabin", 30.0);
    let family = bench.contact_family("S", 0.1, 9.0);
    bench.edit(zone, |z: &mut Zone| z.ambient_c = None);
    bench.edit(family, |f: &mut ContactFamily| f.least_mm2 = None);
    let mut out = crate::check::Out::default();
    out.cannot("a", zone, "its ambient", [Ask::of(zone, &fields::ZONE_AMBIENT)]);
    out.cannot(
        "a",
        family,
        "its range",
        [Ask::of(family, &fields::CONTACT_LEAST_MM2)],
    );
    for part in &parts {
        let ask = Ask::of(part.id, &fields::COIL_PULL_IN_V);
        out.cannot(
            "a",
            part.unit,
            format!("the volts of {}", part.label),
            [ask.clone()],
        );
        out.cannot("b", part.id, "the volts", [ask]);
    }
    report.cannot_check = out.cannot_check();
    let book = bench.book();
    let asked = questions(&book, &report);
    let told: Vec<String> = asked
        .iter()
        .map(|q| format!("{} | {} | {}", q.sitting.words(&book), q.page, q.words))
        .collect();
    assert_eq!(
        told,
        [
            "ZZ ZZ: Big manual, 2 |  | pull-in volts at 20 °C of K7 coil",
            "RB RB: Relay box, 2 | 7 | pull-in volts at 20 °C of K9 coil",
            "RB RB: Relay box, 2 | 12 | pull-in volts at 20 °C of K1 coil",
            "AA AA: its manual, which is not named yet |  | pull-in volts at 20 °C of K5 coil",
            "Data sheets of contacts and fuses |  | thinnest wire of S",
            "At the vehicle: measured, or decided |  | hottest ambient of cabin",
        ]
    );
    // Asked for twice, told once, with both checks that want it.
    assert_eq!(asked[0].checks, ["a", "b"]);
    assert!(matches!(asked[0].sitting, Sitting::Manual { .. }));
}

#[test]
fn what_no_field_tells_is_asked_at_its_place_and_what_is_told_is_not_asked() {
    let mut bench = Bench::new();
    let cavity = bench.cavity("MC-A", "1");
    bench.edit(cavity, |c: &mut Cavity| c.limits.rest_v = Some(1.0));
    let mut out = crate::check::Out::default();
    let asks = [&fields::CAVITY_REST_V, &fields::CAVITY_FULL_V].map(|f| Ask::of(cavity, f));
    out.cannot("a", cavity, "rest and full", asks);
    out.cannot("b", cavity, "what it is for", []);
    let report = crate::check::Report {
        cannot_check: out.cannot_check(),
        unproven: 0,
        ..Default::default()
    };
    let words: Vec<String> = questions(&bench.book(), &report)
        .into_iter()
        .map(|q| q.words)
        .collect();
    assert_eq!(
        words,
        ["volts at full of MC-A1", "what it is for, at cavity MC-A1"]
    );
}
