//! The screens that show what was computed, over the demonstration vehicle with its real figures.

use std::sync::{Arc, OnceLock};

use crimpbook_workbook::{
    analysis::protect::{Step, Twig},
    model::Wire,
};

use crate::screen::{
    ask::{Answer, Answers, Question, answer},
    computed::Computed,
    effect::{Effect, Msg},
    keys::Input,
    model::{Model, over::Over, overview, protection, rules, suppose},
    testkit::{Bench, keys},
    theme::Look,
    update::update,
};

/// The demonstration vehicle, computed once for all tests.
fn computed(bench: &Bench) -> Arc<Computed> {
    static COMPUTED: OnceLock<Arc<Computed>> = OnceLock::new();
    Arc::clone(COMPUTED.get_or_init(|| Arc::new(Computed::of(bench.model.book.clone()))))
}

/// The screens with the worker's answer there, and every question answered at once.
struct Lit(Bench, Proves);

/// Whether rules are proven when a screen asks for it, which takes long without optimisation.
#[derive(Clone, Copy, PartialEq)]
enum Proves {
    AsAsked,
    Never,
}

impl Lit {
    fn new() -> Self {
        let bench = Bench::demo();
        let computed = computed(&bench);
        let mut lit = Self(bench, Proves::AsAsked);
        lit.0.model.findings.generation = 1;
        lit.take(Msg::Checked(1, computed));
        lit
    }

    fn take(&mut self, msg: Msg) {
        let mut waiting = update(&mut self.0.model, msg);
        while let Some(effect) = waiting.pop() {
            let msg = match effect {
                Effect::Ask(_, _, Question::Proof | Question::ProofBefore) if self.1 == Proves::Never => {
                    continue;
                }
                Effect::Ask(generation, of, question) => {
                    let answer = question.answer(of.snapshot.as_ref().unwrap());
                    Msg::Answered(generation, question, Arc::new(answer))
                }
                Effect::Try(what) => Msg::Tried(self.0.session.tries(what).unwrap()),
                Effect::Commit(edit, then) => Msg::Kept(self.0.session.edit(*edit).unwrap(), then),
                Effect::Check(generation) => {
                    let before = self.0.model.findings.computed.clone();
                    let book = Arc::clone(&self.0.model.book);
                    let computed = Computed::after(before.as_deref(), book, drop, &|| false);
                    Msg::Checked(generation, Arc::new(computed))
                }
                _ => continue,
            };
            waiting.extend(update(&mut self.0.model, msg));
        }
    }

    fn press(&mut self, typed: &str) -> &mut Self {
        for key in keys(typed) {
            self.take(Msg::Input(Input::Key(key)));
        }
        self
    }

    fn snapshots(&self, name: &str) {
        for (width, height) in super::tests::SIZES {
            insta::assert_snapshot!(
                format!("{name}_{width}x{height}"),
                self.0.screen_and_styles(width, height)
            );
        }
    }
}

#[test]
fn the_supply_tree() {
    let mut lit = Lit::new();
    lit.press("gr");
    lit.snapshots("protection");
    lit.press("/w44<Enter>");
    lit.snapshots("protection_wire");
}

#[test]
fn the_fuse_and_wire_picture() {
    let mut lit = Lit::new();
    lit.press("gr/f6<Enter>p");
    lit.snapshots("protection_picture");
    lit.0.model.look = Look {
        colour: false,
        ascii: true,
        ..Look::default()
    };
    insta::assert_snapshot!("protection_picture_ascii", lit.0.screen(80, 24));
}

#[test]
fn shorts_at_far_ends() {
    let mut lit = Lit::new();
    lit.press("grf");
    lit.snapshots("protection_far_ends");
}

#[test]
fn the_states() {
    let mut lit = Lit::new();
    lit.press("/mc-a16<Enter>gt<Right><Right><Right><Right><Right><Right>");
    lit.snapshots("states");
}

#[test]
fn what_is_written_and_the_forms_for_it() {
    let mut lit = Lit::new();
    lit.press("gtw<Down>");
    lit.snapshots("written");
    lit.press("e<Down><Down> and MC-A99 or MC.brake<Enter>");
    lit.snapshots("written_rule_wrong");
    lit.press("<Esc>y/mc.inhibit<Enter>e<Down><Down>");
    lit.press(" or MC.");
    lit.snapshots("written_behaviour");
    lit.press("<Esc>y/brake nc contact<Enter>e");
    lit.snapshots("written_contact");
    lit.press("<Esc>/drive<Enter>e<Down><Down>");
    lit.snapshots("written_state");
}

#[test]
fn the_rules() {
    let mut lit = Lit::new();
    lit.press("gtr");
    lit.snapshots("rules");
    lit.press("<Right>");
    let broken = |lit: &Lit| {
        let lines = rules::lines(&lit.0.model).unwrap();
        lines[lit.0.model.states.rule_at].clone()
    };
    assert_eq!(broken(&lit).what, "I1", "the next heading");
    let lines = rules::lines(&lit.0.model).unwrap();
    let w54 = lines
        .iter()
        .position(|l| l.words.starts_with("W54 off at"))
        .unwrap();
    while lit.0.model.states.rule_at < w54 {
        lit.press("<Down>");
    }
    lit.snapshots("rules_fault");
    lit.press("<Enter>");
    assert_eq!(lit.0.model.place, crate::screen::action::Where::Face);
    let cavity = crate::screen::model::face::cavity(&lit.0.model).unwrap().id;
    let book = lit.0.book();
    let wire = book.get(book.index().labelled::<Wire>("W54").unwrap()).unwrap();
    assert!(
        [wire.from, wire.to].contains(&crimpbook_workbook::model::End::Cavity(cavity)),
        "at an end of W54"
    );
}

#[test]
fn a_wire_supposed_to_fail() {
    let mut lit = Lit::new();
    lit.press("gr/w19<Enter>s");
    lit.snapshots("suppose");
    lit.press("<Down><Down>");
    insta::assert_snapshot!("suppose_further", lit.0.screen(80, 24));
}

/// A short of W19 to chassis hurts no wire, since it sits behind a coil, and closes MAIN+: two verdicts.
#[test]
fn words_come_before_figures_and_there_are_two_verdicts() {
    let mut lit = Lit::new();
    let wire = lit.0.book().index().labelled::<Wire>("W19").unwrap();
    lit.press("/w19<Enter>s");
    let lines = suppose::lines(&lit.0.model, wire);
    let chassis = lines
        .iter()
        .position(|l| l.words == "If W19 touches chassis")
        .unwrap();
    let told: Vec<(&str, &str)> = lines[chassis + 1..]
        .iter()
        .map(|l| (l.what, l.words.as_str()))
        .collect();
    assert!(told[0].1.starts_with("KEY+PLUGGED, KEY"), "{told:?}");
    let place = |what: &str| told.iter().position(|(w, _)| *w == what).unwrap();
    assert!(
        told[place("starts")].1.contains("MAIN+ coil pulls in"),
        "{told:?}"
    );
    assert!(told[place("wire")].1.starts_with("safe"), "{told:?}");
    assert!(told[place("function")].1.starts_with("NOT safe"), "{told:?}");
    assert!(place("figures") > place("function"));
    assert!(
        lines
            .last()
            .unwrap()
            .words
            .ends_with("A passed check is not an approval.")
    );
}

#[test]
fn the_calculators() {
    let mut lit = Lit::new();
    lit.press("/mc-a10<Enter>=");
    lit.snapshots("reckon_pedal");
    lit.press("<Down><Down><Down><Down><Down>4.9<Enter>p");
    lit.snapshots("reckon_pedal_curve");
    lit.press("pN750<Enter>7mF<Enter><Down>4<Enter>96");
    lit.snapshots("reckon_precharge_typing");
    lit.press("<Enter>");
    lit.snapshots("reckon_precharge");
    lit.0.model.look = Look {
        colour: false,
        ascii: true,
        ..Look::default()
    };
    insta::assert_snapshot!("reckon_precharge_ascii", lit.0.screen(80, 24));
}

#[test]
fn a_calculator_opens_for_the_cavity_and_keeps_what_is_typed() {
    let mut lit = Lit::new();
    let sheet = |lit: &Lit| crate::screen::model::reckon::sheet(&lit.0.model);
    lit.press("/mc-a12<Enter>=");
    let shown = sheet(&lit);
    assert!(shown.subject.as_ref().unwrap().0.label.contains("MC-A12"));
    let input = |lit: &Lit, name: &str| {
        let sheet = sheet(lit);
        let at = sheet
            .calculator
            .inputs
            .iter()
            .position(|i| i.name == name)
            .unwrap();
        (sheet.texts[at].clone(), sheet.from[at].clone())
    };
    lit.press("0,8<Enter>");
    assert_eq!(input(&lit, "rest"), ("0,8".to_owned(), "typed".to_owned()));
    // Another place of the workbook has figures of its own; coming back finds what was typed.
    lit.press("<Right>");
    assert_ne!(input(&lit, "rest").0, "0,8");
    lit.press("<Left>q");
    assert!(lit.0.model.over.is_empty());
    lit.press("=");
    assert_eq!(input(&lit, "rest").0, "0,8");
    lit.press("w");
    assert_ne!(input(&lit, "rest").1, "typed");
    // What cannot be read stays in the line with the sentence; Esc asks before it is lost.
    lit.press("1,500<Enter>");
    assert!(lit.0.screen(80, 24).contains("can mean 1.5 or 1500"));
    lit.press("<Esc>y");
    assert!(matches!(lit.0.model.over.last(), Some(Over::Reckon)));
    // On Settings they are for the cavity of the setting there.
    lit.press("<Esc>ge");
    let regen = |s: &&crimpbook_workbook::model::Setting| s.label == "REGEN_COAST_MAX";
    let rows = crate::screen::model::settings::rows(&lit.0.model);
    lit.0.model.settings.at = rows.iter().position(regen).unwrap();
    lit.press("=<Tab><Tab><Tab>");
    assert_eq!(input(&lit, "coast").1, "REGEN_COAST_MAX");
    // Nothing of it reached the workbook.
    assert_eq!(lit.0.session.heads().len(), Bench::demo().session.heads().len());
}

#[test]
fn words_of_an_input_are_chosen_by_enter() {
    let mut lit = Lit::new();
    lit.press("/mc-a10<Enter>=<Down><Down><Down><Down><Down><Down>");
    let sensor = |lit: &Lit| crate::screen::model::reckon::sheet(&lit.0.model).texts[6].clone();
    assert_eq!(sensor(&lit), "active");
    lit.press("<Enter>");
    assert_eq!(sensor(&lit), "potentiometer");
    lit.press("<Enter>");
    assert_eq!(sensor(&lit), "active");
    lit.press("x");
    assert_eq!(sensor(&lit), "");
    assert!(lit.0.screen(120, 40).contains("missing what the sensor is"));
}

#[test]
fn every_wire_stands_once_in_the_tree_or_is_counted_beside_it() {
    let lit = Lit::new();
    let see = lit.0.model.findings.current().unwrap();
    let mut places: Vec<usize> = see
        .tree()
        .rows
        .iter()
        .filter_map(|row| match row.twig {
            Twig::Wire(at) => Some(at),
            _ => None,
        })
        .collect();
    let count = places.len();
    places.sort_unstable();
    places.dedup();
    assert_eq!(places.len(), count);
    assert_eq!(count + see.tree().others, see.wiring().wires.len());
    let fed = |at: usize| see.protection().wires[at].unwrap().behind;
    assert!(places.iter().all(|at| fed(*at) != Step::Wire(*at)));
}

#[test]
fn an_answer_about_an_older_book_is_dropped() {
    let mut lit = Lit::new();
    lit.press("gr/f6<Enter>");
    let question = Question::Picture(protection::fuse_here(&lit.0.model).unwrap());
    assert!(answer(&lit.0.model, question).is_some());
    lit.0.model.findings.generation = 2;
    assert!(
        answer(&lit.0.model, question).is_none(),
        "it is about another book"
    );
    let mut answers = Answers::default();
    answers.take(1, question, Arc::new(Answer::FarEnds(Vec::new())));
    assert!(format!("{answers:?}").contains("known: []"));
}

#[test]
fn while_it_is_computed_the_screens_say_so() {
    let mut bench = Bench::demo();
    bench.model.findings.running = true;
    for keys in ["gr", "gt"] {
        update(
            &mut bench.model,
            Msg::Input(Input::Key(crate::screen::keys::Key::Char('g'))),
        );
        let letter = keys.chars().nth(1).unwrap();
        update(
            &mut bench.model,
            Msg::Input(Input::Key(crate::screen::keys::Key::Char(letter))),
        );
        assert!(bench.screen(80, 24).contains("checking"), "{keys}");
    }
}

#[test]
fn enter_goes_to_the_wire_and_to_the_cavity() {
    let mut lit = Lit::new();
    lit.press("gr/w44<Enter><Enter>");
    assert!(lit.0.screen(80, 24).contains("W44"), "Parts, at the wire");
    assert_eq!(lit.0.model.place, crate::screen::action::Where::Parts);
    lit.press("/mc-a16<Enter>gt<Enter>");
    assert_eq!(lit.0.model.place, crate::screen::action::Where::Face);
}

#[test]
fn nothing_panics_at_any_size_with_figures() {
    for typed in [
        "gr",
        "gtr",
        "grp",
        "gr<Down><Down>p",
        "grf",
        "gt",
        "/w19<Enter>s",
        "/mc-a10<Enter>=",
        "/mc-a10<Enter>=p",
        "=",
    ] {
        let mut lit = Lit::new();
        lit.press(typed);
        for width in (0..=140).step_by(20) {
            for height in (0..=48).step_by(6) {
                lit.0.buffer(width, height);
            }
        }
    }
}

/// What was not tried with the others is tried when the cursor comes to the finding, and the key makes it then.
#[test]
fn a_mend_that_was_not_tried() {
    let mut lit = Lit::new();
    let book = Arc::clone(&lit.0.model.book);
    lit.0.model.findings.generation = 2;
    let untried = Computed::after(None, book, drop, &|| false);
    lit.take(Msg::Checked(2, Arc::new(untried)));
    let is_there = |model: &Model| {
        let finding = overview::finding_at(model);
        finding.is_some_and(|finding| finding.check == "fuse-above-wire" && finding.untried)
    };
    for _ in 0..40 {
        if !is_there(&lit.0.model) {
            lit.press("<Down>");
        }
    }
    lit.press("m");
    let Some(Over::Line(line)) = lit.0.model.over.last() else {
        panic!("{}", lit.0.screen(80, 24));
    };
    assert!(line.title.contains("W44"), "{}", line.title);
}

/// Chosen with the arrows, typed, read at the cavity that the page names; the page leads to the wire that is off.
#[test]
fn finding_a_fault() {
    let mut lit = Lit::new();
    lit.press("gt/drive<Enter>f");
    lit.snapshots("hunt_choose");
    lit.press("mc.ready<Down><Enter>");
    let hunt = lit.0.model.hunt.clone().unwrap();
    assert_eq!(hunt.said.len(), 1, "{:?}", hunt.wrong);
    assert!(!hunt.page.suspects.is_empty());
    assert!(hunt.page.measure.is_some());
    lit.snapshots("hunt_fits");
    lit.press("no such lamp off<Enter>");
    let wrong = lit.0.model.hunt.as_ref().unwrap().wrong.clone().unwrap();
    for (width, height) in [(60, 18), (80, 24)] {
        let screen = lit.0.screen(width, height);
        let words: Vec<&str> = screen.split_whitespace().collect();
        assert!(words.join(" ").contains(&wrong), "{screen}");
    }
    lit.press("<Esc>f<Esc>");
    assert_eq!(
        lit.0.model.hunt.as_ref().unwrap().said,
        hunt.said,
        "it stays when its page is closed"
    );
}

/// A thinner wire is tried: marked on every screen, its cost told, nothing of it kept; dropped, all is as before.
#[test]
fn an_edit_tried_first() {
    let mut lit = Lit::new();
    lit.1 = Proves::Never;
    let (before, entries) = (lit.0.book().clone(), lit.0.session.heads().len());
    lit.press("Wgp/w19<Enter>");
    let wire = lit.0.book().index().labelled::<Wire>("W19").unwrap();
    let mut after = lit.0.book().get(wire).unwrap().clone();
    after.length_m = Some(40.0);
    let was = lit.0.book().get(wire).unwrap().clone();
    let edit = crimpbook_workbook::edit::Edit::design(
        "W19: length 40 m",
        vec![crimpbook_workbook::edit::Change::replace(was, after)],
    );
    let kept = lit.0.session.edit(edit).unwrap();
    lit.take(Msg::Kept(kept, Default::default()));
    lit.snapshots("trying_elsewhere");
    lit.press("W");
    lit.snapshots("trying");
    assert_eq!(
        crate::screen::model::wanted::wanted(&lit.0.model),
        Some(Question::ProofBefore),
        "the rules are proven on both sides once it is looked at"
    );
    lit.press("<Esc>q");
    assert!(
        lit.0.model.note.as_ref().unwrap().trouble,
        "leaving would lose it"
    );
    lit.press("WD");
    assert_eq!((lit.0.book(), lit.0.session.heads().len()), (&before, entries));
    assert!(lit.0.model.trying.is_none());
}

/// The session with its outcome is an entry of the log and a record; the next one starts anew.
#[test]
fn a_fault_that_was_found_is_kept() {
    let mut lit = Lit::new();
    lit.press("gt/drive<Enter>ffound nothing yet<Enter>");
    let wrong = |lit: &Lit| lit.0.model.hunt.as_ref().and_then(|hunt| hunt.wrong.clone());
    assert!(wrong(&lit).unwrap().contains("nothing was seen or read yet"));
    lit.press("<Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back><Back>");
    lit.press(
        "MC.ready off<Enter>battery 12.6<Enter>found: W13 off at the inertia switch, crimped anew<Enter>",
    );
    assert!(lit.0.model.hunt.is_none() && lit.0.model.over.is_empty());
    let head = lit.0.session.heads().last().unwrap();
    assert_eq!(
        head.title,
        "fault found: W13 off at the inertia switch, crimped anew"
    );
    let book = lit.0.book();
    let session = book
        .all::<crimpbook_workbook::model::FaultFinding>()
        .values()
        .next()
        .unwrap();
    assert_eq!(session.said_words(), "DRIVE: MC.ready off; battery 12.60 V");
    assert!(session.found);
}
