use std::collections::VecDeque;

use chrono::{Offset, Utc};
use crimpbook_store::ConnectorGlance;
use crimpbook_workbook::{
    log::{EntryHead, EntryKind},
    model::Id,
};
use ratatui::backend::TestBackend;

use super::*;
use crate::screen::testkit::{moment, text_of};

fn reading() -> Reading {
    let connector = |label: &str, decided| ConnectorGlance {
        label: label.to_owned(),
        cavities: 35,
        decided,
    };
    let change = EntryHead {
        seq: 3,
        id: Id::from_bits(1),
        at: moment(),
        who: "A.".to_owned(),
        kind: EntryKind::Design,
        title: "W44 0.5 mm²".to_owned(),
        why: "the lamps draw more".to_owned(),
        of: None,
        revision: None,
    };
    let glance = Glance {
        vehicle: "Van".to_owned(),
        wires: 140,
        connectors: vec![connector("MC-B", 2), connector("MC-A", 35)],
        changes: vec![change],
    };
    Reading::new(glance, Utc.fix(), Look::default())
}

struct Script(VecDeque<Event>);

impl Events<Event> for Script {
    fn next(&mut self, _: Duration) -> Option<Event> {
        self.0.pop_front()
    }
}

/// Counts what was done to the terminal.
#[derive(Default)]
struct Counted {
    suspended: usize,
    taken: usize,
}

impl Window for Counted {
    fn suspend(&mut self) {
        self.suspended += 1;
    }
    fn take_again(&mut self) {
        self.taken += 1;
    }
    fn mouse(&mut self, _: bool) {}
}

fn ends(events: Vec<Event>) -> (End, Counted, String) {
    let mut terminal = Terminal::new(TestBackend::new(80, 24)).unwrap();
    let mut window = Counted::default();
    let end = wait(&mut terminal, reading(), &mut Script(events.into()), &mut window).unwrap();
    (end, window, text_of(terminal.backend().buffer()))
}

fn key(c: char) -> Event {
    Event::Input(Input::Key(Key::Char(c)))
}

#[test]
fn what_is_typed_meanwhile_is_given_on_in_order() {
    let paste = Input::Paste("a\tb\n".to_owned());
    let typed = vec![
        key('g'),
        key('f'),
        Event::Input(paste.clone()),
        key('q'),
        Event::Read,
    ];
    let (end, _, screen) = ends(typed);
    let keys = ['g', 'f'].map(|c| Input::Key(Key::Char(c)));
    let [g, f] = keys;
    assert_eq!(end, End::Read(vec![g, f, paste, Input::Key(Key::Char('q'))]));
    assert!(screen.contains("4 keys wait until it is read"), "{screen}");
}

#[test]
fn quitting_and_being_told_to_end_work_at_once() {
    let chord = Event::Input(Input::Key(Key::Ctrl('c')));
    for events in [
        vec![key('q')],
        vec![Event::Hangup],
        vec![key('g'), Event::Hangup],
        vec![key('/'), key('q'), chord],
    ] {
        // A script that is at its end would be waited for without one.
        assert_eq!(ends(events.clone()).0, End::Left, "{events:?}");
    }
}

#[test]
fn it_stops_and_goes_on_as_the_screens_do() {
    let events = vec![
        Event::Input(Input::Suspend),
        Event::Continued,
        Event::Input(Input::Resize),
        Event::Read,
    ];
    let (end, window, screen) = ends(events);
    assert_eq!(
        (end, window.suspended, window.taken),
        (End::Read(Vec::new()), 1, 1)
    );
    assert!(
        screen.contains("keys wait until it is read"),
        "all of it is drawn again: {screen}"
    );
}

#[test]
fn the_first_frame_tells_what_is_seen_at_a_glance() {
    insta::assert_snapshot!(ends(vec![Event::Read]).2);
}

#[test]
fn it_fits_every_window() {
    for (width, height) in [(1, 1), (20, 4), (36, 8), (40, 12), (60, 18), (300, 80)] {
        let area = ratatui::layout::Rect::new(0, 0, width, height);
        let mut buffer = ratatui::buffer::Buffer::empty(area);
        draw(&reading(), area, &mut buffer);
        let screen = text_of(&buffer);
        assert!(
            width < 20 || screen.contains("reading"),
            "{width}×{height}: {screen}"
        );
    }
}

#[test]
fn what_is_seen_at_a_glance_is_what_the_overview_tells() {
    use crate::screen::{
        model::overview::{Part, changed, rows, totals},
        testkit::Bench,
    };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.crimpbook");
    let entries = crimpbook_record::demo::entries().unwrap();
    let made = crimpbook_store::Store::create(&path, &entries).unwrap();
    made.store.close().unwrap();
    let glance = crimpbook_store::Store::begin(&path).unwrap().glance().unwrap();
    let model = Bench::demo().model;
    let totals = totals(&model);
    let sum = |of: fn(&ConnectorGlance) -> usize| glance.connectors.iter().map(of).sum::<usize>();
    assert_eq!(
        (sum(|c| c.cavities), sum(|c| c.decided), glance.wires),
        (totals.cavities, totals.decided, totals.wires)
    );
    assert_eq!(glance.vehicle, model.vehicle());
    let of = |part| rows(&model).iter().filter(move |row| row.part == part);
    let told: Vec<_> = of(Part::Changes).map(|row| row.words.clone()).collect();
    let seen: Vec<_> = glance.changes.iter().map(changed).collect();
    assert_eq!((seen, told.len()), (told, 8));
    let mut told: Vec<_> = of(Part::Connectors)
        .map(|row| (row.name.clone(), row.progress.map(|p| (p.decided, p.cavities))))
        .collect();
    let mut seen: Vec<_> = glance
        .connectors
        .iter()
        .map(|c| (c.label.clone(), Some((c.decided, c.cavities))))
        .collect();
    told.sort();
    seen.sort();
    assert_eq!(seen, told);
}
