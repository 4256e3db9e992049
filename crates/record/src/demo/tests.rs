use super::*;
use crimpbook_workbook::{
    Book,
    log::EntryKind,
    model::{Decision, Outcome, Setting, StepDone, Wire},
    plan::Progress,
};

fn replayed(entries: &[Entry]) -> Book {
    let mut book = Book::default();
    for entry in entries {
        book.apply(entry)
            .unwrap_or_else(|refusal| panic!("{}: {refusal}", entry.title));
    }
    book
}

#[test]
fn the_story_plays_and_plays_the_same_again() {
    let entries = entries().unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(entries, super::entries().unwrap());
    assert_eq!(entries[0].kind, EntryKind::Creation);
    assert_eq!(
        entries
            .iter()
            .filter(|e| e.revision.as_deref() == Some("A"))
            .count(),
        1
    );
    assert!(
        entries.windows(2).all(|pair| pair[0].at < pair[1].at),
        "time runs on"
    );
    let ids: std::collections::BTreeSet<_> = entries.iter().map(|e| e.id).collect();
    assert_eq!(ids.len(), entries.len());
}

#[test]
fn the_story_leaves_the_plan_as_it_was_but_for_what_it_tells() {
    let book = replayed(&entries().unwrap());
    let vehicle = crate::json::read(VEHICLE).unwrap().records;
    let wires: Vec<&Wire> = book.all::<Wire>().values().collect();
    assert_eq!(wires.len(), vehicle.wires.len());
    for wire in &vehicle.wires {
        assert!(
            wires.contains(&wire),
            "{} is changed and not changed back",
            wire.label
        );
    }
    let undecided = book.tables().cavities.values();
    assert_eq!(undecided.filter(|c| c.decision == Decision::Undecided).count(), 1);
    let coast = book
        .all::<Setting>()
        .values()
        .find(|s| s.label == "REGEN_COAST_MAX");
    assert_eq!(coast.map(|s| s.value.as_str()), Some("10"));
    assert_eq!(book.revision(), Some("A"));
}

#[test]
fn some_wires_are_built_one_is_half_built_and_one_is_to_be_redone() {
    let book = replayed(&entries().unwrap());
    let wires = book.all::<Wire>().values();
    let (mut built, mut half, mut again) = (0, Vec::new(), Vec::new());
    for wire in wires {
        let progress = Progress::of_wire(&book, wire.id);
        let cut_only = progress.done == 2;
        built += usize::from(progress.is_complete());
        if progress.redo > 0 {
            again.push(wire.label.as_str());
        } else if progress.done > 0 && !cut_only && !progress.is_complete() {
            half.push(wire.label.as_str());
        }
    }
    assert_eq!((built, half, again), (34, vec!["W45"], vec!["W47"]));
    let failed = book
        .all::<StepDone>()
        .values()
        .filter(|s| s.outcome == Outcome::Failed);
    assert_eq!(failed.count(), 0, "what failed was done again");
}

#[test]
fn a_story_that_cannot_be_is_told_with_its_beat() {
    let records = crate::json::read(VEHICLE).unwrap().records;
    let told = |beats: &str| {
        let story = Story::read(beats).unwrap();
        let mut ids = crimpbook_workbook::model::IdMaker::new(1);
        play(&records, &story, &mut ids).unwrap_err().to_string()
    };
    let made = r#"{"at": "2024-01-01T00:00:00Z", "who": "A.", "kind": "creation", "title": "made"}"#;
    let then = |rest: &str| {
        format!(
            r#"[{made}, {{"at": "2024-01-02T00:00:00Z", "who": "A.", "kind": "design", "title": "x", {rest}}}]"#
        )
    };
    assert_eq!(
        told(&then(r#""set": {"wires": [{"id": "w44", "area": 1}]}"#))
            .split(", expected")
            .next(),
        Some("beat \"x\": wires w44: unknown field `area`")
    );
    assert_eq!(
        told(&then(r#""set": {"wyres": []}"#)),
        "beat \"x\": there is no list called \"wyres\""
    );
    assert_eq!(
        told(&then(r#""tick": {"of": ["W99"], "steps": "all"}"#)),
        "beat \"x\": there is no wire, connector, splice or stud W99"
    );
    assert!(Story::read("[{}]").unwrap_err().to_string().contains("at [0]"));
}

/// Building all of it in passes takes about 500 presses for the wires, not the 1,000 of step by step.
#[test]
fn the_wires_take_about_five_hundred_presses() {
    use crimpbook_workbook::plan::{self, Pass};
    let book = replayed(&entries().unwrap());
    let presses = |wires: bool| -> usize {
        let pieces = plan::in_passes(&book).into_iter();
        pieces
            .filter(|p| {
                matches!(
                    p.pass,
                    Pass::Cut | Pass::Twist | Pass::Crimp | Pass::Insert | Pass::Test
                ) == wires
            })
            .map(|p| match plan::together(&book, p) {
                true => 1,
                false => plan::of_piece(&book, p).len(),
            })
            .sum()
    };
    let singly: usize = book
        .all::<Wire>()
        .keys()
        .map(|w| plan::of_wire(&book, *w).len())
        .sum();
    let wires = book.all::<Wire>().len();
    println!(
        "{wires} wires: {} presses in passes, {singly} step by step; {} more for splices, studs, shields and plugs",
        presses(true),
        presses(false)
    );
    assert_eq!(wires, 90);
    assert!((400..=550).contains(&presses(true)), "{}", presses(true));
    assert!(singly > 850, "{singly}");
}
