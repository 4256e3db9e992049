//! Settings and trials as text and styles.

use super::tests::SIZES;
use crate::screen::{
    testkit::Bench,
    theme::{Look, Scheme},
};

fn snapshots(bench: &Bench, name: &str) {
    for (width, height) in SIZES {
        insta::assert_snapshot!(
            format!("{name}_{width}x{height}"),
            bench.screen_and_styles(width, height)
        );
    }
}

#[test]
fn settings() {
    let mut bench = Bench::demo();
    bench.press("/regen_coast<Enter>");
    snapshots(&bench, "settings");
    bench.press("r");
    insta::assert_snapshot!("settings_as_left", bench.screen(80, 24));
    bench.press("rrd");
    insta::assert_snapshot!("settings_past", bench.screen(80, 24));
    bench.press("<Esc>v");
    insta::assert_snapshot!("settings_turning", bench.screen(80, 24));
    bench.press("<Esc>e");
    snapshots(&bench, "settings_form");
}

#[test]
fn trials_and_the_plot() {
    let mut bench = Bench::demo();
    bench.press("gd");
    snapshots(&bench, "trials");
    bench.press("p<Right>");
    snapshots(&bench, "trials_plot");
    bench.model.look = Look {
        scheme: Scheme::Own,
        colour: false,
        ascii: true,
    };
    insta::assert_snapshot!("trials_plot_ascii", bench.screen(80, 24));
}

#[test]
fn the_first_run() {
    let mut bench = Bench::demo();
    bench.press("gdf<Down><Down>");
    snapshots(&bench, "first_run");
    let mut bench = Bench::over(crate::screen::testkit::small::book());
    bench.press("gd");
    insta::assert_snapshot!("trials_none", bench.screen(80, 24));
    bench.press("f");
    insta::assert_snapshot!("first_run_open", bench.screen(80, 24));
}
