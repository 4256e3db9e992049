//! Wires, pairs and splices.

use super::*;

#[test]
fn wires_get_the_next_label_and_decide_their_cavities() {
    let mut bench = Bench::new();
    bench.wire("W09", "MC-A1", "BM-A1", 0.5, 1.0);
    for n in ["2", "3", "4"] {
        bench.cavity("MC-A", n);
        bench.cavity("BM-A", n);
    }
    let blank = bench.cavity("BM-A", "2");
    bench.edit(blank, |c| c.decision = Decision::Blank);
    let name = bench.cavity("BM-A", "3");
    bench.edit(name, |c| c.name = "CAN H".to_owned());
    let mut hand = Hand::new(&bench);
    let last = hand.get::<Wire>("W09").id;
    let entry = hand.enters(|b, i| like(b, i, last));
    assert_eq!(entry.title, "W10: from MC-A2 to BM-A3", "BM-A2 is blank");
    let new = hand.get::<Wire>("W10");
    assert_eq!((new.signal.as_str(), new.area_mm2), ("CAN H", Some(0.5)));
    assert_eq!(hand.cavity("MC-A2").decision, Decision::Wired);
    let new = new.id;
    hand.does(|b, i| like(b, i, new));
    let last = hand.get::<Wire>("W11").id;
    assert_eq!(
        hand.cannot(|b, i| like(b, i, last)),
        "wire W11: cannot be repeated: BM-A has no free cavity after BM-A4; add the wire by its ends"
    );
    let before = hand.book.clone();
    let undo = invert(&entry);
    assert!(hand.book.prepare(undo, stamp(50)).is_ok());
    assert_eq!(hand.book, before);
    let taken = WireDraft {
        label: "w10".to_owned(),
        ..WireDraft::default()
    };
    assert!(
        hand.cannot(|b, i| add_wire(b, i, taken))
            .contains("the label is taken")
    );
    let to_blank = WireDraft {
        to: End::Cavity(blank),
        ..WireDraft::default()
    };
    assert!(
        hand.cannot(|b, i| add_wire(b, i, to_blank))
            .contains("is blank, but wire W12 ends there")
    );
    assert_eq!(next_label::<Junction>(&hand.book, "SP"), "SP1");
    assert_eq!(next_labels::<Wire>(&hand.book, "w", 2), ["w12", "w13"]);
}

#[test]
fn a_pair_comes_at_once_and_changes_at_once() {
    let mut bench = Bench::new();
    for n in ["28", "29"] {
        bench.cavity("MC-A", n);
    }
    let mut hand = Hand::new(&bench);
    let draft = |from: End, colour: &str| WireDraft {
        from,
        area_mm2: Some(0.5),
        colour: colour.parse().ok(),
        ..WireDraft::default()
    };
    let wires = [draft(hand.end("MC-A28"), "YE"), draft(hand.end("MC-A29"), "GN")];
    assert_eq!(
        hand.does(|b, i| add_pair(b, i, "C1", wires.clone())),
        "pair C1: W1 and W2"
    );
    assert!(
        hand.cannot(|b, i| add_pair(b, i, "c1", wires.clone()))
            .contains("pair c1: is there already")
    );
    let both = pair_of(&hand.book, hand.get::<Wire>("W2").id);
    assert_eq!(both.len(), 2);
    let size = WireField::mm2(0.35);
    assert_eq!(
        hand.does(|b, _| set_wires(b, &both, &size)),
        "W2: size 0.5 → 0.35 mm², and 1 more"
    );
    assert!(
        hand.cannot(|b, _| set_wires(b, &both, &size))
            .contains("is so already")
    );
    let one = &both[..1];
    let awg = WireField::Size {
        area_mm2: Some(1.31),
        written: "16 AWG".to_owned(),
        table: Some(SizeTable::Awg),
    };
    assert_eq!(
        hand.does(|b, _| set_wires(b, one, &awg)),
        "W2: size 0.35 mm² → 16 AWG"
    );
    assert_eq!(
        hand.does(|b, _| set_wires(b, one, &WireField::Length(Some(2.5)))),
        "W2: length none → 2.5 m"
    );
    let colour = WireField::Colour("GN/WH".parse().ok());
    assert_eq!(
        hand.does(|b, _| set_wires(b, one, &colour)),
        "W2: colour GN → GN/WH"
    );
    let far = WireField::Length(Some(500.0));
    assert!(
        hand.cannot(|b, _| set_wires(b, one, &far))
            .contains("at most 200 m")
    );
}

#[test]
fn a_moved_end_takes_the_decision_along() {
    let mut bench = Bench::new();
    let wire = bench.wire("W35", "PD-A6", "SP3", 0.5, 0.6);
    bench.cavity("MC-A", "9");
    let mut hand = Hand::new(&bench);
    let (to, back) = (hand.end("MC-A9"), hand.end("SP3"));
    assert_eq!(
        hand.does(|b, _| move_end(b, wire, WireEnd::To, to)),
        "W35: moved from SP3 to MC-A9"
    );
    assert_eq!(hand.cavity("MC-A9").decision, Decision::Wired);
    hand.does(|b, _| move_end(b, wire, WireEnd::To, back));
    assert_eq!(hand.cavity("MC-A9").decision, Decision::Undecided);
    assert!(
        hand.cannot(|b, _| move_end(b, wire, WireEnd::To, back))
            .contains("is at SP3 already")
    );
    assert_eq!(
        hand.does(|b, _| move_end(b, wire, WireEnd::From, End::Free)),
        "W35: moved from PD-A6 to free"
    );
}

#[test]
fn a_splice_cuts_a_wire_in_two() {
    let mut bench = Bench::new();
    let wire = bench.wire("W44", "SP7", "MC-A16", 0.35, 2.8);
    bench.wire("W90", "SP1", "SP2", 0.35, 2.8);
    let mut hand = Hand::new(&bench);
    let draft = FuseDraft {
        label: String::new(),
        rating_a: 2.0,
        kind: FuseKind::Blade,
        feeds: "MC brake input".to_owned(),
    };
    assert_eq!(
        hand.does(|b, i| add_inline_fuse(b, i, wire, &draft, 1.5)),
        "F1: 2 A in line with W44, 1.5 m from SP7"
    );
    assert!(
        hand.cannot(|b, i| add_inline_fuse(b, i, wire, &draft, 1.0))
            .contains("has fuse F1 in line already")
    );
    assert_eq!(
        hand.does(|b, i| insert_splice(b, i, wire, 1.0)),
        "W44: splice SP8 at 1 m, W91 goes on to MC-A16"
    );
    let (near, far) = (hand.get::<Wire>("W44"), hand.get::<Wire>("W91"));
    assert_eq!((near.length_m, far.length_m), (Some(1.0), Some(1.8)));
    assert_eq!(
        (near.to, far.from, far.to),
        (hand.end("SP8"), hand.end("SP8"), hand.end("MC-A16"))
    );
    assert_eq!(
        (near.inline_fuse, far.inline_fuse.map(|f| f.from_end_m)),
        (None, Some(0.5))
    );
    assert!(
        hand.cannot(|b, i| insert_splice(b, i, wire, 1.0))
            .contains("is 1 m long; the splice must be within it")
    );
    let title = hand.does(|b, i| add_junction(b, i, JunctionKind::GroundStud, "", "rear"));
    assert_eq!(title, "G1: ground stud added");
}
