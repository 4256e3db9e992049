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

/// The demo in drive with the controller not ready, one wire's size forgotten; every question is answered at once.
fn page(forgotten: Option<&str>) -> String {
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
    let model = &mut bench.model;
    let computed = Arc::new(Computed::of(Arc::clone(&model.book)));
    let mut happens = vec![Msg::Checked(model.findings.generation, computed)];
    let typed = keys("gt/drive<Enter>fmc.ready off<Enter>");
    happens.extend(typed.into_iter().map(|key| Msg::Input(Input::Key(key))));
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
    let page = Arc::clone(&model.hunt.as_ref().unwrap().page);
    page.lines
        .iter()
        .map(|line| format!("{}\n", line.words))
        .collect()
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
