use super::super::testing::{changed, design, stamp};
use crate::{
    Book,
    edit::{Change, Edit},
    model::*,
    testing::Bench,
};

/// What the door says to these changes.
fn said(book: &Book, changes: Vec<Change>) -> String {
    design(book, changes).map_or_else(|r| r.to_string(), |_| "accepted".to_owned())
}

/// What the door says to a change of one record.
fn told<R: Row>(book: &Book, id: Id<R>, change: impl FnOnce(&mut R)) -> String {
    said(book, vec![changed(book, id, change)])
}

#[test]
fn wires_that_cannot_be() {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    let splice = bench.end("SP7");
    bench.wire("W45", "SP6", "MC-A17", 0.5, 2.8);
    let fuse = bench.fuse("F2", 5.0);
    let book = bench.book();
    let told = |change: &dyn Fn(&mut Wire)| told(&book, wire, change);
    type Case<'a> = (&'a dyn Fn(&mut Wire), &'a str);
    let figures: [Case; 13] = [
        (&|w| w.area_mm2 = Some(0.5), "accepted"),
        (
            &|w| w.area_mm2 = Some(0.0),
            "wire W44: its size must be more than 0 and at most 1000 mm², not 0; correct it",
        ),
        (
            &|w| w.area_mm2 = Some(f64::NAN),
            "wire W44: its area mm2 is not a number; correct it",
        ),
        (
            &|w| w.length_m = Some(201.0),
            "its length must be more than 0 and at most 200 m, not 201",
        ),
        (
            &|w| w.nominal_v = Some(96.0),
            "carries 96 V: only control wiring up to 60 V DC",
        ),
        (
            &|w| w.insulation_class_c = Some(-1.0),
            "insulation class must be from 40 to 400 °C",
        ),
        (
            &|w| w.label = "w45".to_owned(),
            "wire w45: the label is taken; choose another",
        ),
        (&|w| w.label = " W9".to_owned(), "starts or ends with a space"),
        (&|w| w.label = String::new(), "a wire: has no label; give it one"),
        (&|w| w.label = "x".repeat(41), "longer than 40 characters"),
        (
            &|w| w.label = "W\u{1b}[2J".to_owned(),
            "wire W?[2J: its label holds the control character U+001B; take it out",
        ),
        (
            &|w| w.note = "x".repeat(10_001),
            "its note is longer than 10000 bytes",
        ),
        (&|w| w.note = "one\ntwo".to_owned(), "accepted"),
    ];
    for (change, sentence) in figures {
        let said = told(change);
        assert!(said.contains(sentence), "{said}");
    }
    assert!(told(&|w| w.to = splice).contains("leads from SP7 to SP7; give it two ends"));
    let inline = InlineFuse {
        fuse,
        from_end_m: 3.0,
    };
    assert!(told(&|w| w.inline_fuse = Some(inline)).contains("fuse's distance must be from 0 to 2.8 m"));
    assert!(
        told(&|w| w.bundle = Some(Id::from_bits(5))).contains("names a bundle that is not in the workbook")
    );
}

#[test]
fn the_loser_of_a_label_is_told_whichever_way_the_ids_lie() {
    let mut bench = Bench::new();
    let first = bench.wire("W1", "SP1", "SP2", 0.5, 1.0);
    let second = bench.wire("W2", "SP1", "SP2", 0.5, 1.0);
    let book = bench.book();
    assert!(told(&book, first, |w| w.label = "W2".to_owned()).contains("taken"));
    assert!(told(&book, second, |w| w.label = "w1".to_owned()).contains("taken"));
    let swap = vec![
        changed(&book, first, |w| w.label = "W2".to_owned()),
        changed(&book, second, |w| w.label = "W1".to_owned()),
    ];
    assert_eq!(said(&book, swap), "accepted");
}

#[test]
fn a_cavity_with_a_wire_is_not_left_empty() {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    let (with, free) = (bench.cavity("MC-A", "16"), bench.cavity("MC-A", "17"));
    let other = bench.cavity("MC-B", "1");
    let book = bench.book();
    for decision in [
        Decision::Blank,
        Decision::Reserved,
        Decision::NotOurs,
        Decision::Bridged { to: free },
    ] {
        let said = told(&book, with, |c| c.decision = decision);
        assert!(
            said.contains("but wire W44 ends there; move the wire first"),
            "{said}"
        );
    }
    let moved = vec![
        changed(&book, with, |c| c.decision = Decision::Blank),
        changed(&book, wire, |w| w.to = End::Free),
    ];
    assert_eq!(said(&book, moved), "accepted");
    let blank = vec![
        changed(&book, free, |c| c.decision = Decision::Blank),
        changed(&book, wire, |w| w.to = End::Cavity(free)),
    ];
    assert!(said(&book, blank).contains("cavity MC-A17: is blank, but wire W44 ends there"));
    let bridge = |to| told(&book, free, |c| c.decision = Decision::Bridged { to });
    assert_eq!(bridge(with), "accepted");
    assert!(bridge(free).contains("is bridged to itself"));
    assert!(bridge(other).contains("is bridged to MC-B1, which is in another connector"));
}

#[test]
fn a_bridge_has_two_ends_and_no_circle() {
    let mut bench = Bench::new();
    let [a, b, c] = ["1", "2", "3"].map(|n| bench.cavity("CH-A", n));
    let book = bench.book();
    let bridged = |from, to| {
        changed(&book, from, |c: &mut Cavity| {
            c.decision = Decision::Bridged { to }
        })
    };
    assert_eq!(said(&book, vec![bridged(a, b), bridged(b, a)]), "accepted");
    assert_eq!(said(&book, vec![bridged(a, b), bridged(b, c)]), "accepted");
    let circle = said(&book, vec![bridged(a, b), bridged(b, c), bridged(c, a)]);
    assert!(circle.contains("leads round in a circle"), "{circle}");
}

#[test]
fn a_face_and_its_cavities_go_together() {
    let mut bench = Bench::new();
    let [one, two] = ["1", "2"].map(|n| bench.cavity("MC-A", n));
    let (a, b) = (bench.connector("MC-A"), bench.connector("MC-B"));
    bench.edit(a, |c| c.face = "rows 2".to_owned());
    let book = bench.book();
    let face = |line: &str| told(&book, a, |c| c.face = line.to_owned());
    assert_eq!(face("ring 2"), "accepted");
    assert_eq!(face(""), "accepted");
    assert!(face("rows three").contains("connector MC-A: face, at character 6: found `three`"));
    assert!(face("rows 3").contains("its face shows a cavity 3 that is not in the workbook"));
    assert!(face("rows 1").contains("its face has no cavity 2; change the face line"));
    let number = |n: &str| told(&book, two, |c| c.number = n.to_owned());
    assert!(number("1").contains("would have two cavities with the number 1"));
    assert!(number("9").contains("its face has no cavity 9"));
    assert!(number("").contains("has no number"));
    assert!(number("1 2").contains("must be at most 12 letters"));
    let gone = said(&book, vec![Change::remove(book.get(one).unwrap().clone())]);
    assert!(
        gone.contains("its face shows a cavity 1 that is not in the workbook"),
        "{gone}"
    );
    let couple = |id, to| told(&book, id, |c: &mut Connector| c.couples_to = Some(to));
    assert_eq!(couple(a, b), "accepted");
    assert!(couple(a, a).contains("couples to itself"));
}

#[test]
fn inside_parts_that_cannot_be() {
    let mut bench = Bench::new();
    let switch = bench.switch("key", &["off", "run"]);
    let coil = bench.part("K1 coil", Bench::coil(85.0, 8.0), &["PB-A7", "PB case"]);
    let contact = bench.part(
        "K1",
        Bench::contact(ContactForm::NormallyOpen, Driver::Coil { part: coil }),
        &["PB-A8", "PB-A9"],
    );
    let stray = bench.terminal("MC-A1");
    let book = bench.book();
    let driver = |driver| {
        told(&book, contact, |p| {
            p.kind = Bench::contact(ContactForm::NormallyOpen, driver)
        })
    };
    let operated = |position: &str| Driver::Switch {
        switch,
        operated_in: vec![position.to_owned()],
    };
    assert_eq!(driver(operated("run")), "accepted");
    assert!(driver(operated("on")).contains("is operated in \"on\", but key has only off, run"));
    assert!(
        driver(Driver::Coil { part: contact }).contains("is moved by K1, which is a contact, not a coil")
    );
    assert!(told(&book, coil, |p| p.kind = PartKind::Resistor { ohm: 1.0 }).contains("not a coil"));
    assert!(
        told(&book, contact, |p| {
            p.ends.pop();
        })
        .contains("a contact has 2 ends (common, other), not 1")
    );
    assert!(
        told(&book, contact, |p| p.ends[1] = stray.clone())
            .contains("its other end is at MC-A1, which is not of PB")
    );
    assert!(told(&book, coil, |p| p.kind = Bench::coil(0.0, 8.0)).contains("resistance must be more than 0"));
    assert!(
        told(&book, coil, |p| p.kind = Bench::coil(85.0, 1.0))
            .contains("drop-out voltage (2 V) is above its pull-in voltage")
    );
    let unit = bench.unit("MC");
    let moved = told(&book, bench.connector("PB-A"), |c| c.unit = unit);
    assert!(moved.contains("an inside part stays within its unit"), "{moved}");
}

#[test]
fn switches_and_states_that_cannot_be() {
    let mut bench = Bench::new();
    let switch = bench.switch("key", &["off", "run"]);
    let state = bench.state("DRIVE");
    let at = |position: &str| SwitchPosition {
        switch,
        position: position.to_owned(),
    };
    bench.edit(state, |s| s.switches.push(at("run")));
    let book = bench.book();
    let positions = |list: &[&str]| {
        told(&book, switch, |s| {
            s.positions = list.iter().map(|p| (*p).to_owned()).collect()
        })
    };
    assert_eq!(positions(&["off", "run", "start"]), "accepted");
    assert!(positions(&[]).contains("has no position"));
    assert!(positions(&["run", "Run"]).contains("\"Run\" is there twice"));
    let renamed = positions(&["off", "on"]);
    assert!(
        renamed.contains("operating state DRIVE: puts key at \"run\", but it has only off, on"),
        "{renamed}"
    );
    assert!(told(&book, state, |s| s.switches.push(at("off"))).contains("names key twice"));
    assert!(told(&book, state, |s| s.supply_v = Some(61.0)).contains("from 0 to 60 V"));
}

#[test]
fn one_page_with_sane_volts() {
    let bench = Bench::new();
    let book = bench.book();
    let page = book.all::<About>().values().next().unwrap().clone();
    let supply = |least_v, nominal_v, most_v| {
        told(&book, page.id, |a| {
            a.supply = Supply {
                least_v,
                nominal_v,
                most_v,
            }
        })
    };
    assert_eq!(supply(10.5, 12.6, 15.0), "accepted");
    assert!(supply(10.5, 9.0, 15.0).contains("lowest supply voltage (10.5 V) is above its usual"));
    assert!(supply(80.0, 96.0, 110.0).contains("only control wiring up to 60 V DC"));
    assert!(said(&book, vec![Change::remove(page.clone())]).contains("cannot be removed"));
    let second = About {
        id: Id::from_bits(9),
        ..page
    };
    assert!(said(&book, vec![Change::make(second)]).contains("is there already"));
}

#[test]
fn what_is_still_needed_stays() {
    let mut bench = Bench::new();
    bench.wire("W1", "SP1", "MC-A1", 0.5, 1.0);
    bench.wire("W2", "SP1", "MC-A2", 0.5, 1.0);
    let book = bench.book();
    let splice = book
        .index()
        .labelled::<Junction>("sp1")
        .and_then(|id| book.get(id))
        .unwrap()
        .clone();
    assert_eq!(
        said(&book, vec![Change::remove(splice.clone())]),
        "splice or stud SP1: cannot be removed: wire W1 and 1 more still need it"
    );
    let page = changed(&book, splice.id, |s| s.note = "x".to_owned());
    assert!(said(&book, vec![page.clone(), page]).contains("is changed twice in one edit"));
    let stale = Change::replace(
        Junction {
            note: "old".to_owned(),
            ..splice.clone()
        },
        splice,
    );
    assert!(said(&book, vec![stale]).contains("has changed since you looked"));
}

#[test]
fn other_figures_are_held_as_well() {
    let mut bench = Bench::new();
    let fuse = bench.fuse("F6", 10.0);
    let (zone, bundle) = (bench.zone("cabin", 40.0), bench.bundle("tunnel", Some(0.7)));
    let family = bench.contact_family("S", 0.35, 0.5);
    let path = bench.chassis("G1", "G2", 0.002);
    let cavity = bench.cavity("MC-A", "1");
    let book = bench.book();
    for (said, sentence) in [
        (
            told(&book, fuse, |f| f.rating_a = -5.0),
            "its rating must be more than 0",
        ),
        (
            told(&book, fuse, |f| f.melting_a2s = Some(f64::INFINITY)),
            "melting a2s is not a number",
        ),
        (
            told(&book, zone, |z| z.ambient_c = Some(900.0)),
            "ambient must be from -60 to 200 °C",
        ),
        (
            told(&book, bundle, |b| b.factor = Some(1.5)),
            "factor must be more than 0 and at most 1",
        ),
        (
            told(&book, family, |f| f.least_mm2 = Some(2.0)),
            "thinnest wire (2 mm²) is above its thickest wire (0.5 mm²)",
        ),
        (
            told(&book, path, |p| p.to = p.from.clone()),
            "leads from G1 to G1",
        ),
        (
            told(&book, path, |p| p.resistance_ohm = 0.0),
            "resistance must be more than 0",
        ),
        (
            told(&book, cavity, |c| c.limits.most_a = Some(-1.0)),
            "continuous current must be from 0",
        ),
        (
            told(&book, cavity, |c| {
                (c.limits.on_above_v, c.limits.off_below_v) = (Some(2.0), Some(6.0))
            }),
            "off below (6 V) is above its on above (2 V)",
        ),
    ] {
        assert!(said.contains(sentence), "{said}");
    }
}

#[test]
fn what_an_expression_names_stays_until_that_says_otherwise() {
    let mut bench = Bench::new();
    let lead = bench.switch("charge_lead", &["out", "in"]);
    let plain = bench.book();
    let text = crate::rules::kept(&plain, "never charge_lead is in").unwrap();
    let rule = bench.rule("I1", &text);
    let book = bench.book();
    let (lead, rule) = (book.get(lead).unwrap().clone(), book.get(rule).unwrap().clone());
    let gone = Change::remove(lead.clone());
    assert_eq!(
        said(&book, vec![gone.clone()]),
        "switch charge_lead: cannot be removed: rule I1 names it in its expression; change that first"
    );
    assert_eq!(
        said(&book, vec![gone.clone(), Change::remove(rule.clone())]),
        "accepted"
    );
    let other = Rule {
        text: String::new(),
        ..rule.clone()
    };
    assert_eq!(said(&book, vec![gone, Change::replace(rule, other)]), "accepted");
    assert_eq!(said(&plain, vec![Change::remove(lead)]), "accepted");
}

/// What `prepare` says first, `refusals` says first; then it goes on.
#[test]
fn all_that_is_wrong_is_told_in_one_go_one_thing_a_record() {
    let mut bench = Bench::new();
    let ids = [("W1", "MC-A1"), ("W2", "MC-A2"), ("W3", "MC-A3")]
        .map(|(label, cavity)| bench.wire(label, "SP7", cavity, 0.5, 2.8));
    let book = bench.book();
    let edit = |change: &dyn Fn(usize, &mut Wire)| {
        let changes = ids.iter().enumerate();
        let changes = changes.map(|(at, id)| changed(&book, *id, |w: &mut Wire| change(at, w)));
        Edit::design("a test", changes.collect())
    };
    let wrong = edit(&|at, wire| match at {
        0 => (wire.length_m, wire.area_mm2) = (Some(300.0), Some(0.0)),
        1 => wire.length_m = Some(2.0),
        _ => wire.label = " W3".to_owned(),
    });
    let told: Vec<String> = book.refusals(&wrong).iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].contains("starts or ends with a space"), "{told:?}");
    assert!(told[1].starts_with("wire W1: its size"), "{told:?}");
    let first = book.prepare(wrong, stamp(1)).unwrap_err();
    assert_eq!(first.to_string(), told[0]);
    assert_eq!(book.refusals(&edit(&|_, wire| wire.length_m = Some(2.0))), []);
}
