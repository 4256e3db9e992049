//! Text that means harm.

use crimpbook_workbook::model::Cavity;
use proptest::prelude::*;

use super::{after, cavities, with_empty_connector};
use crate::{
    csv::Cell,
    import::{Options, Text, What, plan},
    sample, text,
};

/// Texts as they may stand in a cell: markup, formulas, marks that turn text, controls, and anything else.
fn any_text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("<script>alert(1)</script>".to_owned()),
        Just("=cmd|' /C calc'!A0".to_owned()),
        Just("\u{202e}44W".to_owned()),
        Just("\u{1b}]0;x\u{7}\u{1b}[2J".to_owned()),
        Just("@SUM(A1)".to_owned()),
        Just("'".to_owned()),
        Just("\"".to_owned()),
        Just("; DROP TABLE wire; --".to_owned()),
        Just("\u{200b}\u{feff}\0".to_owned()),
        Just("x".repeat(10_000)),
        "\\PC{0,12}",
        ".{0,6}",
    ];
    prop::collection::vec(piece, 1..4).prop_map(|pieces| pieces.concat())
}

/// A cell as a well-behaved spreadsheet writes it.
fn quoted(cell: &str) -> String {
    format!("\"{}\"", cell.replace('"', "\"\""))
}

/// What a text is once everything that acts and means nothing is gone.
fn meaning(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control() && !c.is_whitespace() && *c != '\u{feff}')
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_text_comes_in_with_its_meaning_and_goes_out_harmless(note in any_text()) {
        let (book, connector) = with_empty_connector();
        let table = format!("Pin\tFunction\tNote\n1\tA\t{}\n", quoted(&note));
        let plan = cavities(&book, "MC-X", &table, &Options::default()).unwrap();
        let after = after(&book, &plan);
        let cavity: &Cavity = after.cavities_of(connector)[0];
        let kept = &cavity.note;
        prop_assert!(!kept.chars().any(char::is_control), "{kept:?}");
        let said = meaning(&note);
        let nothing = ["-", "--", "–", "—", "…", "n/a", "N/A"].contains(&said.as_str());
        let ditto = super::super::cell::is_ditto(note.trim());
        if plan.problems.iter().any(|p| p.sentence.contains("10000")) {
            prop_assert!(kept.is_empty() && note.len() > 10_000);
        } else if !nothing && !ditto {
            let meant = meaning(kept);
            // An apostrophe that only kept a spreadsheet from running the text is taken away.
            prop_assert!(meant == said || said.strip_prefix('\'') == Some(meant.as_str()), "{said:?} {meant:?}");
        }
        // Out as CSV and in again: the same, but that marks which turn text are spelt out by then.
        let cell = Cell::text(kept).written();
        let back = super::super::cell::clean(&cell).text;
        prop_assert_eq!(back, text::shown(kept));
        // Out on the page: nothing of it acts.
        let page = crate::markup::el("p").text(kept).render();
        let acts = page.contains("<script") || page.contains(['\u{202e}', '\u{1b}']);
        prop_assert!(!acts, "{}", page);
        // On the preview.
        for block in [plan.changes_block(&book), plan.problems_block(), plan.columns_block(), plan.passed_block()] {
            for line in block.lines {
                prop_assert!(!line.chars().any(text::acts_unseen), "{line:?}");
            }
        }
    }

    #[test]
    fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..200), text in any_text(), wires in any::<bool>()) {
        let book = sample::book();
        let what = if wires { What::Wires } else { What::Cavities { connector: book.index().labelled("MC-A") } };
        let mut ids = crimpbook_workbook::model::IdMaker::new(1);
        let table = format!("Pin\tWire\tColour\tSize\tFrom\tTo\n1\t{text}\n{text}\t2\n");
        for bytes in [bytes.as_slice(), table.as_bytes()] {
            if let Ok(read) = Text::from_bytes(bytes)
                && let Ok(plan) = plan(&book, &mut ids, &read, what, &Options::default())
                && let Some(edit) = plan.edit
            {
                prop_assert!(book.prepare(edit, sample::stamp(9)).is_ok(), "what a plan gives goes through the door");
            }
        }
    }
}
