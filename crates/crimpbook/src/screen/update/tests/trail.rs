//! Back to where one was, and forward again.

use crate::screen::{action::Where, model::face, testkit::Bench};

fn place(bench: &Bench) -> (Where, String) {
    let cavity = face::cavity(&bench.model).map(|c| bench.book().cavity_name(c.id));
    (bench.model.place, cavity.unwrap_or_default())
}

#[test]
fn back_leads_to_where_one_was_and_forward_to_where_one_came_from() {
    let mut bench = Bench::demo();
    assert!(
        bench
            .press("<Back>")
            .screen(80, 24)
            .contains("you have not gone anywhere yet")
    );
    // By the menu, by the finder to a cavity, by the finder to another one on the same screen.
    bench.press("gf");
    let first = place(&bench);
    bench.press("/MC-A19<Enter>");
    let second = place(&bench);
    bench.press("/CH-A8<Enter>");
    let third = place(&bench);
    assert_eq!((second.1.as_str(), third.1.as_str()), ("MC-A19", "CH-A8"));
    bench.press("<Back>");
    assert_eq!(place(&bench), second);
    bench.press("<Back>");
    assert_eq!(place(&bench), first);
    bench.press("<Back>");
    assert_eq!(bench.model.place, Where::Overview);
    bench.press(">>");
    assert_eq!(place(&bench), second);
    // Going elsewhere from here leaves what lay ahead.
    bench.press("gl<Back>");
    assert_eq!(place(&bench), second);
    bench.press(">");
    assert_eq!(bench.model.place, Where::Log);
    assert!(bench.press(">").screen(80, 24).contains("you have not gone back"));
}

/// Moving the cursor, opening a form and editing are no ways anywhere.
#[test]
fn what_is_no_way_is_not_gone_back() {
    let mut bench = Bench::demo();
    bench.press("gf<Down><Down>?<Esc>d<Esc>");
    bench.press("<Back>");
    assert_eq!(bench.model.place, Where::Overview);
}

#[test]
fn a_key_that_does_nothing_says_so() {
    let mut bench = Bench::demo();
    assert!(
        bench
            .press("Z")
            .screen(80, 24)
            .contains("Z does nothing here; ? shows the keys")
    );
}
