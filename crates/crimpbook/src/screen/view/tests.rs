//! Screens as text and styles, at the sizes that people have.

use crate::screen::{
    action::{Do, Where},
    testkit::{Bench, small},
    theme::{Look, Scheme},
};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Color, Modifier},
};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 18), (120, 40)];

fn snapshots(bench: &Bench, name: &str) {
    for (width, height) in SIZES {
        insta::assert_snapshot!(
            format!("{name}_{width}x{height}"),
            bench.screen_and_styles(width, height)
        );
    }
}

/// A bench whose checks have run.
fn bench() -> Bench {
    let mut bench = Bench::over(small::book());
    bench.press("");
    bench
}

#[test]
fn overview() {
    snapshots(&bench(), "overview");
}

#[test]
fn log_and_an_entry_of_it() {
    let mut bench = bench();
    bench.press("gl");
    snapshots(&bench, "log");
}

#[test]
fn finder_menu_and_help() {
    let mut bench = bench();
    bench.press("44");
    insta::assert_snapshot!(bench.screen(80, 24));
    bench.press("<Esc>g");
    insta::assert_snapshot!(bench.screen(80, 24));
    bench.press("<Esc>?");
    insta::assert_snapshot!(bench.screen(80, 24));
}

/// Every screen, and what can lie over it.
fn every_view() -> Vec<Bench> {
    let mut all = Vec::new();
    for place in Where::ALL.iter().filter(|place| place.is_screen()) {
        for over in ["", "g", "/w", "?", "4"] {
            let mut bench = bench();
            crate::screen::update::go_to(&mut bench.model, *place);
            bench.press(over);
            all.push(bench);
        }
    }
    all
}

#[test]
fn nothing_panics_at_any_size() {
    for bench in every_view() {
        for width in 0..=40 {
            for height in 0..=20 {
                let buffer = bench.buffer(width, height);
                assert_eq!(buffer.area, Rect::new(0, 0, width, height));
            }
        }
    }
}

#[test]
fn a_window_too_small_says_so_and_how_to_leave() {
    let bench = bench();
    let quit = crate::screen::action::key_of(Do::Quit);
    for (width, height) in [(30, 20), (60, 5), (20, 3)] {
        let text = bench.screen(width, height);
        assert!(
            text.contains(&format!("{quit} quits")),
            "{width}x{height}: {text}"
        );
    }
}

fn focused(buffer: &Buffer) -> usize {
    buffer
        .content
        .iter()
        .filter(|cell| cell.modifier.contains(Modifier::REVERSED))
        .count()
}

#[test]
fn without_colours_the_cursor_still_differs_by_a_modifier() {
    for mut bench in every_view() {
        for scheme in [Scheme::Own, Scheme::Dark, Scheme::Light] {
            bench.model.look = Look {
                scheme,
                colour: false,
                ascii: true,
            };
            let buffer = bench.buffer(80, 24);
            assert!(focused(&buffer) > 0, "{:?}", bench.model.place);
            assert!(
                buffer
                    .content
                    .iter()
                    .all(|c| c.fg == Color::Reset && c.bg == Color::Reset),
                "no colour is set"
            );
            assert!(buffer.content.iter().all(|c| c.symbol().is_ascii()), "only ASCII");
        }
    }
}
