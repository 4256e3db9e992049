//! Tests: readings typed at the meter.

use crimpbook_core::quantity::Kind;
use crimpbook_workbook::{
    Book,
    edit::make,
    measure::{
        Known, Standing, Taken, Test, all_open, battery_read, reading_of, stages, standing, take, typed,
    },
    model::{Key as RecordKey, TestKind},
};

use super::everywhere::move_cursor;
use crate::screen::{
    action::{Do, Where},
    effect::{Effect, Then},
    form,
    keys::Key,
    model::{
        Model,
        line::{Line, Purpose},
        meter::{answer, aside, at_hand, connector_of, expected_words, links, stops, tests},
        over::Over,
        sieve::List,
    },
};

pub fn perform(model: &mut Model, act: Do, key: Key) -> Option<Vec<Effect>> {
    let count = tests(model).listed.tests.len();
    if move_cursor(&mut model.meter.at, count, act) {
        return Some(Vec::new());
    }
    match act {
        Do::Left => step_stage(model, false),
        Do::Right => step_stage(model, true),
        Do::TypeReading | Do::EnterReading => {
            let begun = match key {
                Key::Char(c) => c.to_string(),
                _ => String::new(),
            };
            ask(model, &begun);
        }
        Do::ReadOpen => {
            let test = at_hand(model)?.clone();
            return Some(take_typed(model, &test, "open"));
        }
        Do::AllOpen => return Some(rest_is_open(model)),
        Do::NextTest => next(model),
        Do::NextLapsed => next_lapsed(model),
        Do::NextConnector => step_connector(model, true),
        Do::PreviousConnector => step_connector(model, false),
        Do::ChooseStage => push(
            model,
            "Which stage? A state's name, or a part of the stage's",
            Purpose::Stage,
        ),
        Do::Leads => push(
            model,
            "The leads held together read how many Ω? Nothing: they are not taken off",
            Purpose::Leads,
        ),
        Do::SupplyNow => push(
            model,
            "The battery's posts read how many V now? Nothing: the workbook's whole range",
            Purpose::SupplyNow,
        ),
        Do::RoomNow => push(
            model,
            "How warm is it here, °C? Nothing: anything from 10 to 40 °C",
            Purpose::RoomNow,
        ),
        Do::CurrentNow => push(
            model,
            "How many A are sent through the wire? 1 to 5",
            Purpose::CurrentNow,
        ),
        Do::NameMeter => {
            let line = Line::new("Which meter?", Purpose::NameMeter).offered(model.meter.name.clone());
            model.over.push(Over::Line(line));
        }
        Do::AddLink => {
            let start = form::Start {
                from: at_hand(model)
                    .map(|t| model.book.cavity_name(t.at))
                    .unwrap_or_default(),
                ..form::Start::default()
            };
            super::form::open(model, form::Purpose::Link, &start);
        }
        Do::TakeLinkOut => return Some(link_out(model)),
        Do::ShowOnFace => {
            let at = RecordKey::of(at_hand(model)?.at);
            super::face::show(model, at);
            super::go_to(model, Where::Face);
        }
        _ => return None,
    }
    Some(Vec::new())
}

fn push(model: &mut Model, title: &str, purpose: Purpose) {
    model.over.push(Over::Line(Line::new(title, purpose)));
}

fn step_stage(model: &mut Model, forward: bool) {
    let (at, count) = tests(model).of;
    let to = if forward { at + 1 } else { at.saturating_sub(1) };
    if to < count {
        show_stage(model, to);
    }
}

fn show_stage(model: &mut Model, stage: usize) {
    model.meter.stage = stage;
    model.meter.at = 0;
    model.derived.forget_tests();
}

fn set_known(model: &mut Model, known: Known) {
    model.meter.known = known;
    model.derived.forget_tests();
}

/// To the next test after the cursor that asks for a reading, round the end.
pub fn next(model: &mut Model) {
    let list = &tests(model).listed.tests;
    let asks = |test: &Test| {
        matches!(
            standing(&model.book, test),
            Standing::Open | Standing::Lapsed | Standing::Failed
        )
    };
    let count = list.len();
    let at = (1..=count)
        .map(|by| (model.meter.at + by) % count)
        .find(|at| list.get(*at).is_some_and(asks));
    match at {
        Some(at) => model.meter.at = at,
        None if model.sieves.of(List::Tests).words.is_empty() => {
            model.say("everything of this stage is read, and right");
        }
        None => model
            .say("everything with these words is read, and right; other tests of this stage are not shown"),
    }
}

/// To the next test of any stage whose reading lapsed.
fn next_lapsed(model: &mut Model) {
    let (stage, here) = (tests(model).stage, at_hand(model).cloned());
    let stops = std::sync::Arc::clone(stops(model));
    let Some((to, test)) = stops.next_lapsed(&model.book, stage, here.as_ref()) else {
        model.say("what lapsed is no test of the plan any more; the record lists it");
        return;
    };
    if to != stage {
        let place = stages(&model.book).iter().position(|stage| *stage == to);
        show_stage(model, place.unwrap_or_default());
    }
    match tests(model).listed.tests.iter().position(|t| t.is_same(&test)) {
        Some(at) => model.meter.at = at,
        None => model.say("it is among the tests that are not shown; F shows them"),
    }
}

/// To the next test that has no reading that counts; stays where all have.
fn advance(model: &mut Model) {
    let list = &tests(model).listed.tests;
    let asks = |test: &Test| matches!(standing(&model.book, test), Standing::Open | Standing::Lapsed);
    let after = (model.meter.at + 1..list.len()).find(|at| list.get(*at).is_some_and(asks));
    if let Some(at) = after {
        model.meter.at = at;
    }
}

fn step_connector(model: &mut Model, forward: bool) {
    let list = &tests(model).listed.tests;
    let of = |at: usize| list.get(at).and_then(|test| connector_of(&model.book, test));
    let here = of(model.meter.at);
    let to = if forward {
        (model.meter.at..list.len()).find(|at| of(*at) != here)
    } else {
        let before = (0..model.meter.at).rev().find(|at| of(*at) != here);
        before.map(|last| {
            let there = of(last);
            (0..=last)
                .rev()
                .take_while(|at| of(*at) == there)
                .last()
                .unwrap_or(last)
        })
    };
    if let Some(at) = to {
        model.meter.at = at;
    }
}

/// What a figure typed without a unit is in.
fn unit(test: &Test) -> &'static str {
    match test.kind {
        TestKind::Contact => "mV",
        TestKind::Draw => "mA",
        _ => test.measure(),
    }
}

/// A reading as typed, with its unit where none was typed.
fn with_unit(text: &str, test: &Test) -> String {
    let text = text.trim();
    if text.ends_with(|c: char| c.is_ascii_digit()) && !text.contains(char::is_alphabetic) {
        format!("{text} {}", unit(test))
    } else {
        text.to_owned()
    }
}

/// Opens the line for the reading of the test at hand.
fn ask(model: &mut Model, begun: &str) {
    let Some(test) = at_hand(model).cloned() else {
        return;
    };
    let book = &model.book;
    let unit = unit(&test);
    let aside = aside(book, &test);
    let aside = if aside.is_empty() {
        aside
    } else {
        format!(" ({aside})")
    };
    let title = format!(
        "{} to {}{aside}, {unit}; expected {}",
        book.cavity_name(test.at),
        test.against_words(book),
        expected_words(&test)
    );
    let mut line = Line::new(title, Purpose::Reading(Box::new(test)));
    line.editor.insert(begun);
    model.over.push(Over::Line(line));
}

/// Takes a reading as typed; one that is not as expected asks what was done.
pub fn take_typed(model: &mut Model, test: &Test, text: &str) -> Vec<Effect> {
    let milli = matches!(test.kind, TestKind::Contact | TestKind::Draw);
    let read = match typed(text, test.measure(), milli) {
        Ok(read) => read,
        Err(sentence) => return complain(model, &sentence),
    };
    let leads_ohm = model.meter.leads_ohm.filter(|_| test.measure() == "Ω");
    let value = read.value.map(|value| match leads_ohm {
        // What is below the leads' own is within what a meter may be off.
        Some(leads) => (value - leads).max(0.0),
        None => value,
    });
    let current_a = model
        .meter
        .known
        .current_a
        .filter(|_| test.kind == TestKind::Contact);
    if test.kind == TestKind::Contact && current_a.is_none() {
        return complain(
            model,
            "millivolts say nothing without the current: type that first",
        );
    }
    let taken = Taken {
        value,
        leads_ohm,
        current_a,
        ..blank(model)
    };
    if test.expected.judge(value) == Some(false) {
        let title = format!(
            "{}: {} is not {}: what was found and done?",
            model.book.cavity_name(test.at),
            with_unit(text, test),
            expected_words(test)
        );
        model.over.clear();
        let purpose = Purpose::WrongReading(Box::new((test.clone(), taken)));
        push(model, &title, purpose);
        return Vec::new();
    }
    commit(model, test, &taken)
}

/// Takes what was found and done about a reading that is not as expected.
pub fn take_wrong(model: &mut Model, test: &Test, taken: &Taken, text: &str) -> Vec<Effect> {
    if text.is_empty() {
        return complain(model, "a few words are needed; \"not looked into yet\" will do");
    }
    // Whoever types one reading after the other may not have seen the question.
    if typed(text, test.measure(), false).is_ok() {
        let words = "that is the next reading; this one first: what was found, or Esc to read it again";
        return complain(model, words);
    }
    let taken = Taken {
        note: text.to_owned(),
        ..taken.clone()
    };
    commit(model, test, &taken)
}

fn blank(model: &Model) -> Taken {
    Taken {
        value: None,
        at: model.now,
        who: model.who.clone(),
        meter: model.meter.name.clone(),
        note: String::new(),
        leads_ohm: None,
        current_a: None,
    }
}

fn commit(model: &mut Model, test: &Test, taken: &Taken) -> Vec<Effect> {
    let book = std::sync::Arc::clone(&model.book);
    let edit = take(&book, &mut model.ids, test, taken);
    kept_or_not(model, edit)
}

fn rest_is_open(model: &mut Model) -> Vec<Effect> {
    let book = std::sync::Arc::clone(&model.book);
    let list = tests(model).listed.tests.clone();
    let taken = blank(model);
    let edit = all_open(&book, &mut model.ids, &list, &taken);
    kept_or_not(model, edit)
}

fn link_out(model: &mut Model) -> Vec<Effect> {
    let book = std::sync::Arc::clone(&model.book);
    let Some(link) = links(&book).last().map(|link| link.id) else {
        return Vec::new();
    };
    let edit = make::remove_link(&book, link);
    kept_or_not(model, edit)
}

fn kept_or_not(
    model: &mut Model,
    edit: Result<crimpbook_workbook::edit::Edit, crimpbook_workbook::edit::Refusal>,
) -> Vec<Effect> {
    let then = Then {
        close: true,
        go: None,
        advance: true,
    };
    match edit {
        Ok(edit) => vec![Effect::Commit(Box::new(edit), then)],
        Err(refusal) => complain(model, &refusal.to_string()),
    }
}

/// Takes a stage, the battery's volts, the current, the leads' ohms or the meter's name.
pub fn take_setting(model: &mut Model, purpose: &Purpose, text: &str) -> Vec<Effect> {
    let amount = |kind: Kind| match text {
        "" => Ok(None),
        text => kind.parse(text).map(Some).map_err(|wrong| wrong.to_string()),
    };
    let known = model.meter.known;
    let taken = match purpose {
        Purpose::Stage => return choose_stage(model, text),
        Purpose::NameMeter => {
            text.clone_into(&mut model.meter.name);
            Ok(format!("readings are kept as taken with {text}"))
        }
        Purpose::Leads => amount(Kind::Resistance).map(|ohm| {
            model.meter.leads_ohm = ohm;
            "the leads' own ohms are taken off from here on".to_owned()
        }),
        Purpose::SupplyNow => amount(Kind::Voltage).and_then(|supply_v| {
            let supply_v = supply_v.map(battery_read).transpose()?;
            set_known(model, Known { supply_v, ..known });
            Ok(supply_v.map_or_else(
                || "volts are expected for any battery again".to_owned(),
                |v| {
                    format!("volts are expected for a battery at {v} V; b with nothing typed takes that back")
                },
            ))
        }),
        Purpose::RoomNow => amount(Kind::Temperature).and_then(|room_c| match room_c {
            Some(c) if !(-20.0..=50.0).contains(&c) => {
                Err("nobody measures there; how warm it is here, as in 20".to_owned())
            }
            _ => {
                set_known(model, Known { room_c, ..known });
                Ok("sensors are expected for how warm it is here".to_owned())
            }
        }),
        _ => amount(Kind::Current).and_then(|current_a| match current_a {
            Some(a) if !(1.0..=5.0).contains(&a) => Err(
                "below 1 A millivolts say too little, above 5 A a control wire gets warm; take 1 to 5 A"
                    .to_owned(),
            ),
            _ => {
                set_known(model, Known { current_a, ..known });
                Ok("contacts are measured at this current".to_owned())
            }
        }),
    };
    match taken {
        Ok(words) => {
            model.over.clear();
            model.say(words);
            Vec::new()
        }
        Err(sentence) => complain(model, &sentence),
    }
}

fn choose_stage(model: &mut Model, text: &str) -> Vec<Effect> {
    let low = text.trim().to_lowercase();
    let titles: Vec<String> = stages(&model.book)
        .iter()
        .map(|stage| stage.title(&model.book).to_lowercase())
        .collect();
    // A state by its bare name: its plugs on, as it is driven.
    let bare = format!("{low}, plugs on");
    let found = titles
        .iter()
        .position(|title| *title == low || *title == bare)
        .or_else(|| titles.iter().position(|title| title.starts_with(&low)))
        .or_else(|| titles.iter().position(|title| title.contains(&low)));
    match found.filter(|_| !low.is_empty()) {
        Some(at) => {
            model.over.clear();
            show_stage(model, at);
            Vec::new()
        }
        None => complain(
            model,
            "no stage is called so; a state's name, or a word such as chassis",
        ),
    }
}

fn complain(model: &mut Model, sentence: &str) -> Vec<Effect> {
    match model.over.last_mut() {
        Some(Over::Line(line)) => line.wrong = Some(sentence.to_owned()),
        _ => model.complain(sentence),
    }
    Vec::new()
}

/// An edit was kept: the cursor goes on; where a reading was undone or done again it goes to that.
pub fn kept(model: &mut Model, before: &Book, undoes: bool, then: Then) {
    if then.advance {
        advance(model);
    }
    if undoes {
        let read_otherwise = |test: &Test| {
            reading_of(before, test).map(|reading| reading.id)
                != answer(model, test).map(|reading| reading.id)
        };
        let at = tests(model).listed.tests.iter().position(read_otherwise);
        model.meter.at = at.unwrap_or(model.meter.at);
    }
}
