//! What the tests of the screens stand on: a small fixed book, a port in memory, keys as text, screens as text and styles.

use std::{collections::VecDeque, fmt::Write as _, sync::Arc, time::Duration};

use chrono::{DateTime, TimeDelta, Utc};
use crimpbook_workbook::{
    Book,
    check::{Accepted, CannotCheck, Figure, Finding, Level, Mend, Report},
    edit::{Change, Edit},
    log::Entry,
    model::*,
    question::{Ask, fields},
};
use ratatui::{
    Terminal,
    backend::TestBackend,
    buffer::Buffer,
    layout::Rect,
    style::{Color, Modifier, Style},
};

use super::{
    ask::Question,
    computed::Computed,
    effect::Msg,
    habits::Habits,
    keys::{Input, Key},
    model::Model,
    run::{Events, Port, Window, run},
    theme::Look,
    view,
};
use crate::session::{Copies, Fresh, Kept, Memory, Session, Tried, Tries, Trouble, WholeLog};

pub mod small;

/// The fixed moment of the tests.
pub fn moment() -> DateTime<Utc> {
    DateTime::UNIX_EPOCH + TimeDelta::days(20_100)
}

/// A whole program on a test terminal, without threads.
pub struct Bench {
    pub session: Session,
    pub model: Model,
    /// The workbook's other copies, by name.
    pub copies: std::collections::BTreeMap<String, (Book, WholeLog)>,
    /// Part files, by name.
    pub files: std::collections::BTreeMap<String, String>,
    /// What was remembered last for the next run.
    pub remembered: Option<Habits>,
    size: (u16, u16),
}

impl Bench {
    /// The screens over a book in memory, at 80 by 24.
    pub fn over(book: Book) -> Self {
        let session = Session::new(Box::new(Memory::default()), book, Vec::new(), "Ann", 11, moment);
        Self::of(session)
    }

    /// The screens over the demonstration vehicle at the end of its story.
    pub fn demo() -> Self {
        let entries = crimpbook_record::demo::entries().unwrap();
        let mut book = Book::default();
        let mut heads = Vec::new();
        for (seq, entry) in (1..).zip(&entries) {
            book.apply(entry).unwrap();
            heads.push(entry.head(seq));
        }
        Self::of(Session::new(
            Box::new(Memory::with(entries)),
            book,
            heads,
            "A.",
            11,
            moment,
        ))
    }

    /// The screens over a session.
    pub fn of(session: Session) -> Self {
        let model = Model::new(
            Arc::clone(session.book()),
            session.heads().to_vec(),
            session.who(),
            12,
            Look::default(),
        );
        Self {
            session,
            model,
            copies: Default::default(),
            files: Default::default(),
            remembered: None,
            size: (80, 24),
        }
    }

    /// The program left and started again on the same file.
    pub fn restart(self) -> Self {
        Self::of(self.session)
    }

    /// Types keys, as [`keys`] reads them, through the real loop.
    pub fn press(&mut self, typed: &str) -> &mut Self {
        let mut events = Script(
            keys(typed)
                .into_iter()
                .map(|k| Msg::Input(Input::Key(k)))
                .collect(),
        );
        self.play(&mut events);
        self
    }

    /// Strikes one key.
    pub fn strike(&mut self, key: Key) {
        self.play(&mut Script(VecDeque::from([Msg::Input(Input::Key(key))])));
    }

    /// Lets things happen at the terminal one after the other, as fast as they can.
    pub fn happen(&mut self, inputs: Vec<Input>) {
        self.play(&mut Script(inputs.into_iter().map(Msg::Input).collect()));
    }

    /// Lets something happen outside, as another program on the same file would make it.
    pub fn happen_outside(&mut self, msg: Msg) {
        self.play(&mut Script(VecDeque::from([msg])));
    }

    /// Starts the screens and lets nothing happen for as many looks for another writer; gives how often was drawn.
    pub fn idle(&mut self, looks: usize) -> usize {
        let mut terminal = Terminal::new(TestBackend::new(self.size.0, self.size.1)).unwrap();
        let mut port = InTest {
            session: &mut self.session,
            copies: &self.copies,
            files: &mut self.files,
            remembered: &mut self.remembered,
            report: None,
            answers: Vec::new(),
        };
        run(&mut terminal, &mut self.model, &mut Nothing(looks), &mut port).unwrap();
        terminal.get_frame().count()
    }

    /// Types a text letter by letter.
    pub fn type_text(&mut self, text: &str) -> &mut Self {
        let mut events = Script(
            text.chars()
                .map(|c| Msg::Input(Input::Key(Key::Char(c))))
                .collect(),
        );
        self.play(&mut events);
        self
    }

    /// Pastes a text.
    pub fn paste(&mut self, text: &str) -> &mut Self {
        self.play(&mut Script(VecDeque::from([Msg::Input(Input::Paste(
            text.to_owned(),
        ))])));
        self
    }

    fn play(&mut self, events: &mut Script) {
        let backend = TestBackend::new(self.size.0, self.size.1);
        let mut terminal = Terminal::new(backend).unwrap();
        let mut port = InTest {
            session: &mut self.session,
            copies: &self.copies,
            files: &mut self.files,
            remembered: &mut self.remembered,
            report: None,
            answers: Vec::new(),
        };
        run(&mut terminal, &mut self.model, events, &mut port).unwrap();
        for answered in port.answers {
            super::update::update(&mut self.model, answered);
        }
        // The checks' answer comes as an event, which the script has none of.
        if let Some((generation, computed)) = port.report {
            super::update::update(&mut self.model, Msg::Checked(generation, Arc::new(computed)));
            self.model.signals();
        }
    }

    /// The book as it is kept.
    pub fn book(&self) -> &Book {
        self.session.book()
    }

    /// The screen as text.
    pub fn screen(&self, width: u16, height: u16) -> String {
        text_of(&self.buffer(width, height))
    }

    /// Holds that the smallest usual screen has these words somewhere.
    #[track_caller]
    pub fn shows(&self, words: &str) {
        let screen = self.screen(80, 24);
        assert!(screen.contains(words), "{words:?} is not on it: {screen}");
    }

    /// The screen as text, and below it a map of its styles.
    pub fn screen_and_styles(&self, width: u16, height: u16) -> String {
        let buffer = self.buffer(width, height);
        format!("{}{}", text_of(&buffer), styles_of(&buffer))
    }

    /// What is drawn.
    pub fn buffer(&self, width: u16, height: u16) -> Buffer {
        let area = Rect::new(0, 0, width, height);
        let mut buffer = Buffer::empty(area);
        view::draw(&self.model, area, &mut buffer);
        buffer
    }
}

/// Keys from text: a character each, `<Enter>`, `<Esc>`, `<Space>` … for the others.
pub fn keys(typed: &str) -> Vec<Key> {
    let mut keys = Vec::new();
    let mut rest = typed.chars();
    while let Some(c) = rest.next() {
        keys.push(if c == '<' {
            let name: String = rest.by_ref().take_while(|c| *c != '>').collect();
            named(&name)
        } else {
            Key::Char(c)
        });
    }
    keys
}

fn named(name: &str) -> Key {
    match name {
        "Space" => Key::Char(' '),
        "Enter" => Key::Enter,
        "Esc" => Key::Esc,
        "Tab" => Key::Tab,
        "BackTab" => Key::BackTab,
        "Back" => Key::Backspace,
        "Del" => Key::Delete,
        "Left" => Key::Left,
        "Right" => Key::Right,
        "Up" => Key::Up,
        "Down" => Key::Down,
        "Home" => Key::Home,
        "End" => Key::End,
        "PgUp" => Key::PageUp,
        "PgDn" => Key::PageDown,
        other => panic!("no key is called {other}"),
    }
}

/// Events from a script; then the person hangs up.
struct Script(VecDeque<Msg>);

impl Events for Script {
    fn next(&mut self, most: Duration) -> Option<Msg> {
        match self.0.pop_front() {
            None if most.is_zero() => None,
            msg => msg.or(Some(Msg::Hangup)),
        }
    }
}

/// Nothing happens so many times; then the person hangs up.
struct Nothing(usize);

impl Events for Nothing {
    fn next(&mut self, _: Duration) -> Option<Msg> {
        match self.0.checked_sub(1) {
            Some(left) => {
                self.0 = left;
                None
            }
            None => Some(Msg::Hangup),
        }
    }
}

/// The world outside, in memory.
struct InTest<'s> {
    session: &'s mut Session,
    copies: &'s std::collections::BTreeMap<String, (Book, WholeLog)>,
    files: &'s mut std::collections::BTreeMap<String, String>,
    remembered: &'s mut Option<Habits>,
    report: Option<(u64, Computed)>,
    answers: Vec<Msg>,
}

impl Port for InTest<'_> {
    fn now(&mut self) -> DateTime<Utc> {
        self.session.now()
    }
    fn edit(&mut self, edit: Edit) -> Result<Kept, Trouble> {
        self.session.edit(edit)
    }
    fn undo(&mut self) -> Result<Kept, Trouble> {
        self.session.undo()
    }
    fn redo(&mut self) -> Result<Kept, Trouble> {
        self.session.redo()
    }
    fn tries(&mut self, what: Tries) -> Result<Tried, Trouble> {
        self.session.tries(what)
    }
    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
        self.session.entry(seq)
    }
    fn other(&mut self, path: &str) -> Result<Book, Trouble> {
        match path {
            "small" => Ok(small::book()),
            _ => Err(Trouble::File(format!("{path} is not there"))),
        }
    }
    fn copies(&mut self, path: &str) -> Result<Copies, Trouble> {
        let mine = self.session.log()?;
        let other = self.copies.get(path).cloned();
        let (book, theirs) = other.ok_or_else(|| Trouble::File(format!("{path} is not there")))?;
        Ok(Copies { mine, book, theirs })
    }
    fn remember(&mut self, habits: Habits) {
        *self.remembered = Some(habits);
    }
    fn read_part(&mut self, path: &str) -> Result<String, Trouble> {
        let text = self.files.get(path).cloned();
        text.ok_or_else(|| Trouble::File(format!("{path} is not there")))
    }
    fn write_part(&mut self, path: &str, text: &str) -> Result<(), Trouble> {
        if self.files.contains_key(path) {
            return Err(Trouble::File(format!("{path} is there already")));
        }
        self.files.insert(path.to_owned(), text.to_owned());
        Ok(())
    }
    fn refresh(&mut self) -> Result<Option<Fresh>, Trouble> {
        self.session.refresh()
    }
    fn check(&mut self, generation: u64, book: Arc<Book>) {
        let report = report(&book);
        // Figures of the network are left out, so that they do not change every screen.
        self.report = Some((generation, Computed::new(report, None)));
    }
    fn ask(&mut self, generation: u64, of: Arc<Computed>, question: Question) {
        let answer = of.snapshot.as_ref().map(|see| question.answer(see));
        self.answers
            .extend(answer.map(|a| Msg::Answered(generation, question, Arc::new(a))));
    }
    fn bell(&mut self) {}
}

impl Window for InTest<'_> {
    fn suspend(&mut self) {}
    fn take_again(&mut self) {}
    fn mouse(&mut self, _: bool) {}
}

/// What the checks say in tests: fixed, so that a new check does not change every screen.
fn report(book: &Book) -> Report {
    let mut report = Report::default();
    if let Some(wire) = book.index().labelled::<Wire>("W44").and_then(|id| book.get(id))
        && wire.area_mm2 == Some(0.35)
    {
        let mut finding = Finding::new(
            "fuse-above-wire",
            Level::Stop,
            wire.id,
            "F6 10 A is too much for W44, 0.35 mm²: at 135 % of its rating the wire reaches 168 °C.",
        )
        .figure(Figure::against("wire temperature", 168.0, 155.0, "°C"))
        .matters("A wire that is hotter than its class for long loses its insulation.")
        .mend(Mend {
            words: "W44 0.5 mm²".to_owned(),
            changes: vec![Change::replace(
                wire.clone(),
                Wire {
                    area_mm2: Some(0.5),
                    ..wire.clone()
                },
            )],
        });
        let acceptance = book.all::<Acceptance>().values().next();
        finding.accepted = acceptance.map(|a| Accepted {
            id: a.id,
            why: a.why.clone(),
            who: a.who.clone(),
            at: a.at,
            lapsed: None,
        });
        report.findings.push(finding);
    }
    if let Some(unit) = book.index().labelled::<Unit>("DI") {
        let cavities = book.index().connectors_of.get(&unit).into_iter().flatten();
        let lamps = cavities.flat_map(|c| book.cavities_of(*c)).next();
        let fields = [
            &fields::CAVITY_MOST_A,
            &fields::CAVITY_PEAK_A,
            &fields::CAVITY_PULL,
        ];
        let asks: Vec<Ask> = lamps
            .iter()
            .flat_map(|lamps| fields.map(|field| Ask::of(lamps.id, field)))
            .collect();
        let open: Vec<Ask> = asks.into_iter().filter(|ask| ask.is_open(book)).collect();
        if lamps.is_none() || !open.is_empty() {
            report.cannot_check.push(CannotCheck {
                checks: vec!["running-current"],
                place: crimpbook_workbook::model::Key::of(unit),
                missing: "the current of the lamps".to_owned(),
                asks: open,
            });
        }
    }
    report
}

/// A screen as lines of text.
pub fn text_of(buffer: &Buffer) -> String {
    let mut text = String::new();
    for y in 0..buffer.area.height {
        let mut line = String::new();
        for x in 0..buffer.area.width {
            line.push_str(buffer[(x, y)].symbol());
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// The styles of a screen: a letter a style, and what each letter means.
pub fn styles_of(buffer: &Buffer) -> String {
    let mut legend: Vec<Style> = vec![Buffer::empty(Rect::new(0, 0, 1, 1))[(0, 0)].style()];
    let mut map = String::new();
    for y in 0..buffer.area.height {
        let mut line = String::new();
        for x in 0..buffer.area.width {
            let style = buffer[(x, y)].style();
            let at = legend
                .iter()
                .position(|known| *known == style)
                .unwrap_or_else(|| {
                    legend.push(style);
                    legend.len() - 1
                });
            line.push(if at == 0 {
                '.'
            } else {
                char::from(b'a' + (at as u8 - 1) % 26)
            });
        }
        map.push_str(line.trim_end_matches('.'));
        map.push('\n');
    }
    for (at, style) in legend.iter().enumerate().skip(1) {
        let _ = write!(map, "{} =", char::from(b'a' + (at as u8 - 1) % 26));
        for (what, colour) in [("", style.fg), (" on", style.bg)] {
            if let Some(colour) = colour.filter(|c| *c != Color::Reset) {
                let _ = write!(map, "{what} {colour}");
            }
        }
        for (name, _) in style
            .add_modifier
            .iter_names()
            .filter(|(_, m)| *m != Modifier::empty())
        {
            let _ = write!(map, " {}", name.to_lowercase());
        }
        map.push('\n');
    }
    map
}
