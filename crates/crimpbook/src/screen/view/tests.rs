//! Screens as text and styles, at the sizes that people have.

use std::sync::Arc;

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{End, Wire},
};

use crate::screen::{
    action::{Do, Where},
    testkit::{Bench, small},
    theme::{Look, Scheme},
    update::{diverged, stocked},
};
use ratatui::{
    buffer::Buffer,
    layout::Rect,
    style::{Color, Modifier},
};

pub const SIZES: [(u16, u16); 3] = [(80, 24), (60, 18), (120, 40)];

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
    let mut bench = bench();
    bench.press("<Down><Down><Down>");
    snapshots(&bench, "overview_finding");
    bench.press("b");
    snapshots(&bench, "overview_brief");
}

#[test]
fn another_copy_beside_this_one() {
    let mut bench = diverged();
    bench.press("glmother<Enter>t");
    snapshots(&bench, "merging");
}

#[test]
fn missing_facts_being_answered() {
    let mut bench = bench();
    bench.press("f<Tab>");
    bench.type_text("2 V");
    bench.press("<Enter>");
    snapshots(&bench, "asking");
}

#[test]
fn log_and_an_entry_of_it() {
    let mut bench = bench();
    bench.press("gl");
    snapshots(&bench, "log");
}

#[test]
fn face_from_both_sides() {
    let mut bench = bench();
    bench.press("/mc-a4<Enter>");
    snapshots(&bench, "face");
    bench.press("f<Right><Right>v<Right>");
    insta::assert_snapshot!("face_flipped", bench.screen_and_styles(80, 24));
}

#[test]
fn tests_with_a_meter() {
    let mut bench = Bench::demo();
    bench.press("gm");
    snapshots(&bench, "tests");
    // A reading as expected, one that is not, one beside them, and a link that stands.
    bench.press("z0.2<Enter>mmeter 1<Enter>0.3<Enter>9<Enter>strand outside the barrel, crimped anew<Enter>");
    bench.press("tbridge<Enter><Enter>G4<Enter>to see the brake lamp<Enter><Up>");
    snapshots(&bench, "tests_read");
    bench.press("sdrive<Enter>");
    snapshots(&bench, "tests_live");
    bench.press("12");
    insta::assert_snapshot!("tests_typing", bench.screen_and_styles(80, 24));
}

#[test]
fn parts_and_a_form() {
    let mut bench = bench();
    bench.press("gp/w44<Enter>");
    snapshots(&bench, "parts");
    bench.press("e<Down><Down><Down>");
    snapshots(&bench, "form_picked");
    bench.press("MC-A");
    snapshots(&bench, "form");
}

#[test]
fn the_shelf() {
    let mut bench = stocked();
    for (name, back) in [("numbers", 0), ("house_colours", 1), ("stock", 1), ("drums", 1)] {
        for _ in 0..back {
            bench.press("<Left>");
        }
        snapshots(&bench, &format!("shelf_{name}"));
    }
    bench.press("a");
    insta::assert_snapshot!("shelf_drum_form", bench.screen_and_styles(80, 24));
}

#[test]
fn a_ring_and_big_cavities() {
    let mut maker = small::Maker::new();
    let unit = maker.unit("CI", "charge inlet");
    maker.connector(
        unit,
        "CI-A",
        "ring 7 around 1, from top, clockwise, mark at 1, seen from mating side",
        8,
    );
    maker.connector(
        unit,
        "CI-B",
        "rows 6 6 6 6, big 16 18, from upper left, gap after 3, mark at 1, seen from wire side",
        24,
    );
    let mut bench = Bench::over(maker.book());
    bench.press("gf");
    insta::assert_snapshot!("face_ring", bench.screen(80, 24));
    bench.press("]");
    insta::assert_snapshot!("face_big", bench.screen(80, 24));
    insta::assert_snapshot!("face_big_narrow", bench.screen(60, 18));
}

#[test]
fn sources() {
    let mut bench = bench();
    bench.press("gs<Down>");
    snapshots(&bench, "sources");
}

#[test]
fn build_in_large_type() {
    let mut bench = bench();
    bench.press("gbo44<Enter>");
    insta::assert_snapshot!("build_cut", bench.screen(80, 24));
    bench.press("<Space><Space><Space><Space><Space><Space><Space><Space><Space>");
    snapshots(&bench, "build");
}

#[test]
fn build_in_passes() {
    let mut bench = bench();
    bench.press("gb44<Enter>");
    snapshots(&bench, "build_pass_cut");
    bench.press("f").type_text("insert").press("<Enter>44<Enter>");
    snapshots(&bench, "build_pass_insert");
}

#[test]
fn the_demonstration_on_every_screen() {
    let mut bench = Bench::demo();
    for (keys, name) in [
        ("", "overview"),
        ("/mc-a16<Enter>", "face"),
        ("gb44<Enter>", "build"),
        ("gs<Down><Down><Down>", "sources"),
        ("gl", "log"),
        ("gp/w76<Enter>", "parts"),
    ] {
        bench.press(keys);
        insta::assert_snapshot!(format!("demo_{name}_80x24"), bench.screen(80, 24));
        insta::assert_snapshot!(format!("demo_{name}_120x40"), bench.screen(120, 40));
    }
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
fn every_view(overs: &[&str]) -> Vec<Bench> {
    let mut all = Vec::new();
    for place in Where::ALL.iter().filter(|place| place.is_screen()) {
        for over in overs {
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
    for bench in every_view(&["", "?", "e", "R", "f"]) {
        for width in 0..=40 {
            for height in 0..=20 {
                let buffer = bench.buffer(width, height);
                assert_eq!(buffer.area, Rect::new(0, 0, width, height));
            }
        }
    }
}

#[test]
fn nothing_panics_at_the_sizes_people_have() {
    for bench in every_view(&["", "g", "/w", "e", "a"]) {
        for width in (36..=140).step_by(13) {
            for height in (8..=50).step_by(7) {
                bench.buffer(width, height);
            }
        }
    }
}

#[test]
fn while_nothing_happens_nothing_is_drawn() {
    assert_eq!(Bench::over(small::book()).idle(200), 1, "the first frame alone");
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
    for mut bench in every_view(&["", "g", "/w", "?", "4", "d", "e", "a", "wx<Esc>", "R", "D", "f"]) {
        for scheme in Scheme::ALL {
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

/// Rules are proven beside the checks: what they say comes among the findings, and the cursor stays on its row.
#[test]
fn what_the_proof_says_comes_by_itself_and_leads_to_its_rule() {
    use crate::screen::{
        computed::Computed,
        effect::Msg,
        model::overview::{row_at, rows},
        update::update,
    };
    let mut bench = Bench::demo();
    let computed = Computed::of(bench.model.book.clone());
    let proven = computed.proven().unwrap();
    bench.model.findings.generation = 7;
    update(&mut bench.model, Msg::Checked(7, computed.into()));
    let screen = bench.screen(120, 40);
    assert!(screen.contains("12 rules are not proven yet"), "{screen}");
    let at = rows(&bench.model)
        .iter()
        .position(|row| row.words.contains("K2 coil"));
    bench.model.overview.at = at.unwrap();
    update(&mut bench.model, Msg::Checked(7, proven.into()));
    assert!(row_at(&bench.model).unwrap().words.contains("K2 coil"));
    assert!(!bench.screen(120, 40).contains("not proven"));
    let at = rows(&bench.model)
        .iter()
        .position(|row| row.words.starts_with("I12 ("));
    bench.model.overview.at = at.unwrap();
    for key in crate::screen::testkit::keys("<Enter>") {
        update(&mut bench.model, Msg::Input(crate::screen::keys::Input::Key(key)));
    }
    let screen = bench.screen(80, 24);
    assert!(screen.contains("▸ I12") || screen.contains("▸I12"), "{screen}");
}

/// After an edit of a large book the list comes before its figures, which are said to be on their way.
#[test]
fn the_list_at_once_is_said_to_be_checked_again() {
    use crate::screen::{
        computed::Computed,
        effect::{Msg, Then},
        model::overview::{row_at, rows},
        update::update,
    };
    let mut bench = Bench::demo();
    let before = Computed::of(bench.model.book.clone());
    bench.model.findings.generation = 7;
    update(&mut bench.model, Msg::Checked(7, before.into()));
    let before = bench.model.findings.computed.clone();
    let book = &bench.model.book;
    let w45 = book.index().labelled::<Wire>("W45").unwrap();
    let wire = book.get(w45).unwrap().clone();
    let loose = Wire {
        to: End::Free,
        length_m: Some(9.0),
        ..wire.clone()
    };
    let edit = Edit::design("loose", vec![Change::replace(wire, loose)]).because("tried");
    let kept = bench.session.edit(edit).unwrap();
    update(&mut bench.model, Msg::Kept(kept, Then::default()));
    let generation = bench.model.findings.generation;
    let book = Arc::clone(&bench.model.book);
    let see = before.as_ref().unwrap().snapshot.as_ref().unwrap();
    let see = see.next(Arc::clone(&book));
    let listed = Computed::at_once(before.as_deref(), &see).unwrap();
    update(&mut bench.model, Msg::Listed(generation, listed.into()));
    let screen = bench.screen(120, 40);
    assert!(
        screen.contains("checking again") && screen.contains("W45 leads from BP-A4 to nowhere yet"),
        "{screen}"
    );
    assert!(
        bench.model.findings.current().is_none(),
        "figures are of the book before"
    );
    let at = rows(&bench.model)
        .iter()
        .position(|row| row.words.contains("K2 coil"));
    bench.model.overview.at = at.unwrap();
    let whole = Computed::after(before.as_deref(), book, drop, &|| true);
    update(&mut bench.model, Msg::Checked(generation, whole.into()));
    assert!(!bench.screen(120, 40).contains("checking again"));
    assert!(
        row_at(&bench.model).unwrap().words.contains("K2 coil"),
        "the cursor stays"
    );
}

#[test]
fn a_wire_and_a_cavity_show_what_was_computed() {
    use crate::screen::{computed::Computed, effect::Msg, update::update};
    let mut bench = Bench::demo();
    let computed = Computed::of(bench.model.book.clone());
    bench.model.findings.generation = 7;
    update(&mut bench.model, Msg::Checked(7, computed.into()));
    let wire = bench.book().index().labelled::<Wire>("W76").unwrap();
    let said = super::card::computed_of_wire(&bench.model, wire).join("; ");
    assert!(said.contains("protected by F4, 15 A"), "{said}");
    assert!(
        said.contains("carries up to 9") && said.contains("drops "),
        "{said}"
    );
    let keep_alive = bench.book().find_cavity("MC-A1").unwrap();
    let volts = super::card::expected_volts(&bench.model, keep_alive);
    assert!(volts.contains("OFF 12."), "{volts}");
    assert!(
        bench.screen(80, 24).contains("F6 10 A"),
        "the checks' own words are on the Overview"
    );
}
