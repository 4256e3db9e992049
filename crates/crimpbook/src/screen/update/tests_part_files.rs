//! Units saved as part files, and used, by keys.

use crimpbook_workbook::{
    book::natural,
    model::{Cavity, Connector, Part, Unit},
};

use crate::screen::testkit::{Bench, small};

fn at_face() -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press("/mc-a10<Enter>");
    bench
}

#[test]
fn a_generic_part_is_used_by_its_number_and_one_undo_takes_it_back() {
    let mut bench = at_face();
    let before = bench.book().tables().clone();
    bench.press("p");
    bench.shows("1 relay, 2 potentiometer, 3 dual-track-pedal");
    bench.press("1<Enter>");
    let screen = bench.screen(80, 24);
    assert!(screen.contains("unit called here?"), "{screen}");
    bench.press("<Enter>");
    let book = bench.book();
    let unit = book.index().labelled::<Unit>("KX").unwrap();
    assert!(book.all::<Part>().values().filter(|p| p.unit == unit).count() >= 2);
    assert!(bench.model.over.is_empty());
    let shown = crate::screen::model::face::connector(&bench.model).unwrap();
    assert_eq!(shown.unit, unit, "its connector is shown");
    // The same once more has the next label on offer; a taken one is refused where it is typed.
    bench.press("prel<Enter>");
    bench.shows("› KX1");
    bench.press("<Back>").press("<Enter>");
    bench.shows("a unit is called KX already");
    bench.press("<Esc>y<Esc>u");
    assert!(*bench.book().tables() == before, "one undo took it back");
}

#[test]
fn a_unit_is_saved_from_face_sources_and_parts_and_used_again() {
    for (place, name) in [("gf", "one.json"), ("gs", "two.json"), ("gp", "three.json")] {
        let mut bench = at_face();
        bench.press(place).press("P");
        let screen = bench.screen(80, 24);
        assert!(
            screen.contains("as a part file; under which name?"),
            "{place}: {screen}"
        );
        let unit = crate::screen::model::part_files::unit_here(&bench.model).unwrap();
        let label = bench.book().label_of(unit);
        for _ in 0..30 {
            bench.press("<Back>");
        }
        bench
            .type_text(name)
            .press("<Enter>")
            .type_text("from its manual")
            .press("<Enter>");
        assert!(
            bench.screen(80, 24).contains(&format!("wrote {name}")),
            "{}",
            bench.screen(80, 24)
        );
        assert!(bench.files[name].contains("from its manual"));
        assert!(bench.session.heads().is_empty(), "saving changes nothing");
        bench.press("p").type_text(name).press("<Enter>");
        for _ in 0..30 {
            bench.press("<Back>");
        }
        bench.type_text("NEW1").press("<Enter>");
        let numbers = |label: &str| {
            let book = bench.book();
            let unit = book.index().labelled::<Unit>(label).unwrap();
            let of = |c: &&Cavity| book.get::<Connector>(c.connector).is_some_and(|c| c.unit == unit);
            let mut all: Vec<String> = book
                .all::<Cavity>()
                .values()
                .filter(of)
                .map(|c| c.number.clone())
                .collect();
            all.sort_by_cached_key(|n| natural(n));
            all
        };
        assert_eq!(numbers("NEW1"), numbers(&label), "{place}");
    }
}

#[test]
fn what_is_no_part_file_is_said_where_it_was_typed() {
    let mut bench = at_face();
    bench.files.insert("x.json".to_owned(), "{}".to_owned());
    bench.press("p").type_text("none.json").press("<Enter>");
    assert!(bench.screen(80, 24).contains("none.json is not there"));
    for _ in 0..9 {
        bench.press("<Back>");
    }
    bench.type_text("x.json").press("<Enter>");
    bench.shows("this is no part file");
    // What is there already stays.
    bench.press("<Esc>y<Esc>P");
    for _ in 0..30 {
        bench.press("<Back>");
    }
    bench.type_text("x.json").press("<Enter><Enter>");
    bench.shows("x.json is there already");
    assert_eq!(bench.files["x.json"], "{}");
    // Back at the name, another one is typed.
    bench.press("<Esc>");
    for _ in 0..30 {
        bench.press("<Back>");
    }
    bench.type_text("y.json").press("<Enter><Enter>");
    bench.shows("wrote y.json");
    assert!(bench.model.over.is_empty());
    assert!(bench.session.heads().is_empty());
}
