//! Every screen, and what can lie over one, in every palette and at every size.
//!
//! A snapshot has a line a palette: how many cells have which style, and a digest of where. The text itself and a full map of the
//! terminal's own palette are the snapshots of the screens.

use std::{collections::BTreeMap, fmt::Write as _};

use ratatui::{
    buffer::Buffer,
    style::{Color, Modifier, Style},
};

use super::tests::SIZES;
use crate::screen::{
    action::Where,
    testkit::{Bench, small, text_of},
    theme::{Look, Scheme},
    update::{diverged, go_to},
};

/// The palettes by name.
fn palettes() -> [(&'static str, Look); 5] {
    let look = |scheme, colour, ascii| Look {
        scheme,
        colour,
        ascii,
    };
    [
        ("own", look(Scheme::Own, true, false)),
        ("dark", look(Scheme::Dark, true, false)),
        ("light", look(Scheme::Light, true, false)),
        ("sunlight", look(Scheme::Sunlight, true, false)),
        ("no colour", look(Scheme::Own, false, true)),
    ]
}

/// What can lie over a screen: name, where it is opened, its keys.
const OVERS: [(&str, Where, &str); 12] = [
    ("menu", Where::Overview, "g"),
    ("finder", Where::Overview, "/w"),
    ("keys", Where::Face, "?"),
    ("decision", Where::Face, "<Right>d"),
    ("line", Where::Face, "<Right>dbwhy"),
    ("leaving", Where::Parts, "axx<Esc>"),
    ("form", Where::Parts, "e"),
    ("filter", Where::Log, "F"),
    ("missing facts", Where::Overview, "f"),
    ("calculators", Where::Overview, "="),
    ("reading", Where::Tests, "1"),
    ("removing", Where::Parts, "/w44<Enter>D"),
];

/// Every screen and everything that can lie over one, with its name.
fn views() -> Vec<(String, Bench)> {
    let mut all = Vec::new();
    let at = |place: Where, keys: &str| {
        let mut bench = Bench::over(small::book());
        bench.press("");
        go_to(&mut bench.model, place);
        bench.press(keys);
        bench
    };
    for place in Where::ALL.iter().filter(|place| place.is_screen()) {
        all.push((place.words().to_lowercase(), at(*place, "")));
    }
    for (name, place, keys) in OVERS {
        let bench = at(place, keys);
        assert!(!bench.model.over.is_empty(), "{name} does not open");
        all.push((name.to_owned(), bench));
    }
    let mut bench = at(Where::Face, "");
    bench.paste("Pin\tName\n1\tKEY\n2\tPUMP\n");
    all.push(("pasted table".to_owned(), bench));
    let mut bench = diverged();
    bench.press("glmother<Enter>t");
    all.push(("merging".to_owned(), bench));
    all
}

/// A style in words.
fn words(style: Style) -> String {
    let mut words = String::new();
    for (before, colour) in [("", style.fg), ("on ", style.bg)] {
        if let Some(colour) = colour.filter(|c| *c != Color::Reset) {
            let _ = write!(words, "{before}{} ", colour.to_string().to_lowercase());
        }
    }
    let set = style.add_modifier.iter_names();
    for (name, _) in set.filter(|(_, m)| *m != Modifier::empty()) {
        let _ = write!(words, "{} ", name.to_lowercase());
    }
    words.trim_end().to_owned()
}

/// How many cells have which style, and a digest of which cells.
fn digest(buffer: &Buffer, with_text: bool) -> String {
    let mut cells: BTreeMap<String, usize> = BTreeMap::new();
    // FNV-1a: the same on every machine.
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let mut take = |bytes: &[u8]| {
        for byte in bytes {
            hash = (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    };
    for cell in &buffer.content {
        let style = words(cell.style());
        take(style.as_bytes());
        take(if with_text { cell.symbol().as_bytes() } else { b"|" });
        *cells.entry(style).or_default() += 1;
    }
    let counted: Vec<String> = cells
        .iter()
        .filter(|(style, _)| !style.is_empty())
        .map(|(style, cells)| format!("{cells} {style}"))
        .collect();
    format!("{hash:016x}  {}", counted.join(", "))
}

#[test]
fn every_view_in_every_palette_at_three_sizes() {
    for (name, mut bench) in views() {
        let mut told = String::new();
        for (width, height) in SIZES {
            let _ = writeln!(told, "{width}x{height}");
            for (palette, look) in palettes() {
                bench.model.look = look;
                let buffer = bench.buffer(width, height);
                let _ = writeln!(told, "  {palette:<9}  {}", digest(&buffer, look.ascii));
            }
        }
        insta::assert_snapshot!(format!("palettes_{}", name.replace(' ', "_")), told);
    }
}

#[test]
fn a_palette_changes_no_word_and_its_own_colours_only() {
    for (name, mut bench) in views() {
        let mut texts = Vec::new();
        for (palette, look) in palettes() {
            bench.model.look = look;
            let buffer = bench.buffer(80, 24);
            let colours = buffer.content.iter().flat_map(|cell| [cell.fg, cell.bg]);
            // Sixteen named colours: every terminal has them, whatever else it can.
            for colour in colours {
                assert!(
                    !matches!(colour, Color::Rgb(..) | Color::Indexed(_)),
                    "{name} in {palette}: {colour}"
                );
                assert!(
                    look.colour || colour == Color::Reset,
                    "{name} in {palette}: {colour}"
                );
            }
            let ground = |cell: &ratatui::buffer::Cell| cell.bg != Color::Reset;
            let on_ground = look.colour && look.scheme != Scheme::Own;
            assert_eq!(
                buffer.content.iter().all(ground),
                on_ground,
                "{name} in {palette}"
            );
            assert!(
                buffer
                    .content
                    .iter()
                    .any(|c| c.modifier.contains(Modifier::REVERSED)),
                "the cursor is seen on {name} in {palette}"
            );
            if !look.ascii {
                texts.push(text_of(&buffer));
            }
        }
        texts.dedup();
        assert_eq!(texts.len(), 1, "{name}");
    }
}

#[test]
fn every_view_is_drawn_at_every_size_from_40_by_12_to_300_by_80() {
    for (place, (name, bench)) in (0u16..).zip(views()) {
        let corners = [(40, 12), (40, 80), (300, 12), (300, 80), (80, 24), (60, 18)];
        // Each view at sizes of its own, so that together they cover the whole range.
        let between = (0..40u16).map(|n| (40 + (n * 37 + place * 11) % 261, 12 + (n * 23 + place * 7) % 69));
        for (width, height) in corners.into_iter().chain(between) {
            let text = bench.screen(width, height);
            assert_eq!(
                text.lines().count(),
                usize::from(height),
                "{name} at {width}x{height}"
            );
            assert!(
                text.contains(bench.model.place.words()),
                "{name} at {width}x{height} says where one is:\n{text}"
            );
        }
    }
}

#[test]
fn wide_and_combining_characters_keep_the_columns_in_line() {
    let mut maker = small::Maker::new();
    for (label, name) in [
        ("AB", "plain"),
        ("漢字", "wide"),
        ("e\u{301}e\u{301}", "combining"),
        ("👩‍🔧", "joined"),
    ] {
        maker.unit(label, name);
    }
    let mut bench = Bench::over(maker.book());
    bench.press("gp");
    let buffer = bench.buffer(80, 24);
    let columns: Vec<Option<u16>> = ["plain", "wide", "combining", "joined"]
        .iter()
        .map(|word| {
            let line_has = |y: u16, x: u16| {
                let letters = word.chars().zip(x..);
                letters
                    .into_iter()
                    .all(|(letter, x)| x < 80 && buffer[(x, y)].symbol() == letter.to_string())
            };
            (0..24u16).find_map(|y| (0..80u16).find(|x| line_has(y, *x)))
        })
        .collect();
    assert!(
        columns[0].is_some() && columns.iter().all(|at| *at == columns[0]),
        "{columns:?}"
    );
    // Typed into a form, the cursor stands behind what was typed, in columns.
    bench.press("a").type_text("漢e\u{301}");
    let area = ratatui::layout::Rect::new(0, 0, 80, 24);
    let mut buffer = Buffer::empty(area);
    let cursor = crate::screen::view::draw(&bench.model, area, &mut buffer).unwrap();
    assert_eq!(buffer[(cursor.x - 1, cursor.y)].symbol(), "e\u{301}");
    assert_eq!(buffer[(cursor.x - 3, cursor.y)].symbol(), "漢");
}
