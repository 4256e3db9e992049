//! Tables pasted on the Face.

use crimpbook_workbook::model::*;

use crate::screen::{
    action::Where,
    testkit::{Bench, small},
};

fn on_face(cavity: &str) -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press(&format!("/{cavity}<Enter>"));
    assert_eq!(bench.model.place, Where::Face);
    bench
}

/// A connector without a face and without cavities, and a table of 121 rows as a spreadsheet copies it.
#[test]
fn a_table_of_121_rows_lands_in_one_paste_and_one_undo_takes_it_back() {
    let mut m = small::Maker::new();
    let unit = m.unit("MC", "motor controller");
    m.connector(unit, "MC-X", "", 0);
    let mut bench = Bench::over(m.book());
    bench.press("gf");
    let mut table = "Pin\tSignal\tType\tI max [mA]\n".to_owned();
    for n in 1..=121 {
        table.push_str(&format!("{n}\tSIG {n}\tlow-side output\t{n}\r\n"));
    }
    bench.paste(&table);
    assert!(
        bench.screen(80, 24).contains("121 rows"),
        "{}",
        bench.screen(80, 24)
    );
    bench
        .press("<Enter>")
        .type_text("from the manual")
        .press("<Enter>");
    assert_eq!(bench.book().all::<Cavity>().len(), 121);
    assert_eq!(bench.session.heads().len(), 1);
    assert_eq!(bench.session.heads()[0].why, "from the manual");
    bench.press("u");
    assert!(bench.book().all::<Cavity>().is_empty());
}

#[test]
fn columns_and_answers_are_changed_by_keys() {
    let mut bench = on_face("mc-a10");
    bench.paste("Pin\tName\tOld name\tWire\tColour\n10\tNEW\tOLD\tW900\tBL\n");
    insta::assert_snapshot!(bench.screen_and_styles(80, 24));
    bench.press("<Enter>");
    assert!(
        bench.screen(80, 24).contains("answer what is asked"),
        "{}",
        bench.screen(80, 24)
    );
    // The cursor begins on the question: black, then blue.
    bench.press("<Right><Right>");
    assert!(
        bench.screen(80, 24).contains("(line 2): blue"),
        "{}",
        bench.screen(80, 24)
    );
    // Name is not taken, Old name is the function: down to column 2, back to nothing, down to column 3, on to function.
    bench.press("<Down><Down><Down>");
    while !bench.screen(80, 24).contains("2 \"Name\" → not taken") {
        bench.press("<Left>");
    }
    bench.press("<Down>");
    while !bench.screen(80, 24).contains("3 \"Old name\" → function") {
        bench.press("<Right>");
    }
    bench.press("<Enter><Enter>");
    let book = bench.book();
    let ten = book.get(book.find_cavity("mc-a10").unwrap()).unwrap();
    assert_eq!(ten.name, "OLD");
    let wire = book.get(book.index().labelled::<Wire>("W900").unwrap()).unwrap();
    assert_eq!(wire.colour.map(|c| c.to_string()).as_deref(), Some("BU"));
}

#[test]
fn a_table_can_be_left_and_one_that_says_nothing_is_told() {
    let mut bench = on_face("mc-a10");
    bench.paste("Pin\tName\n10\tNEW\n").press("<Esc>");
    assert!(bench.model.over.is_empty() && bench.session.heads().is_empty());
    bench.paste("Pin\tName\n10\t\n").press("<Enter>");
    assert!(
        bench
            .screen(80, 24)
            .contains("nothing in what was pasted would change anything")
    );
    bench.press("<Esc>").paste("just words");
    assert!(
        bench.model.over.is_empty(),
        "a text without a column of numbers is no table"
    );
    for (width, height) in [(20, 5), (60, 18), (120, 40)] {
        bench.paste("Pin\tName\n10\tNEW\n");
        bench.screen(width, height);
        bench.press("<PgDn><PgUp><Esc>");
    }
}
