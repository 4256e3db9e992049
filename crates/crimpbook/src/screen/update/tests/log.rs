//! Comparisons on the Log.

use super::*;

#[test]
fn two_points_of_the_log_are_compared() {
    let mut bench = on_face("mc-a10");
    bench
        .press("db")
        .type_text("spare")
        .press("<Enter>")
        .press("<Left>dr")
        .type_text("pump later")
        .press("<Enter>");
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare")
        .press("<Enter>");
    // The newest entry is on top: from the first entry to the last, only what stays of the changes after it.
    bench.press("gl<End>d<Home>d");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("what changed") && screen.contains("cavity MC-A11"),
        "{screen}"
    );
    assert!(
        screen.contains("blank → reserved"),
        "MC-A10 was blank after the first entry: {screen}"
    );
    bench.press("<Esc>");
    assert!(bench.model.log.detail.is_none());
}

#[test]
fn the_log_compares_with_another_workbook() {
    let mut bench = Bench::over(small::book());
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare for now")
        .press("<Enter>glw")
        .type_text("nowhere")
        .press("<Enter>");
    assert!(bench.screen(80, 24).contains("nowhere is not there"));
    bench.press("<Esc>yw").type_text("small").press("<Enter>");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("from small to this workbook") && screen.contains("cavity MC-A11"),
        "{screen}"
    );
    assert!(screen.contains("→ blank"), "{screen}");
    bench.press("<Esc>");
    assert!(bench.model.log.detail.is_none());
}

#[test]
fn an_entry_is_left_for_the_list_by_esc_and_by_the_key_that_goes_back() {
    for key in ["<Esc>", "<Back>"] {
        let mut bench = Bench::demo();
        bench.press("gf").press("gl<Enter>");
        assert!(bench.model.log.detail.is_some());
        bench.shows("Esc leaves it");
        bench.press(key);
        assert!(bench.model.log.detail.is_none() && bench.model.place == Where::Log);
    }
}

#[test]
fn a_comparison_on_the_log_has_its_whys() {
    let mut bench = Bench::over(small::book());
    bench
        .press("/mc-a10<Enter>db")
        .type_text("first")
        .press("<Enter>");
    bench
        .press("/mc-a11<Enter>db")
        .type_text("spare for now")
        .press("<Enter>gl<End>d<Home>d");
    let screen = bench.screen(80, 24);
    assert!(
        screen.contains("why") && screen.contains("spare for now ("),
        "{screen}"
    );
}
