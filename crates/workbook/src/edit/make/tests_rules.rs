//! Switches, states, behaviours and rules, made and changed as a person means them.

use super::*;
use crate::{
    edit::testing::{apply, stamp},
    model::*,
    rules,
};

struct Hand {
    book: Book,
    ids: IdMaker,
    n: u128,
}

type Made = Result<Edit, Refusal>;

impl Hand {
    /// A controller with two inputs, a selector and a charge lead.
    fn new() -> Self {
        let mut hand = Self {
            book: Book::default(),
            ids: IdMaker::new(7),
            n: 0,
        };
        hand.does(|book, ids| add_unit(book, ids, "MC", "controller"));
        let unit = hand.id::<Unit>("MC");
        let draft = ConnectorDraft {
            label: "MC-A".to_owned(),
            face: "rows 2, from lower left, mark at 1, seen from mating side".to_owned(),
            ..ConnectorDraft::default()
        };
        hand.does(|book, ids| add_connector(book, ids, unit, &draft));
        for (label, positions) in [
            ("selector", &["neutral", "forward", "reverse"][..]),
            ("lead", &["out", "in"]),
        ] {
            hand.does(|book, ids| add_switch(book, ids, switch(label, positions)));
        }
        hand
    }

    fn does(&mut self, make: impl FnOnce(&Book, &mut IdMaker) -> Made) -> String {
        let edit = make(&self.book, &mut self.ids).unwrap_or_else(|r| panic!("{r}"));
        self.n += 1;
        apply(&mut self.book, edit, self.n).title
    }

    fn cannot(&mut self, make: impl FnOnce(&Book, &mut IdMaker) -> Made) -> String {
        match make(&self.book, &mut self.ids) {
            Err(refusal) => refusal.to_string(),
            Ok(edit) => self.book.prepare(edit, stamp(99)).unwrap_err().to_string(),
        }
    }

    fn id<R: Row>(&self, label: &str) -> Id<R> {
        self.book
            .index()
            .labelled(label)
            .unwrap_or_else(|| panic!("no {label}"))
    }

    fn get<R: Row>(&self, label: &str) -> &R {
        self.book.get(self.id(label)).unwrap()
    }

    fn behaviour(&self, label: &str, typed: &str) -> ExpressionDraft {
        ExpressionDraft {
            label: label.to_owned(),
            unit: self.id("MC"),
            text: read_condition(&self.book, label, typed).unwrap(),
            note: String::new(),
        }
    }

    fn rule(&self, label: &str, typed: &str) -> RuleDraft {
        RuleDraft {
            label: label.to_owned(),
            words: "never plugged and ready".to_owned(),
            text: rules::kept(&self.book, typed).unwrap(),
            rests_on: Rests::Wiring,
            note: String::new(),
        }
    }

    /// With a behaviour, a rule and a state that name the switches.
    fn told() -> Self {
        let mut hand = Self::new();
        let draft = hand.behaviour("MC.ready", "selector is forward and not MC-A1");
        hand.does(|book, ids| add_expression(book, ids, draft));
        let draft = hand.rule("", "never lead is in and MC.ready");
        hand.does(|book, ids| add_rule(book, ids, draft));
        let draft = StateDraft {
            label: "DRIVE".to_owned(),
            switches: vec![SwitchPosition {
                switch: hand.id("selector"),
                position: "forward".to_owned(),
            }],
            ..StateDraft::default()
        };
        hand.does(|book, ids| add_state(book, ids, draft));
        hand
    }

    fn says(&self) -> [String; 2] {
        let ready = self.book.all::<Expression>().values().next().unwrap();
        let rule = self.book.all::<Rule>().values().next().unwrap();
        [
            rules::shown(&self.book, &ready.text),
            rules::shown(&self.book, &rule.text),
        ]
    }
}

fn switch(label: &str, positions: &[&str]) -> SwitchDraft {
    SwitchDraft {
        label: label.to_owned(),
        kind: SwitchKind::Switch,
        positions: positions.iter().map(|p| (*p).to_owned()).collect(),
        unit: None,
        note: String::new(),
    }
}

#[test]
fn what_is_named_keeps_its_meaning_through_new_names() {
    let mut hand = Hand::told();
    for (key, label) in [
        (Key::of(hand.id::<Switch>("lead")), "charge_lead"),
        (Key::of(hand.id::<Expression>("MC.ready")), "MC.may drive"),
        (Key::of(hand.id::<Connector>("MC-A")), "X1"),
    ] {
        hand.does(|book, _| rename(book, key, label));
    }
    assert_eq!(
        hand.says(),
        [
            "selector is forward and not X1-1",
            "never charge_lead is in and [MC.may drive]"
        ]
        .map(|text| text.replace(
            "X1-1",
            &hand.book.cavity_name(hand.book.find_cavity("X1 1").unwrap())
        ))
    );
}

#[test]
fn a_position_called_otherwise_is_called_so_everywhere() {
    let mut hand = Hand::told();
    let id = hand.id::<Switch>("selector");
    let title =
        hand.does(|book, _| change_switch(book, id, switch("selector", &["neutral", "ahead", "reverse"])));
    assert_eq!(title, "selector: positions forward → ahead");
    assert_eq!(hand.says()[0], "selector is ahead and not MC-A1");
    let drive: &State = hand.get("DRIVE");
    assert_eq!(drive.switches.first().unwrap().position, "ahead");
}

#[test]
fn a_position_that_is_named_cannot_go_and_another_can() {
    let mut hand = Hand::told();
    let id = hand.id::<Switch>("selector");
    let refused = hand.cannot(|book, _| change_switch(book, id, switch("selector", &["neutral", "reverse"])));
    assert_eq!(
        refused,
        "switch selector: cannot lose its position forward: operating state DRIVE names it; change that first"
    );
    hand.does(|book, _| change_switch(book, id, switch("selector", &["neutral", "forward"])));
    assert_eq!(hand.says()[0], "selector is forward and not MC-A1");
}

#[test]
fn what_something_names_is_not_removed() {
    let mut hand = Hand::told();
    let lead = Key::of(hand.id::<Switch>("lead"));
    assert_eq!(
        hand.cannot(|book, _| remove(book, lead)),
        "switch lead: cannot be removed: rule I1 names it in its expression; change that first"
    );
    let selector = Key::of(hand.id::<Switch>("selector"));
    let refused = hand.cannot(|book, _| remove(book, selector));
    assert!(
        refused.contains("operating state DRIVE still needs it"),
        "{refused}"
    );
    let ready = Key::of(hand.id::<Expression>("MC.ready"));
    let refused = hand.cannot(|book, _| remove(book, ready));
    assert!(refused.contains("rule I1 names it"), "{refused}");
    let rule = Key::of(hand.id::<Rule>("I1"));
    hand.does(|book, _| remove(book, rule));
    hand.does(|book, _| remove(book, ready));
    hand.does(|book, _| remove(book, lead));
}

#[test]
fn a_fact_and_what_is_read_of_it_are_two_names() {
    let mut hand = Hand::told();
    let draft = hand.behaviour("lead", "MC-A2");
    let refused = hand.cannot(|book, ids| add_expression(book, ids, draft));
    assert!(
        refused.contains("stands for switch lead in expressions already"),
        "{refused}"
    );
    let refused = hand.cannot(|book, ids| add_switch(book, ids, switch("mc-a1", &["off", "on"])));
    assert!(refused.contains("stands for cavity MC-A1"), "{refused}");
    let key = Key::of(hand.id::<Expression>("MC.ready"));
    let refused = hand.cannot(|book, _| rename(book, key, "Selector"));
    assert!(refused.contains("two names"), "{refused}");
}

#[test]
fn a_behaviour_does_not_rest_on_itself() {
    let mut hand = Hand::told();
    let draft = hand.behaviour("MC.torque", "MC.ready and MC-A2");
    hand.does(|book, ids| add_expression(book, ids, draft));
    let id = hand.id::<Expression>("MC.ready");
    let draft = hand.behaviour("MC.ready", "not MC.torque");
    assert_eq!(
        hand.cannot(|book, _| change_expression(book, id, draft)),
        "expression MC.ready: would rest on itself: MC.ready → MC.torque → MC.ready; take that out"
    );
}

#[test]
fn a_rule_begins_with_never_or_rests_on_something_else() {
    let mut hand = Hand::told();
    let draft = RuleDraft {
        text: String::new(),
        ..hand.rule("I2", "never MC-A2")
    };
    let refused = hand.cannot(|book, ids| add_rule(book, ids, draft.clone()));
    assert!(
        refused.starts_with("rule I2: rests on the wiring and says nothing"),
        "{refused}"
    );
    let timed = RuleDraft {
        rests_on: Rests::Time,
        ..draft.clone()
    };
    hand.does(|book, ids| add_rule(book, ids, timed));
    let plain = RuleDraft {
        label: "I3".to_owned(),
        text: rules::kept(&hand.book, "MC-A2").unwrap(),
        ..draft
    };
    assert_eq!(
        hand.cannot(|book, ids| add_rule(book, ids, plain)),
        "rule I3: begins with never and says what must not be"
    );
}

#[test]
fn a_typed_condition_says_where_it_is_wrong() {
    let hand = Hand::told();
    let wrong = |typed: &str| {
        let error = read_condition(&hand.book, "MC.x", typed).unwrap_err();
        (error.at, error.found)
    };
    assert_eq!(wrong("MC-A1 and lead is up"), (18, "up".to_owned()));
    assert_eq!(wrong("not MC-A9"), (4, "MC-A9".to_owned()));
    assert_eq!(wrong(" never MC-A1"), (1, "never".to_owned()));
    assert_eq!(wrong("MC.y := MC-A1"), (0, "MC.y".to_owned()));
    assert_eq!(wrong("MC-A1 and"), (9, String::new()));
    let kept = read_condition(&hand.book, "MC.x", "mc.x := MC-A1 or MC-A2").unwrap();
    assert_eq!(rules::shown(&hand.book, &kept), "MC-A1 or MC-A2");
}

#[test]
fn after_a_release_what_is_proven_changes_with_a_why() {
    let mut hand = Hand::told();
    hand.does(|book, _| release(book, "first build"));
    let id = hand.id::<Rule>("I1");
    let draft = RuleDraft {
        words: "never ready with the lead in".to_owned(),
        ..hand.rule("I1", "never lead is in and MC.ready")
    };
    assert_eq!(
        hand.cannot(|book, _| change_rule(book, id, draft.clone())),
        "rule I1 changes after release A: say why"
    );
    hand.does(|book, _| change_rule(book, id, draft).map(|edit| edit.because("clearer")));
}

#[test]
fn what_shares_its_label_is_not_read_as_the_other() {
    let mut hand = Hand::told();
    // Records of a file from before may share one.
    let part = Part {
        id: hand.ids.make(),
        unit: hand.id("MC"),
        label: "lead".to_owned(),
        kind: PartKind::Coil {
            ohm: 80.0,
            pull_in_v: None,
            drop_out_v: None,
            hold_a: None,
            pull_in_s: None,
            suppression: None,
            polarised: false,
        },
        ends: vec![
            Terminal::Inner {
                unit: hand.id("MC"),
                node: "a".to_owned()
            };
            2
        ],
        drop_limit_v: None,
        note: String::new(),
    };
    let kept = format!("never @part:{}", part.id);
    hand.does(|_, _| Ok(Edit::design("a coil", vec![Change::make(part)])));
    let shown = rules::shown(&hand.book, &kept);
    assert_eq!(rules::kept(&hand.book, &shown).unwrap(), kept, "{shown}");
}
