//! What a stranger to the program stumbled over, so that it stays mended.

use crimpbook_workbook::{Book, model::*, plan::Progress};

use crate::screen::{
    action::Where,
    effect::Msg,
    keys::{Input, Key},
    model::{build, overview, sources},
    testkit::{Bench, small},
};

fn on_face(cavity: &str) -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press(&format!("/{cavity}<Enter>"));
    assert_eq!(bench.model.place, Where::Face);
    bench
}

fn cavity(bench: &Bench, name: &str) -> Cavity {
    let book = bench.book();
    book.get(book.find_cavity(name).unwrap()).unwrap().clone()
}

/// Two sources weighed for MC-A5, the cursor on the second.
fn two_weighed() -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press("gs/mc-a5<Enter>");
    for (source, why) in [("di-a4", "in reach"), ("di-a3", "shares a fuse")] {
        bench.press("a").type_text(source).press("<Enter><Enter>");
        bench.type_text(why).press("<Enter>");
    }
    bench.press("<Right><Down>");
    bench
}

#[test]
fn what_was_weighed_stays_and_so_does_the_cursor() {
    let mut bench = two_weighed();
    let sink = sources::cavity(&bench.model).unwrap().id;
    let one = sources::candidate(&bench.model).unwrap().clone();
    assert_eq!(one.why, "shares a fuse");
    bench.press("y").type_text("closer").press("<Enter>");
    let whys: Vec<(Id<Candidate>, &str)> = bench
        .book()
        .all::<Candidate>()
        .values()
        .map(|c| (c.id, c.why.as_str()))
        .collect();
    assert!(
        whys.contains(&(one.id, "shares a fuse; chosen: closer")),
        "{whys:?}"
    );
    assert!(whys.iter().any(|(_, why)| *why == "in reach"), "{whys:?}");
    assert_eq!(sources::cavity(&bench.model).unwrap().id, sink);
    assert_eq!(sources::candidate(&bench.model).unwrap().id, one.id);
}

#[test]
fn a_bridge_leaves_no_marks() {
    let mut bench = on_face("mc-a10");
    bench.press("m]["); // another connector and back: nothing is marked
    assert!(bench.model.face.marks.is_empty());
    let mut bench = on_face("mc-a10");
    bench.model.face.marks.insert(cavity(&bench, "MC-A10").id);
    bench.model.face.cavity = Some(cavity(&bench, "MC-A11").id);
    bench.press("b").type_text("a defined level").press("<Enter>");
    assert!(
        bench
            .book()
            .all::<Cavity>()
            .values()
            .any(|c| c.why == "a defined level")
    );
    assert!(bench.model.face.marks.is_empty());
}

#[test]
fn rows_are_taken_with_any_line_ends_and_from_the_line() {
    for rows in ["10\tA\r11\tB\r", "10\tA\r\n11\tB\r\n"] {
        let mut bench = on_face("mc-a10");
        bench.press("i").paste(rows).press("<Enter>").press("<Enter>");
        assert_eq!(cavity(&bench, "MC-A10").name, "A");
        assert_eq!(cavity(&bench, "MC-A11").name, "B");
    }
    let mut bench = on_face("mc-a10");
    bench.press("i").type_text("X").paste("10\tA\r11\tB\r");
    assert!(bench.screen(80, 24).contains("several rows were pasted"));
}

#[test]
fn a_kind_with_a_comma_is_told_from_the_name() {
    let mut bench = on_face("mc-a10");
    bench
        .press("i")
        .type_text("BRAKE SW, digital input, active at ground")
        .press("<Enter>")
        .type_text("T, left, analog in")
        .press("<Enter>")
        .type_text("Y, digital input")
        .press("<Enter>");
    let (ten, eleven) = (cavity(&bench, "MC-A10"), cavity(&bench, "MC-A11"));
    assert_eq!(
        (ten.name.as_str(), ten.kind),
        ("BRAKE SW", Some(SignalKind::DigitalInLow))
    );
    assert_eq!(
        (eleven.name.as_str(), eleven.kind),
        ("T, left", Some(SignalKind::AnalogueIn))
    );
    let screen = bench.screen(120, 30);
    for kind in ["active at supply", "active at ground", "without a pull"] {
        assert!(screen.contains(kind), "{screen}");
    }
}

#[test]
fn a_wire_drawn_from_the_face_leaves_one_there() {
    let mut bench = on_face("mc-a5");
    bench.press("w<PgDn>");
    assert_eq!(bench.book().all::<Wire>().len(), 6);
    assert_eq!(bench.model.place, Where::Face);
}

#[test]
fn wires_done_are_counted_as_the_plan_counts_them() {
    let bench = Bench::demo();
    let book = bench.book();
    let wires = book.all::<Wire>();
    let done = wires
        .keys()
        .filter(|id| Progress::of_wire(book, **id).is_complete())
        .count();
    assert!(done > 0);
    assert_eq!(build::wires_done(&bench.model), (done, wires.len()));
    assert_eq!(overview::totals(&bench.model).done, done);
}

#[test]
fn what_is_followed_tick_by_tick_is_what_is_counted_anew() {
    let mut bench = Bench::demo();
    let told = |bench: &Bench| {
        let row = |row: &overview::Row| (row.name.clone(), row.words.clone(), row.progress);
        let rows: Vec<_> = overview::rows(&bench.model).iter().map(row).collect();
        let last = overview::last_step(&bench.model).map(|done| done.id);
        (rows, build::wires_done(&bench.model), last)
    };
    let mut seen = std::collections::BTreeSet::new();
    for typed in [
        "gb", " ", " ", "s", "u", "u", " ", "U", "gou", "gb   ", "goU", "gb", " ", "uuuu", "go",
    ] {
        let before = bench.model.findings.generation;
        bench.press(typed);
        // The loop itself asks once, when it starts.
        assert_eq!(
            bench.model.findings.generation,
            before + 1,
            "a tick moves no finding"
        );
        let followed = told(&bench);
        seen.insert((followed.1, followed.2));
        let model = &mut bench.model;
        let kept = std::mem::take(&mut model.derived);
        assert_eq!(followed, told(&bench), "after {typed}");
        bench.model.derived = kept;
    }
    assert!(seen.len() > 3, "{seen:?}");
}

#[test]
fn one_goes_on_at_the_step_that_build_opens() {
    let bench = Bench::demo();
    let hand = build::at_hand(&bench.model).unwrap();
    let next = format!(
        "{}, {} is next",
        build::label(bench.book(), hand.item),
        hand.step().unwrap().step.step.words()
    );
    assert!(overview::here(&bench.model).unwrap().contains(&next));
}

#[test]
fn a_step_that_failed_is_not_hidden_by_skipping_it() {
    let mut bench = Bench::over(small::book());
    bench.press("gbox").type_text("barrel split").press("<Enter>");
    let failures = |bench: &Bench| {
        let steps = bench.book();
        let steps = steps.all::<StepDone>().values();
        steps.filter(|s| s.outcome == Outcome::Failed).count()
    };
    assert_eq!(failures(&bench), 1);
    bench.press("s");
    assert_eq!(failures(&bench), 1);
    assert!(bench.screen(80, 24).contains("failed and is not skipped"));
    bench.press(" ");
    assert_eq!(failures(&bench), 0, "done again, it is done");
}

#[test]
fn a_release_says_how_many_stops_are_open() {
    let mut bench = Bench::over(small::book());
    // Pressed at once, the keys come before the checks are through, which is said.
    bench.press("glR");
    assert!(bench.screen(80, 24).contains("The checks are not through yet."));
    bench.press("<Esc>");
    let key = Msg::Input(Input::Key(Key::Char('R')));
    super::update(&mut bench.model, key);
    let report = bench.model.findings.report().expect("the checks have run");
    let (stops, facts) = (report.open_stops(), report.cannot_check.len());
    assert_eq!((stops, facts), (1, 1));
    let shown = bench.screen(80, 24);
    assert!(shown.contains("1 stop is open, 1 fact missing."), "{shown}");
}

#[test]
fn what_is_typed_takes_the_place_of_what_a_field_held() {
    let mut bench = Bench::over(small::book());
    bench
        .press("gp/w44<Enter>e<Down><Down><Down><Down>")
        .type_text("0.5")
        .press("<PgDn>");
    let book = bench.book();
    let wire = book.all::<Wire>().values().find(|w| w.label == "W44").unwrap();
    assert_eq!(wire.area_mm2, Some(0.5));
}

/// Work on the side speaks when the line is free: it covers nothing that was refused.
#[test]
fn what_was_refused_is_not_covered_by_work_on_the_side() {
    let mut bench = Bench::over(small::book());
    bench.model.complain("the tick was refused");
    bench.happen_outside(Msg::Aside("no copy was kept today".to_owned()));
    bench.shows("the tick was refused");
    bench.press("<Home>");
    bench.shows("no copy was kept today");
    bench.press("<Home>");
    assert!(!bench.screen(80, 24).contains("no copy was kept today"));
}

#[test]
fn a_field_that_was_typed_in_is_gone_on_with() {
    let mut bench = Bench::demo();
    bench.press("gp/w40<Enter><Enter>");
    bench
        .press("<Down>")
        .type_text("brake")
        .press("<Down><Up>")
        .type_text(" feed");
    bench.shows("› brake feed");
    // One that was not is typed over as a whole.
    bench.press("<Down>").type_text("sp7");
    bench.shows("› sp7");
}

#[test]
fn every_field_is_told_what_is_wrong_with_it_as_it_is_left() {
    let mut bench = Bench::demo();
    bench.press("gp/w40<Enter><Enter>");
    for _ in 0..4 {
        bench.press("<Down>");
    }
    bench
        .type_text("abc")
        .press("<Down>")
        .type_text("purple-ish")
        .press("<Down>");
    bench.type_text("-3").press("<Down>");
    let screen = bench.screen(120, 40);
    for words in ["`abc`", "`ish`", "0 m to 1000 m"] {
        assert!(screen.contains(words), "{words}: {screen}");
    }
    // Enter stays where it is wrong once, and then goes on.
    let at = |bench: &Bench| match bench.model.over.last() {
        Some(crate::screen::model::over::Over::Form(form)) => form.at,
        other => panic!("{other:?}"),
    };
    let mut bench = Bench::demo();
    bench.press("gp/w40<Enter><Enter><Down><Down><Down><Down>");
    bench.type_text("abc").press("<Enter>");
    assert_eq!(at(&bench), 4);
    bench.press("<Enter>");
    assert_eq!(at(&bench), 5);
}

#[test]
fn a_setting_with_limits_takes_a_figure_only() {
    let mut bench = Bench::demo();
    bench
        .press("ge/can_rate<Enter>v")
        .type_text("banana")
        .press("<Enter>");
    bench.shows("\"banana\" is no figure; it has limits, 125 to 500");
}

#[test]
fn a_taken_name_is_told_where_it_was_typed() {
    let mut bench = Bench::over(small::book());
    bench.press("gpa").type_text("mc").press("<PgDn>");
    let screen = bench.screen(80, 24);
    let name = screen.lines().position(|line| line.contains("› mc")).unwrap();
    assert!(
        screen
            .lines()
            .nth(name + 1)
            .unwrap()
            .contains("the label is taken"),
        "{screen}"
    );
}

#[test]
fn a_finding_about_cavities_leads_to_the_first_of_them() {
    let bench = Bench::over(small::book());
    let rows = overview::rows(&bench.model);
    let at = rows
        .iter()
        .position(|row| row.words.contains("cavities are undecided"));
    let row = &rows[at.expect("several are undecided")];
    let overview::To::Record(key) = row.to else {
        panic!("{row:?}")
    };
    assert_eq!(key.kind, Kind::Cavity);
}

#[test]
fn without_findings_the_brief_list_is_left_by_the_same_key() {
    let mut bench = Bench::over(Book::from_tables(Tables::default(), None));
    bench.press("b");
    assert!(bench.model.overview.brief);
    bench.press("b");
    assert!(!bench.model.overview.brief);
}
