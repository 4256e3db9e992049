//! Tests: readings by the keyboard alone.

use std::sync::Arc;

use crimpbook_workbook::{
    measure::{Standing, standing},
    model::{Reading, TemporaryLink, TestKind},
};

use super::{Bench, Where};
use crate::screen::{
    computed::Computed,
    effect::Msg,
    keys::{Input, Key},
    model::meter::{at_hand, tests},
    testkit::small,
    update::update,
};

fn standings(bench: &Bench) -> Vec<Standing> {
    let found = &tests(&bench.model).listed.tests;
    found.iter().map(|t| standing(&bench.model.book, t)).collect()
}

fn last(bench: &Bench) -> &Reading {
    bench
        .model
        .book
        .all::<Reading>()
        .values()
        .max_by_key(|r| (r.taken, r.id))
        .unwrap()
}

#[test]
fn a_figure_begins_a_reading_and_enter_goes_on() {
    let mut bench = Bench::over(small::book());
    bench.press("gm");
    assert_eq!(bench.model.place, Where::Tests);
    let first = at_hand(&bench.model).unwrap().clone();
    bench.press("mmeter 1<Enter>z0.2<Enter>");
    bench.press("0,3<Enter>");
    let reading = last(&bench);
    assert_eq!(reading.at_cavity, first.at);
    assert!(
        (reading.value.unwrap() - 0.1).abs() < 1e-9,
        "the leads are taken off once"
    );
    assert_eq!(
        (reading.leads_ohm, reading.meter.as_str()),
        (Some(0.2), "meter 1")
    );
    assert_ne!(at_hand(&bench.model).unwrap().at, first.at, "the cursor went on");
    assert_eq!(standings(&bench).first(), Some(&Standing::Passed));
}

#[test]
fn a_reading_out_of_its_window_asks_what_was_done() {
    let mut bench = Bench::over(small::book());
    bench.press("gm<Enter>OL<Enter>");
    assert_eq!(bench.model.place_of_keys(), Where::Line);
    bench.press("<Enter>");
    assert!(
        bench.model.book.all::<Reading>().is_empty(),
        "a few words are needed"
    );
    bench.press("0.1<Enter>");
    bench.shows("that is the next reading");
    assert!(
        bench.model.book.all::<Reading>().is_empty(),
        "a figure is no cause"
    );
    bench.press("<Back><Back><Back>crimped anew<Enter>");
    assert_eq!(last(&bench).note, "crimped anew");
    assert_eq!(standings(&bench).first(), Some(&Standing::Failed));
}

#[test]
fn a_reading_out_of_its_window_is_told_with_its_unit() {
    for typed in ["5000", "5k"] {
        let mut bench = Bench::over(small::book());
        bench.press(&format!("gm<Enter>{typed}<Enter>"));
        let told = if typed == "5000" { "5000 Ω" } else { typed };
        bench.shows(&format!(": {told} is not "));
    }
}

#[test]
fn what_is_no_reading_is_refused_with_a_sentence() {
    let mut bench = Bench::over(small::book());
    bench.press("gm1,500<Enter>");
    bench.shows("can mean 1.5 or 1500");
    bench.press("<Esc>");
    assert!(bench.model.book.all::<Reading>().is_empty());
}

#[test]
fn one_key_answers_the_rest_of_a_sweep() {
    let mut bench = Bench::over(small::book());
    bench.press("gmschassis<Enter>");
    let count = standings(&bench).len();
    assert!(count > 2, "{count}");
    bench.press("3<Enter>chafed at the bracket<Enter>a");
    let stands = standings(&bench);
    assert_eq!(
        stands.iter().filter(|s| **s == Standing::Passed).count(),
        count - 1
    );
    assert_eq!(stands.iter().filter(|s| **s == Standing::Failed).count(), 1);
    bench.press("u");
    assert_eq!(
        standings(&bench).iter().filter(|s| **s == Standing::Open).count(),
        count - 1,
        "one change, taken back as one"
    );
}

#[test]
fn what_is_undone_or_done_again_has_the_cursor() {
    let mut bench = Bench::over(small::book());
    bench.press("gm");
    let first = at_hand(&bench.model).unwrap().clone();
    bench.press("0,1<Enter>G");
    let last = at_hand(&bench.model).unwrap().clone();
    assert!(!last.is_same(&first));
    bench.press("u");
    assert!(
        at_hand(&bench.model).unwrap().is_same(&first),
        "{:?}",
        at_hand(&bench.model)
    );
    bench.press("GU");
    assert!(at_hand(&bench.model).unwrap().is_same(&first));
}

#[test]
fn a_temporary_link_is_in_sight_everywhere_and_bars_a_release() {
    let mut bench = Bench::demo();
    bench.press("gmt");
    bench.press("bridge<Enter>");
    // The first lead's place is offered.
    bench.press("<Enter>G4<Enter>to light the lamp<Enter>");
    assert_eq!(bench.model.book.all::<TemporaryLink>().len(), 1);
    for go in ["go", "gf", "gs", "gb", "gr", "gt", "gm", "ge", "gd", "gl", "gp"] {
        bench.press(go).press("<Esc>");
        for (width, height) in [(80, 24), (60, 18), (120, 40)] {
            let screen = bench.screen(width, height);
            assert!(screen.contains("! 1 temporary link"), "{go}: {screen}");
            assert!(
                screen.contains("temporary link: bridge") || go == "gm",
                "{go}: {screen}"
            );
        }
    }
    bench.press("glRfirst<Enter>");
    bench.shows("bridge from BM-A1 to G4: still stands");
    bench.press("<Esc>ygmT");
    assert!(bench.model.book.all::<TemporaryLink>().is_empty());
}

#[test]
fn a_changed_wire_sends_its_readings_back() {
    let mut bench = Bench::demo();
    bench.press("gmsbrake, plugs on<Enter>");
    let at = tests(&bench.model)
        .listed
        .tests
        .iter()
        .position(|t| bench.model.book.cavity_name(t.at) == "MC-A16")
        .unwrap();
    bench.model.meter.at = at;
    bench.press("12.4<Enter>");
    assert_eq!(standings(&bench).get(at), Some(&Standing::Passed));
    bench.press("gp/w44<Enter>e<Down><Down><Down><Down>0.5<Enter>");
    while bench.model.place_of_keys() == Where::Form {
        bench.press("<Enter>");
    }
    bench.press("too thin for its fuse<Enter>gm");
    assert_eq!(standings(&bench).get(at), Some(&Standing::Lapsed));
    bench.model.meter.at = at;
    bench.shows("▲ to be read again: W44: size changed");
    // From another stage, one key goes from one to the next.
    bench.press("schassis<Enter>");
    bench.shows("▲ 2 again (A), 0 here");
    let went = |bench: &mut Bench| {
        bench.press("A");
        let test = at_hand(&bench.model).unwrap();
        bench.model.book.cavity_name(test.at)
    };
    assert_eq!(went(&mut bench), "MC-A14", "of the story");
    assert_eq!(went(&mut bench), "MC-A16");
    assert!(bench.screen(80, 24).contains("‹ BRAKE, plugs on ›"));
}

#[test]
fn the_ladder_says_where_it_stops_and_what_is_held() {
    let mut bench = Bench::demo();
    bench.press("gmscontroller<Enter>");
    bench.shows("✗ STOP at power off: 537 of 537 not read");
    // What a supply draws is typed in milliamperes.
    let draw = tests(&bench.model)
        .listed
        .tests
        .iter()
        .position(|t| t.kind == TestKind::Draw)
        .unwrap();
    bench.model.meter.at = draw;
    bench.press("160<Enter>");
    assert_eq!(last(&bench).value, Some(0.16));
    assert_eq!(standings(&bench).get(draw), Some(&Standing::Passed));
    bench.press("scoils, no pack<Enter>");
    assert!(bench.screen(80, 24).contains("inertia tripped"));
}

#[test]
fn how_warm_it_is_narrows_what_a_sensor_should_read() {
    let mut bench = Bench::demo();
    bench.press("gmssensors, rails<Enter>");
    let window = |bench: &Bench| {
        let list = &tests(&bench.model).listed.tests;
        let sensor = list.iter().find(|t| t.kind == TestKind::Sensor).unwrap();
        sensor.expected.bounds()
    };
    let wide = window(&bench);
    bench.press("r20<Enter>");
    let narrow = window(&bench);
    assert!(narrow.0 > wide.0 && narrow.1 < wide.1, "{wide:?} {narrow:?}");
    assert!(bench.screen(80, 24).contains("20 °C here"));
}

#[test]
fn what_the_battery_cannot_read_is_refused_and_what_it_reads_is_said() {
    let said = |keys: &str| {
        let mut bench = Bench::demo();
        let screen = bench.press(keys).screen(120, 40);
        (screen, bench.model.meter.known.supply_v)
    };
    for wrong in ["gmb-3<Enter>", "gmb400<Enter>"] {
        let (screen, known) = said(wrong);
        assert!(
            screen.contains("the battery of control wiring reads 1 to 60 V"),
            "{screen}"
        );
        assert_eq!(known, None);
    }
    let (screen, known) = said("gmb12,6<Enter>");
    assert!(screen.contains("for a battery at 12.6 V"), "{screen}");
    assert_eq!(known, Some(12.6));
}

#[test]
fn without_a_state_what_looks_for_faults_says_what_is_missing() {
    let mut bench = Bench::over(small::Maker::new().book());
    bench.press("gt");
    let model = &mut bench.model;
    let computed = Arc::new(Computed::of(Arc::clone(&model.book)));
    update(model, Msg::Checked(model.findings.generation, computed));
    update(model, Msg::Input(Input::Key(Key::Char('f'))));
    let screen = bench.screen(120, 40);
    assert!(screen.contains("there is no operating state yet"), "{screen}");
}
