//! Settings and trials: by the keyboard alone.

use crimpbook_workbook::{
    model::{FileNote, FirstRun, FirstRunStep, Setting, Trial},
    tune::open_steps,
};

use super::{Bench, Where};
use crate::screen::{model::settings::setting, testkit::small};

fn only(bench: &Bench) -> &Setting {
    bench.model.book.all::<Setting>().values().next().unwrap()
}

/// The small book with one setting, entered through the form.
fn with_setting() -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press("gea");
    assert_eq!(bench.model.place, Where::Settings);
    bench.type_text("MC");
    bench.press("<Tab>").type_text("COAST");
    bench.press("<Tab>").type_text("18");
    bench.press("<Tab>").type_text("%");
    bench.press("<Tab>").type_text("first guess");
    bench.press("<Tab>").type_text("0");
    bench.press("<Tab>").type_text("40");
    bench.press("<Tab>").type_text("0");
    bench.press("<Tab>").type_text("70");
    bench.press("<Tab>").type_text("MC-A4");
    bench.press("<Tab>").type_text("regeneration, lift");
    bench.press("<Tab><PgDn>");
    bench
}

#[test]
fn a_setting_is_entered_turned_and_removed_each_with_its_why() {
    let mut bench = with_setting();
    let entered = only(&bench).clone();
    assert_eq!(
        (
            entered.shown().as_str(),
            entered.least,
            entered.most,
            entered.page.as_str()
        ),
        ("18 %", Some(0.0), Some(40.0), "70"),
        "{}",
        bench.screen(80, 24)
    );
    assert_eq!(
        (entered.cavities.len(), entered.role.map(|r| r.words())),
        (1, Some("regeneration, lift-off"))
    );
    // Turned: not without a why.
    bench.press("v10<Enter><Enter>");
    assert_eq!(only(&bench).value, "18", "{}", bench.screen(80, 24));
    bench.shows("a why");
    bench.type_text("jerks").press("<Enter>");
    assert_eq!(only(&bench).value, "10", "{}", bench.screen(80, 24));
    bench.shows("because jerks");
    // The past is told, newest first.
    bench.press("d");
    let screen = bench.screen(80, 24);
    let (new, old) = (screen.find("because jerks"), screen.find("because first guess"));
    assert!(new.is_some() && new < old, "{screen}");
    bench.press("<Esc>u");
    assert_eq!(only(&bench).value, "18", "undone without a why of its own");
    bench.press("Dremove<Enter>");
    assert_eq!(bench.model.place_of_keys(), Where::Line, "its why is asked for");
    bench.type_text("not of this unit").press("<Enter>");
    assert!(
        bench.model.book.all::<Setting>().is_empty(),
        "{}",
        bench.screen(80, 24)
    );
}

#[test]
fn a_setting_that_is_not_changed_is_not_written() {
    let mut bench = with_setting();
    let entries = bench.model.heads.len();
    bench.press("v<Enter>x<Enter>");
    bench.shows("nothing is changed");
    assert_eq!(bench.model.heads.len(), entries);
}

#[test]
fn what_was_left_at_a_release_stays_comparable() {
    let mut bench = with_setting();
    bench.press("r");
    assert!(bench.screen(80, 24).contains("nothing was released yet"));
    bench.press("glRfirst<Enter>ge");
    bench.press("v10<Enter>jerks<Enter>r");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("as left at A") && screen.contains("→ 18 %"),
        "{screen}"
    );
    assert!(screen.contains("1 setting is otherwise now"), "{screen}");
    bench.press("r");
    assert!(!bench.screen(80, 24).contains("as left at A"));
}

#[test]
fn the_first_drive_is_logged_once_each_caution_was_gone_through() {
    let mut bench = with_setting();
    bench.press("gda");
    assert_eq!(bench.model.place, Where::Trials);
    assert!(bench.model.over.is_empty(), "no form before the first run");
    bench.shows("the first run comes first");
    bench.press("f");
    // A later step does not go before an earlier one.
    bench.press("<Down><Down><Space>");
    bench.shows("step 1 comes before this one");
    bench.press("<Home>");
    for step in FirstRunStep::ALL {
        let screen = bench.screen(80, 24);
        let told = step
            .caution()
            .split_whitespace()
            .take(4)
            .collect::<Vec<_>>()
            .join(" ");
        assert!(screen.contains(&told), "{told}: {screen}");
        bench.press("<Space>");
    }
    assert!(open_steps(&bench.model.book).is_empty());
    assert_eq!(bench.model.book.all::<FirstRun>().len(), FirstRunStep::ALL.len());

    bench.press("<Esc>a");
    for text in ["", "", "yard", "dry", "lift-off", "", "", "4", "2"] {
        bench.type_text(text).press("<Tab>");
    }
    bench.press("<Tab><Tab>").type_text("noise 3");
    bench.press("<Tab><Tab>").type_text("motor 212 A");
    bench.press("<PgDn>");
    let trial = bench.model.book.all::<Trial>().values().next().unwrap();
    assert_eq!(
        (trial.mark("tip-in"), trial.mark("coast"), trial.mark("noise")),
        (Some(4), Some(2), Some(3))
    );
    assert_eq!(
        (trial.place.as_str(), trial.settings.len(), trial.peaks.len()),
        ("yard", 1, 1)
    );
    assert_eq!(bench.model.place, Where::Trials);
    // The same trial is said more of, and shown with what is otherwise now.
    bench.press("gev10<Enter>jerks<Enter>gdd");
    bench.shows("MC COAST 18 %, now 10 %");
}

#[test]
fn two_settings_turned_at_once_are_warned_of_before_and_after() {
    let mut bench = Bench::demo();
    bench.press("/regen_coast<Enter>v12<Enter>one<Enter>/regen_brake<Enter>v30<Enter>two<Enter>gda");
    let warned = "2 settings were turned at once";
    assert!(bench.screen(80, 24).contains(warned), "{}", bench.screen(80, 24));
    bench.press("<PgDn>");
    let screen = bench.screen(120, 40);
    assert!(screen.contains(warned), "{screen}");
    bench.press("p");
    bench.shows("nobody can tell which");
}

#[test]
fn a_setting_is_found_by_its_name_and_shown_where_settings_are() {
    let mut bench = Bench::demo();
    bench.press("/regen_coast<Enter>");
    assert_eq!(bench.model.place, Where::Settings);
    assert_eq!(setting(&bench.model).unwrap().label, "REGEN_COAST_MAX");
    bench.shows("because the passenger complained");
}

#[test]
fn a_photo_is_kept_by_name() {
    let mut bench = Bench::over(small::book());
    bench.press("gp<Left><Left>");
    while !bench.screen(80, 24).contains("IMG") {
        bench.press("a");
        bench.type_text("IMG_0417.jpg");
        bench.press("<Tab>").type_text("W44");
        bench.press("<Tab>").type_text("before the boot");
        bench.press("<PgDn>");
        assert_eq!(
            bench.model.book.all::<FileNote>().len(),
            1,
            "{}",
            bench.screen(80, 24)
        );
    }
    bench.shows("wire W44: before the boot");
}

#[test]
fn a_new_trial_takes_its_why_from_what_was_turned() {
    let mut bench = Bench::demo();
    bench
        .press("/regen_coast<Enter>v12<Enter>")
        .type_text("she said it was too weak");
    bench.press("<Enter>gda");
    let Some(crate::screen::model::over::Over::Form(form)) = bench.model.over.last() else {
        panic!("{}", bench.screen(80, 24));
    };
    assert_eq!(form.text("why"), "she said it was too weak");
    assert_eq!(form.text("changed"), "MC REGEN_COAST_MAX 10 % → 12 %");
}
