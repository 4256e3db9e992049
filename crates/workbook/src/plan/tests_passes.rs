use super::{tests::bench, *};
use crate::{Book, edit::testing::apply, model::*};

fn said(book: &Book, piece: Piece) -> String {
    let steps = of_piece(book, piece);
    let words: Vec<String> = steps
        .iter()
        .map(|s| format!("{} {}", book.built_name(s.of), s.step.words()))
        .collect();
    format!("{}: {}", piece.pass.words(), words.join(", "))
}

#[test]
fn all_is_cut_then_crimped_then_inserted_then_tested() {
    let book = bench().book();
    let pieces = in_passes(&book);
    let passes: Vec<Pass> = pieces.iter().map(|p| p.pass).collect();
    assert!(passes.is_sorted(), "{passes:?}");
    let all: Vec<String> = pieces.iter().map(|p| said(&book, *p)).collect();
    assert_eq!(
        all[..5],
        [
            "cut: W1 cut, W1 label both ends",
            "cut: W2 cut, W2 label both ends",
            "cut: W4 cut, W4 label both ends",
            "cut: W3 cut, W3 label both ends",
            "twist: W2 twist, W4 twist",
        ]
    );
    let has = |words: &str| assert!(all.iter().any(|s| s == words), "{words}: {all:#?}");
    has("crimp: W1 at MC-A1 seal on, W1 at MC-A1 strip, W1 at MC-A1 crimp");
    has("join: W1 at SP7 strip, SP7 join, SP7 seal the splice, SP7 place");
    has(
        "bolt: G2 clean to metal, W3 at G2 lug on, G2 order of lugs, G2 torque, G2 protect, G2 boot, label, photo",
    );
    has("test: W1 continuity, W1 not shorted");
    // Grounds first, the pair together.
    let inserted: Vec<&String> = all
        .iter()
        .filter(|s| s.starts_with("insert") && s.contains("MC-A"))
        .collect();
    assert_eq!(
        inserted,
        [
            "insert: W3 at MC-A3 insert",
            "insert: W1 at MC-A1 insert",
            "insert: W2 at MC-A2 insert",
            "insert: W4 at MC-A4 insert"
        ]
    );
}

#[test]
fn every_step_of_the_plan_is_in_one_piece_and_finds_it() {
    let book = bench().book();
    let pieces = in_passes(&book);
    let mut steps: Vec<StepOf> = Vec::new();
    for piece in &pieces {
        for step in of_piece(&book, *piece) {
            assert_eq!(piece_of(&book, step), *piece, "{step:?}");
            steps.push(step);
        }
    }
    steps.sort();
    let mut planned = all_steps(&book);
    planned.sort();
    assert_eq!(steps, planned);
}

#[test]
fn one_key_answers_for_a_piece_but_not_where_single_steps_are_asked_for() {
    let mut bench = bench();
    let book = bench.book();
    let crimp = |book: &Book| {
        let end = |p: &Piece| said(book, *p).starts_with("crimp: W1 at MC-A1");
        in_passes(book).into_iter().find(end).unwrap()
    };
    let test = |book: &Book| {
        let wire = |p: &Piece| said(book, *p).starts_with("test: W1");
        in_passes(book).into_iter().find(wire).unwrap()
    };
    assert!(together(&book, crimp(&book)) && together(&book, test(&book)));
    let stud = in_passes(&book)
        .into_iter()
        .find(|p| p.pass == Pass::Bolt)
        .unwrap();
    assert!(!together(&book, stud), "a torque is not ticked with the cleaning");
    let connector = bench.connector("MC-A");
    bench.edit(connector, |c| c.single_steps = true);
    let book = bench.book();
    assert!(!together(&book, crimp(&book)) && !together(&book, test(&book)));
}

#[test]
fn a_twist_falls_back_with_its_own_wire() {
    let mut bench = bench();
    let wire = bench.wire("W2", "MC-A2", "BM-A1", 0.5, 1.0);
    let mut book = bench.book();
    let mut ids = IdMaker::new(9);
    let twist = of_pair(&pair_of(&book, wire));
    assert_eq!(twist.len(), 2);
    let done = Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: chrono::DateTime::from_timestamp(1_700_000_000, 0).unwrap(),
        who: "A.".to_owned(),
    };
    let edit = answer(&book, &mut ids, &twist, &done).unwrap();
    apply(&mut book, edit, 1);
    let row = book.get(wire).unwrap().clone();
    let longer = Wire {
        length_m: Some(2.0),
        ..row.clone()
    };
    let change = crate::edit::Change::replace(row, longer);
    let edit = crate::edit::Edit::new(crate::log::EntryKind::Design, "longer", vec![change]);
    apply(&mut book, edit, 2);
    let standing: Vec<Standing> = twist.iter().map(|s| task(&book, *s).standing).collect();
    let own = twist.iter().position(|s| s.of == Built::Wire(wire)).unwrap();
    assert_eq!(standing[own], Standing::Redo);
    assert_eq!(standing[1 - own], Standing::Done);
}

/// 40 turns a metre of wires 1.6 mm thick: the middle of each goes round on a circle 1.6 mm across, so a turn of 25 mm along
/// takes the root of 25² + (1.6 π)² = 25.5 mm of wire (by hand).
#[test]
fn a_twisted_wire_is_longer_by_its_helix() {
    let share = twist_share(1.6, 40.0);
    assert!((share - 0.02001).abs() < 0.0001, "{share}");
}

/// The cut list and the drums count with what the twist takes; a wire in no pair is cut as long as it is planned.
#[test]
fn a_wire_of_a_pair_is_cut_longer() {
    let book = bench().book();
    let cut = |label: &str| {
        let id = book.index().labelled::<Wire>(label).unwrap();
        cut_m(&book, book.get(id).unwrap()).unwrap()
    };
    assert_eq!(cut("W1"), 2.0);
    let twisted = cut("W2");
    assert!((1.005..1.04).contains(&twisted), "{twisted}");
    assert_eq!(twisted, cut("W4"));
    let thin = cut_list(&book)
        .into_iter()
        .find(|g| g.area_mm2 == Some(0.5))
        .unwrap();
    assert!(
        (thin.total_m - 2.0 - 2.0 * twisted).abs() < 1e-9,
        "{}",
        thin.total_m
    );
}
