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
    bench.shows("121 rows");
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

/// Presses a key until these words are there, or as often as there could be choices.
fn until(bench: &mut Bench, key: &str, words: &str) {
    for _ in 0..40 {
        if !bench.screen(80, 24).contains(words) {
            bench.press(key);
        }
    }
    bench.shows(words);
}

#[test]
fn what_is_left_out_is_told_whole_below_the_cursor_and_above_it() {
    let mut bench = on_face("mc-a10");
    let mut table = "Pin\tWire\tColour\n".to_owned();
    for n in 1..=12 {
        table.push_str(&format!("{n}\tW9{n:02}\tpurplish\n"));
    }
    bench.paste(&table);
    let rows = |bench: &Bench| match bench.model.over.last() {
        Some(crate::screen::model::over::Over::Preview(preview)) => preview.rows.clone(),
        _ => Vec::new(),
    };
    let rows = rows(&bench);
    let problems = rows.iter().filter_map(|row| match row {
        crate::screen::model::preview::Row::Words(words) if words.contains("purplish") => Some(words),
        _ => None,
    });
    let problems: Vec<&String> = problems.collect();
    assert!(problems.len() >= 12, "{rows:?}");
    for _ in 0..rows.len() {
        let screen = bench.screen(60, 18);
        assert!(screen.contains('▸'), "the cursor stays in sight:\n{screen}");
        bench.press("<Down>");
    }
    let of_last = |row: &crate::screen::model::preview::Row| format!("{row:?}").contains("line 13");
    let behind = rows.len() - 1 - rows.iter().rposition(of_last).unwrap();
    bench.press(&"<Up>".repeat(behind));
    let screen = bench.screen(60, 18);
    let words = screen.replace('▸', "");
    let words: Vec<&str> = words.split_whitespace().collect();
    let last = problems.last().unwrap();
    assert!(words.join(" ").contains(last.as_str()), "{last}\n{screen}");
}

#[test]
fn columns_and_answers_are_changed_by_keys() {
    let mut bench = on_face("mc-a10");
    bench.paste("Pin\tName\tOld name\tWire\tColour\n10\tNEW\tOLD\tW900\tBL\n");
    insta::assert_snapshot!(bench.screen_and_styles(80, 24));
    bench.press("<Enter>");
    bench.shows("answer what is asked");
    // The cursor begins on the question: black, then blue.
    bench.press("<Right><Right>");
    bench.shows("(line 2): blue");
    // Name is not taken, Old name is the function: down to column 2, back to nothing, down to column 3, on to function.
    bench.press("<Down><Down><Down>");
    until(&mut bench, "<Left>", "2 \"Name\" → not taken");
    bench.press("<Down>");
    until(&mut bench, "<Right>", "3 \"Old name\" → function");
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

/// A list of wires as a spreadsheet copies it.
const WIRES: &str = "Wire\tFrom\tTo\tSize\tColour\tLength\nW900\tMC-A10\tfree\t0,5\tgreen\t2.4 m\nW901\tMC-A11\tfree\t0.75\tRD/WH\t\n";

#[test]
fn wires_are_pasted_on_the_face_and_on_other_screens() {
    for place in ["gf", "gs", "gp", "go"] {
        let mut bench = Bench::over(small::book());
        bench.press(place).paste(WIRES);
        assert_eq!(bench.model.place_of_keys(), Where::Preview, "{place}");
        bench.shows("a pasted table of wires");
        bench.press("<Enter>").type_text("as laid").press("<Enter>");
        let book = bench.book();
        let wire = book.get(book.index().labelled::<Wire>("W900").unwrap()).unwrap();
        assert_eq!(
            (wire.from, wire.area_mm2, wire.length_m),
            (
                End::Cavity(book.find_cavity("mc-a10").unwrap()),
                Some(0.5),
                Some(2.4)
            )
        );
        assert!(book.index().labelled::<Wire>("W901").is_some());
        let entries = bench.session.heads().len();
        bench.press("u");
        assert!(bench.book().index().labelled::<Wire>("W901").is_none());
        assert_eq!(bench.session.heads().len(), entries + 1, "one edit, one undo");
    }
}

#[test]
fn rows_can_be_taken_for_the_other_kind_and_empty_cells_can_clear() {
    let mut bench = on_face("mc-a10");
    bench.paste("Pin\tPage\n10\t14\n").press("<Enter><Enter>");
    bench.paste("Wire\tPin\tPage\n\t10\t\n");
    assert!(bench.screen(80, 24).contains("of cavities of MC-A"));
    // It has a column of wires, so that it can be read as one; nothing in it is a wire.
    bench.press("t");
    assert!(bench.screen(80, 24).contains("a pasted table of wires"));
    bench.press("t<Enter>");
    bench.shows("nothing in what was pasted");
    // On its heading there is nothing to clear; on the column of pages there is.
    bench.press("x");
    assert!(bench.screen(80, 24).contains("go to a column that is taken"));
    let cavity = |bench: &Bench| {
        let book = bench.book();
        book.get(book.find_cavity("mc-a10").unwrap()).unwrap().clone()
    };
    bench.press("<Down><Down>x");
    bench.shows("an empty cell cannot clear the number");
    bench.press("<Down>x");
    bench.shows("page, empty cells clear it");
    bench.press("x");
    assert!(!bench.screen(80, 24).contains("empty cells clear it"));
    let was = cavity(&bench);
    assert_eq!(was.page, "14");
    bench.press("x<Enter><Enter>");
    assert_eq!(cavity(&bench).page, "");
}

#[test]
fn too_much_is_refused_with_one_sentence_and_changes_nothing() {
    let mut bench = on_face("mc-a10");
    bench.paste(&"10\tNEW\n".repeat(100_000));
    bench.shows("more than 20000 rows; split it");
    bench.paste(&format!("Pin\tNote\n10\t{}\n", "x".repeat(10_000_000)));
    bench.shows("line 2, column 2 holds 10000000 bytes");
    assert!(bench.model.over.is_empty() && bench.session.heads().is_empty());
}

#[test]
fn rows_of_another_connector_are_taken_to_it_by_a_key() {
    let mut bench = on_face("mc-a10");
    let other = bench
        .book()
        .all::<Connector>()
        .values()
        .map(|c| c.label.clone())
        .filter(|label| label != "MC-A" && bench.book().find_cavity(&format!("{label}1")).is_some())
        .min()
        .unwrap();
    bench.paste(&format!(
        "Connector\tPin\tName\nMC-A\t10\tHERE\n{other}\t1\tTHERE\n"
    ));
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains(&format!("▸  \"{other}\" on line 3: left out ‹ ›")),
        "{screen}"
    );
    bench.press("<Right>");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains(&format!("on line 3: taken to {other}")),
        "{screen}"
    );
    assert!(screen.contains("left out: nothing"), "{screen}");
    // Once round: to this one, to all others, nowhere, and there again.
    bench.press("<Right>");
    assert!(bench.screen(80, 24).contains("on line 3: taken to MC-A"));
    bench.press("<Left><Left>");
    assert!(bench.screen(80, 24).contains("on line 3: left out"));
    bench.press("<Right><Enter><Enter>");
    let named = |bench: &Bench, cavity: &str| {
        let book = bench.book();
        book.get(book.find_cavity(cavity).unwrap()).unwrap().name.clone()
    };
    let there = format!("{other}1");
    assert_eq!(
        (named(&bench, "mc-a10"), named(&bench, &there)),
        ("HERE".into(), "THERE".into())
    );
    bench.press("u");
    assert_ne!(named(&bench, "mc-a10"), "HERE");
    assert_ne!(named(&bench, &there), "THERE");
}
