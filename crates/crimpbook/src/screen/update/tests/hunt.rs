//! Finding a fault: what the page says of what it cannot tell.

use std::sync::Arc;

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::Wire,
};

use super::Bench;
use crate::screen::{
    computed::Computed,
    effect::{Effect, Msg},
    keys::Input,
    testkit::keys,
    update::update,
};

/// The demo with keys pressed, one wire's size forgotten; every question is answered at once.
fn hunted(forgotten: Option<&str>, typed: &str) -> Bench {
    let mut bench = Bench::demo();
    if let Some(label) = forgotten {
        let id = bench.book().index().labelled::<Wire>(label).unwrap();
        let was = bench.book().get(id).unwrap().clone();
        let mut after = was.clone();
        (after.area_mm2, after.size_written) = (None, String::new());
        let edit = Edit::design("size forgotten", vec![Change::replace(was, after)]).because("a test");
        let kept = bench.session.edit(edit).unwrap();
        bench.happen_outside(Msg::Kept(kept, Default::default()));
    }
    let computed = Arc::new(Computed::of(Arc::clone(&bench.model.book)));
    let checked = Msg::Checked(bench.model.findings.generation, computed);
    answered(&mut bench, vec![checked]);
    press(&mut bench, typed);
    bench
}

fn press(bench: &mut Bench, typed: &str) {
    let typed = keys(typed).into_iter().map(|key| Msg::Input(Input::Key(key)));
    answered(bench, typed.collect());
}

fn answered(bench: &mut Bench, happens: Vec<Msg>) {
    let model = &mut bench.model;
    for msg in happens {
        let mut waiting = update(model, msg);
        while let Some(effect) = waiting.pop() {
            if let Effect::Ask(generation, of, question) = effect {
                let answer = question.answer(of.snapshot.as_ref().unwrap());
                waiting.extend(update(
                    model,
                    Msg::Answered(generation, question, Arc::new(answer)),
                ));
            }
        }
    }
}

fn lines(bench: &Bench) -> Vec<String> {
    let page = &bench.model.hunt.as_ref().unwrap().page;
    page.lines.iter().map(|line| line.words.clone()).collect()
}

/// The demo in drive with the controller not ready.
fn page(forgotten: Option<&str>) -> String {
    let bench = hunted(forgotten, "gt/drive<Enter>fmc.ready off<Enter>");
    lines(&bench).iter().map(|line| format!("{line}\n")).collect()
}

#[test]
fn the_suspects_that_are_kept_stand_in_the_order_of_the_page() {
    let bench = hunted(
        None,
        "gt/drive<Enter>fstate brake<Enter>brake lamps off<Enter>mc-a16 0,02<Enter>",
    );
    let lines = lines(&bench);
    let heading = lines
        .iter()
        .position(|line| line.starts_with("Single faults"))
        .unwrap();
    let kept = &bench.model.hunt.as_ref().unwrap().page.suspects;
    assert_eq!(kept.len(), 3);
    for (kept, shown) in kept.iter().zip(&lines[heading + 1..]) {
        let (names, share) = kept
            .strip_suffix(" %")
            .and_then(|kept| kept.rsplit_once(' '))
            .unwrap();
        assert!(
            shown.starts_with(&format!("{share:>3} %  {names}")),
            "{kept}: {shown}"
        );
    }
    assert!(kept[0].starts_with("F6 is blown"), "{kept:?}");
}

#[test]
fn a_figure_alone_is_read_where_the_page_says_to_measure_and_a_reading_refused_as_one() {
    let mut bench = hunted(None, "gt/drive<Enter>fstate brake<Enter>0.02<Enter>");
    let wrong = |bench: &Bench| {
        bench
            .model
            .hunt
            .as_ref()
            .unwrap()
            .wrong
            .clone()
            .unwrap_or_default()
    };
    assert!(
        wrong(&bench).contains("say where it was read"),
        "{}",
        wrong(&bench)
    );
    bench.model.hunt.as_mut().unwrap().editor = Default::default();
    press(&mut bench, "brake lamps off<Enter>");
    let next = bench.model.hunt.as_ref().unwrap().page.measure.unwrap();
    let next = bench.book().cavity_name(next);
    press(&mut bench, &format!("{next} lots<Enter>"));
    assert!(
        wrong(&bench).starts_with(&format!("{next}: ")) && wrong(&bench).contains("volts"),
        "{}",
        wrong(&bench)
    );
    bench.model.hunt.as_mut().unwrap().editor = Default::default();
    press(&mut bench, "0,02 V<Enter>");
    let said = bench.model.hunt.as_ref().unwrap().said.last().unwrap().clone();
    assert_eq!(said.text, format!("{next} 0,02 V"));
    assert!(lines(&bench).contains(&format!("{next} reads 0.02 V")));
}

#[test]
fn what_another_state_showed_stands_below_the_heading() {
    let bench = hunted(None, "gt/drive<Enter>fbrake: brake lamps off<Enter>");
    let lines = lines(&bench);
    let place = |words: &str| lines.iter().position(|line| line == words).unwrap();
    assert_eq!(place("in BRAKE: brake lamps: off"), place("Seen and read") + 1);
}

#[test]
fn wires_that_cannot_be_weighed_are_named() {
    let words = "cannot tell whether they would burn, missing size or class of insulation: W47";
    let page_of = page(Some("W47"));
    assert!(page_of.contains(words), "{page_of}");
    let whole = page(None);
    assert!(
        whole.contains("Rests on what units' expressions say") && !whole.contains("would burn"),
        "{whole}"
    );
}
