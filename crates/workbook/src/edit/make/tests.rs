//! Builders for keys: what comes of a few words, and what they refuse.

mod wires;

use super::*;
use crate::{
    edit::{
        invert,
        testing::{apply, stamp},
    },
    log::Entry,
    model::*,
    plan,
    testing::Bench,
};

/// A book with ids and a counter of entries.
struct Hand {
    book: Book,
    ids: IdMaker,
    n: u128,
}

impl Hand {
    fn new(bench: &Bench) -> Self {
        Self {
            book: bench.book(),
            ids: IdMaker::new(11),
            n: 0,
        }
    }

    /// Makes the edit and lets it through the door; gives its title.
    fn does(&mut self, make: impl FnOnce(&Book, &mut IdMaker) -> Result<Edit, Refusal>) -> String {
        self.enters(make).title
    }

    fn enters(&mut self, make: impl FnOnce(&Book, &mut IdMaker) -> Result<Edit, Refusal>) -> Entry {
        let edit = make(&self.book, &mut self.ids).unwrap_or_else(|r| panic!("{r}"));
        self.n += 1;
        apply(&mut self.book, edit, self.n)
    }

    /// The sentence with which the builder or the door refuses.
    fn cannot(&mut self, make: impl FnOnce(&Book, &mut IdMaker) -> Result<Edit, Refusal>) -> String {
        match make(&self.book, &mut self.ids) {
            Err(refusal) => refusal.to_string(),
            Ok(edit) => self.book.prepare(edit, stamp(99)).unwrap_err().to_string(),
        }
    }

    fn get<R: Row>(&self, label: &str) -> &R {
        let id = self.book.index().labelled::<R>(label);
        id.and_then(|id| self.book.get(id))
            .unwrap_or_else(|| panic!("no {label}"))
    }

    fn cavity(&self, name: &str) -> &Cavity {
        self.book
            .find_cavity(name)
            .and_then(|id| self.book.get(id))
            .unwrap()
    }

    fn end(&self, name: &str) -> End {
        self.book.find_end(name).unwrap()
    }
}

#[test]
fn a_unit_a_connector_and_its_cavities_come_from_a_few_words() {
    let mut hand = Hand::new(&Bench::new());
    assert_eq!(
        hand.does(|b, i| add_unit(b, i, " MC ", "motor controller")),
        "MC: unit added"
    );
    let unit = hand.get::<Unit>("mc").id;
    let draft = ConnectorDraft {
        label: "MC-A".to_owned(),
        face: "rows 2 2 from lower left".to_owned(),
        sealed: Some(true),
        ..ConnectorDraft::default()
    };
    assert_eq!(
        hand.does(|b, i| add_connector(b, i, unit, &draft)),
        "MC-A: connector added with 4 cavities"
    );
    let connector = hand.get::<Connector>("MC-A");
    assert_eq!(connector.face, "rows 2 2, from lower left");
    let id = connector.id;
    assert!(
        hand.cannot(|b, i| add_connector(b, i, unit, &draft))
            .contains("the label is taken")
    );
    let wrong = ConnectorDraft {
        face: "row 2".to_owned(),
        ..draft
    };
    assert!(
        hand.cannot(|b, i| add_connector(b, i, unit, &wrong))
            .contains("connector MC-A: face, at character 1")
    );
    // One more on the face makes it; one less takes it away again, but not when something is known of it.
    assert_eq!(
        hand.does(|b, i| set_face(b, i, id, "rows 3 2")),
        "MC-A: face rows 3 2, from upper left"
    );
    assert_eq!(hand.book.cavities_of(id).len(), 5);
    hand.does(|b, i| set_face(b, i, id, "rows 2 2"));
    assert_eq!(hand.book.cavities_of(id).len(), 4);
    let four = hand.cavity("MC-A4").id;
    hand.does(|b, _| change(b, four, "MC-A4: name", |c| c.name = "GND".to_owned()));
    assert_eq!(
        hand.cannot(|b, i| set_face(b, i, id, "rows 3")),
        "cavity MC-A4: is not on this face, but something is known of it; change the line, or remove the cavity first"
    );
    assert!(
        hand.cannot(|b, i| set_face(b, i, id, "rows 2 2"))
            .contains("has this face already")
    );
    hand.does(|b, i| set_face(b, i, id, ""));
    assert_eq!(
        hand.does(|b, i| add_cavities(b, i, id, &["5", "6"])),
        "MC-A: cavities 5 to 6 added"
    );
    assert_eq!(hand.does(|b, _| renumber(b, four, "4A")), "MC-A4: number 4A");
    assert!(
        hand.cannot(|b, _| renumber(b, four, "5"))
            .contains("two cavities with the number 5")
    );
}

#[test]
fn cavities_are_decided_one_or_many_with_the_why() {
    let mut bench = Bench::new();
    let connector = bench.connector("MC-A");
    bench.edit(connector, |c| c.sealed = Some(true));
    let ids = ["1", "2", "3"].map(|n| bench.cavity("MC-A", n));
    bench.wire("W1", "MC-A4", "SP1", 0.5, 1.0);
    let with = bench.cavity("MC-A", "4");
    let mut hand = Hand::new(&bench);
    let entry = hand.enters(|b, _| decide(b, &ids, Decision::Blank, "spare"));
    assert_eq!(
        (entry.title.as_str(), entry.why.as_str()),
        ("MC-A1 and 2 more: blank", "spare")
    );
    let first = hand.cavity("MC-A1");
    assert!(first.plug && first.why == "spare");
    assert!(
        hand.cannot(|b, _| decide(b, &ids, Decision::Blank, ""))
            .contains("is blank already")
    );
    assert!(
        hand.cannot(|b, _| decide(b, &[], Decision::Blank, ""))
            .contains("names no cavity")
    );
    assert_eq!(
        hand.cannot(|b, _| decide(b, &[with], Decision::NotOurs, "")),
        "cavity MC-A4: cannot be not ours: wire W1 ends there; move the wire first"
    );
    assert_eq!(
        hand.does(|b, _| bridge(b, ids[0], ids[1], "")),
        "MC-A1 bridged to MC-A2"
    );
    assert_eq!(hand.cavity("MC-A2").decision, Decision::Bridged { to: ids[0] });
    hand.does(|b, _| bridge(b, with, ids[2], "resistor plug"));
    assert_eq!(hand.cavity("MC-A4").decision, Decision::Wired);
    assert_eq!(hand.cavity("MC-A3").decision, Decision::Bridged { to: with });
}

#[test]
fn fuses_are_added_and_rated() {
    let mut bench = Bench::new();
    let (supply, load) = (bench.terminal("PB stud"), bench.terminal("PB-A11"));
    let unit = bench.unit("PB");
    let mut hand = Hand::new(&bench);
    let draft = FuseDraft {
        label: "F6".to_owned(),
        rating_a: 10.0,
        kind: FuseKind::Blade,
        feeds: "brake".to_owned(),
    };
    assert_eq!(
        hand.does(|b, i| add_fuse_way(b, i, unit, &draft, supply.clone(), load.clone())),
        "F6: 10 A in PB, from PB stud to PB-A11"
    );
    let fuse = hand.get::<Fuse>("F6").id;
    hand.does(|b, _| change(b, fuse, "F6: data", |f| f.melting_a2s = Some(90.0)));
    assert_eq!(hand.does(|b, _| set_rating(b, fuse, 7.5)), "F6: 10 → 7.5 A");
    assert_eq!(hand.get::<Fuse>("F6").melting_a2s, None);
    assert!(
        hand.cannot(|b, _| set_rating(b, fuse, 7.5))
            .contains("is so already")
    );
    assert_eq!(
        hand.does(|b, _| remove(b, Key::of(fuse))),
        "fuse F6 removed, with 1 that belong to it"
    );
    assert!(hand.book.all::<Part>().is_empty());
}

#[test]
fn what_is_removed_takes_its_own_along_and_nothing_else() {
    let mut bench = Bench::new();
    let wire = bench.wire("W1", "MC-A1", "BM-A1", 0.5, 1.0);
    bench.load("lamp", 1.0, &["MC-A2", "MC case"]);
    let mut hand = Hand::new(&bench);
    let sink = hand.cavity("BM-A1").id;
    let source = hand.cavity("MC-A1").id;
    hand.does(|b, i| weigh(b, i, sink, Some(source), ""));
    let step = plan::of_wire(&hand.book, wire)[0];
    let say = plan::Answer {
        outcome: Outcome::Done,
        note: String::new(),
        at: stamp(0).at,
        who: "A.".to_owned(),
    };
    hand.does(|b, i| plan::answer(b, i, &[step], &say));
    let unit = hand.get::<Unit>("MC").id;
    let refused = hand.cannot(|b, _| remove(b, Key::of(unit)));
    assert!(
        refused.contains("cavity MC-A1: cannot be removed: wire W1 still needs it"),
        "{refused}"
    );
    let as_it_was = hand.book.clone();
    let entry = hand.enters(|b, _| remove(b, Key::of(wire)));
    assert_eq!(entry.title, "wire W1 removed");
    assert!(hand.book.all::<StepDone>().is_empty());
    assert_eq!(hand.cavity("MC-A1").decision, Decision::Undecided);
    hand.n += 1;
    let n = hand.n;
    apply(&mut hand.book, invert(&entry), n);
    assert_eq!(hand.book, as_it_was);
    hand.does(|b, _| remove(b, Key::of(wire)));
    assert_eq!(
        hand.does(|b, _| remove(b, Key::of(unit))),
        "unit MC removed, with 5 that belong to it",
        "a connector, two cavities, an inside part, a candidate"
    );
    assert!(
        hand.cannot(|b, _| remove(b, Key::of(unit)))
            .contains("is not in the workbook any more")
    );
}

#[test]
fn labels_change_and_stay_unique() {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    bench.wire("W45", "SP7", "MC-A17", 0.35, 2.8);
    let cavity = bench.cavity("MC-A", "16");
    let mut hand = Hand::new(&bench);
    assert_eq!(
        hand.does(|b, _| rename(b, Key::of(wire), " W144 ")),
        "W44 renamed W144"
    );
    assert!(
        hand.cannot(|b, _| rename(b, Key::of(wire), "w45"))
            .contains("the label is taken")
    );
    assert!(
        hand.cannot(|b, _| rename(b, Key::of(wire), "W144"))
            .contains("is called so already")
    );
    assert!(
        hand.cannot(|b, _| rename(b, Key::of(cavity), "x"))
            .contains("has no label to change")
    );
}

#[test]
fn sources_are_weighed_chosen_and_refused() {
    let mut bench = Bench::new();
    let (sink, source, other) = (
        bench.cavity("MC-A", "20"),
        bench.cavity("DN-A", "2"),
        bench.cavity("PB-A", "3"),
    );
    let mut hand = Hand::new(&bench);
    assert_eq!(
        hand.does(|b, i| weigh(b, i, sink, Some(source), "")),
        "MC-A20: DN-A2 weighed"
    );
    hand.does(|b, i| weigh(b, i, sink, Some(other), "key rail"));
    assert!(
        hand.cannot(|b, i| weigh(b, i, sink, Some(source), ""))
            .contains("weighed for it already")
    );
    assert!(
        hand.cannot(|b, i| weigh(b, i, sink, None, " "))
            .contains("needs the source's name")
    );
    let of = |hand: &Hand, words: &str| {
        hand.book
            .all::<Candidate>()
            .values()
            .find(|c| c.words == words)
            .unwrap()
            .clone()
    };
    let (donor, rail) = (of(&hand, "DN-A2").id, of(&hand, "key rail").id);
    let draft = WireDraft {
        area_mm2: Some(0.5),
        ..WireDraft::default()
    };
    let entry = hand.enters(|b, i| choose(b, i, donor, draft.clone(), "it is there"));
    assert_eq!(entry.title, "MC-A20: DN-A2 chosen, W1 added");
    assert_eq!(hand.get::<Wire>("W1").to, End::Cavity(sink));
    assert!(hand.cannot(|b, _| refuse(b, donor, "")).contains("needs its why"));
    hand.does(|b, _| refuse(b, donor, "stays up for 90 s"));
    hand.does(|b, i| choose(b, i, rail, draft.clone(), "drops at once"));
    assert_eq!(
        (of(&hand, "DN-A2").verdict, of(&hand, "key rail").verdict),
        (Verdict::Refused, Verdict::Chosen)
    );
    assert_eq!(
        of(&hand, "DN-A2").why,
        "it is there; refused: stays up for 90 s",
        "what was said before stays"
    );
    assert_eq!(of(&hand, "key rail").why, "drops at once");
}

#[test]
fn a_release_takes_the_next_letter_once_no_temporary_link_stands() {
    let mut bench = Bench::new();
    let wire = bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
    let mut hand = Hand::new(&bench);
    let ends = (hand.end("MC-A1"), hand.end("SP1"));
    hand.does(|b, i| add_link(b, i, ends, "test lamp", "to see the feed", stamp(0).at));
    assert_eq!(
        hand.cannot(|b, _| release(b, "")),
        "the temporary link test lamp from MC-A1 to SP1: still stands; the plan cannot be released before it is taken out"
    );
    let link = *hand.book.all::<TemporaryLink>().keys().next().unwrap();
    assert_eq!(
        hand.does(|b, _| remove_link(b, link)),
        "temporary: test lamp taken out"
    );
    assert_eq!(
        hand.does(|b, _| release(b, "first cut list")),
        "revision A released for building"
    );
    assert!(
        hand.cannot(|b, _| set_wires(b, &[wire], &WireField::mm2(1.0)))
            .contains("say why")
    );
    hand.does(|b, _| set_wires(b, &[wire], &WireField::mm2(1.0)).map(|e| e.because("it gets warm")));
    assert_eq!(
        hand.does(|b, _| release(b, "")),
        "revision B released for building"
    );
}
