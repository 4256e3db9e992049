//! Where zones lie, and what is written for service, by form.

use crimpbook_workbook::model::{About, PlanPlace, Zone};

use super::{bench, writing::fill};
use crate::screen::testkit::Bench;

fn zone(bench: &Bench) -> Option<Zone> {
    bench.book().all::<Zone>().values().next().cloned()
}

#[test]
fn a_zone_takes_a_place_on_the_plan_whole_or_not_at_all() {
    let mut bench = bench();
    bench.press("gp");
    bench.model.parts.kind = 0;
    bench.press("<Right><Right><Right><Right><Right><Right>a");
    fill(&mut bench, &[("label", "cabin"), ("along", "35 %")]);
    bench.press("<PgDn>");
    assert!(zone(&bench).is_none(), "half a place was taken");
    bench.shows("how far from the left");
    fill(&mut bench, &[("across", "150 %")]);
    bench.press("<PgDn>");
    assert!(bench.screen(80, 24).contains("0 to 100 %"));
    fill(&mut bench, &[("across", "50 %")]);
    bench.press("<PgDn>");
    let place = PlanPlace {
        from_front_pct: 35.0,
        from_left_pct: 50.0,
    };
    assert_eq!(zone(&bench).and_then(|z| z.plan), Some(place));
    bench.press("u");
    assert!(zone(&bench).is_none());
}

#[test]
fn the_service_notes_are_written_by_form() {
    let mut bench = bench();
    bench.press("gp");
    bench.model.parts.kind = 0;
    bench.press("<Left><Enter>");
    let notes = [
        ("disconnect", "beneath the seat"),
        ("towing", "on a lorry"),
        ("flat", "feed the posts"),
        ("lamps", "red: stop"),
        ("spares", "two fuses"),
        ("quirks", "clicks at night"),
        ("papers", "in the box"),
    ];
    fill(&mut bench, &notes);
    bench.press("<PgDn>");
    let about = bench.book().all::<About>().values().next().unwrap().clone();
    let told = about.service.told().map(|(_, note)| note);
    assert_eq!(told, notes.map(|(_, note)| note));
}
