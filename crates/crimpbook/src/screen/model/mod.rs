//! What the screens know. Changed only by [`super::update`], drawn by [`super::view`].

pub mod asking;
pub mod build;
pub mod derived;
pub mod describe;
pub mod face;
pub mod find;
pub mod findings;
pub mod hunt;
pub mod kept;
pub mod line;
pub mod log;
pub mod merging;
pub mod meter;
pub mod over;
pub mod overview;
pub mod part_files;
pub mod parts;
pub mod preview;
pub mod protection;
pub mod reckon;
pub mod rules;
pub mod settings;
pub mod sieve;
pub mod sources;
pub mod states;
pub mod suppose;
pub mod trail;
pub mod trials;
pub mod trying;
pub mod wanted;
pub mod written;

use std::sync::{Arc, OnceLock};

use chrono::{DateTime, FixedOffset, Offset, Utc};
use crimpbook_workbook::{
    Book,
    edit::{find_redo, find_undo},
    log::EntryHead,
    measure::lapsed,
    model::{About, Connector, IdMaker, TemporaryLink, Trial, Unit, Wire},
    signals::{Signals, Unsourced},
};

use super::{
    action::{Do, Facts, Mending, Where},
    ask::Answers,
    habits::Habits,
    theme::Look,
};
use derived::Derived;
use findings::Findings;
use over::Over;

/// Everything the screens know.
#[derive(Debug, Clone)]
pub struct Model {
    /// The book as it is kept.
    pub book: Arc<Book>,
    /// The log's heads, oldest first.
    pub heads: Vec<EntryHead>,
    /// Who is at work.
    pub who: String,
    /// Makes ids of new records.
    pub ids: IdMaker,
    /// The moment of the last message.
    pub now: DateTime<Utc>,
    /// The person's offset from UTC.
    pub offset: FixedOffset,
    /// How things look.
    pub look: Look,
    /// The screen shown.
    pub place: Where,
    /// What lies over it, the last on top.
    pub over: Vec<Over>,
    /// The line that says what just happened.
    pub note: Option<Note>,
    /// What is to be said once the line is free: of work on the side, which must not cover what was refused.
    pub asides: Vec<String>,
    /// What is wrong with the file as a whole, if it was altered outside of the program.
    pub altered: Option<String>,
    /// What the checks say.
    pub findings: Findings,
    /// Whys typed since the start and those of the log before it, the newest last.
    pub whys: Vec<String>,
    /// The Overview.
    pub overview: overview::Overview,
    /// Build.
    pub build: build::Build,
    /// The Face.
    pub face: face::FaceScreen,
    /// Tests.
    pub meter: meter::Meter,
    /// The Log.
    pub log: log::Log,
    /// Sources.
    pub sources: sources::Sources,
    /// Protection.
    pub protection: protection::Protection,
    /// States.
    pub states: states::States,
    /// Settings.
    pub settings: settings::Settings,
    /// Trials.
    pub trials: trials::Trials,
    /// The calculators.
    pub reckon: reckon::Reckon,
    /// Parts.
    pub parts: parts::Parts,
    /// The fault that is looked for.
    pub hunt: Option<hunt::Hunt>,
    /// Edits that are tried.
    pub trying: Option<trying::Trying>,
    /// Another copy that is being merged with this workbook.
    pub merging: Option<merging::Merging>,
    /// Whether the mouse is listened to.
    pub mouse: bool,
    /// Whether it is to be in the next run, unless that is told otherwise.
    pub mouse_kept: bool,
    /// What is remembered for the next run.
    pub remembered: Habits,
    /// Nothing that was drawn before is still on the terminal.
    pub fresh_terminal: bool,
    /// The orders and words of lists.
    pub sieves: sieve::Sieves,
    /// Where one has been.
    pub trail: trail::Trail,
    /// What was asked of the book as it is now, and the answers.
    pub answers: Answers,
    /// What is derived from the book.
    pub derived: Derived,
}

/// What just happened, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// The sentence.
    pub words: String,
    /// Whether it is something that was not done.
    pub trouble: bool,
    /// The action that takes it back, or does again what was taken back.
    pub back: Option<Do>,
}

impl Model {
    /// The screens over an open workbook.
    pub fn new(book: Arc<Book>, heads: Vec<EntryHead>, who: &str, seed: u128, look: Look) -> Self {
        let mut whys: Vec<String> = Vec::new();
        for head in heads.iter().filter(|h| h.who == who && !h.why.is_empty()) {
            whys.retain(|why| *why != head.why);
            whys.push(head.why.clone());
        }
        Self {
            book,
            heads,
            who: who.to_owned(),
            ids: IdMaker::new(seed),
            now: DateTime::UNIX_EPOCH,
            offset: Utc.fix(),
            look,
            place: Where::Overview,
            over: Vec::new(),
            note: None,
            asides: Vec::new(),
            altered: None,
            findings: Findings::default(),
            whys,
            overview: overview::Overview::default(),
            build: build::Build::default(),
            face: face::FaceScreen::default(),
            meter: meter::Meter::default(),
            log: log::Log::default(),
            sources: sources::Sources::default(),
            protection: protection::Protection::default(),
            states: states::States::default(),
            settings: settings::Settings::default(),
            trials: trials::Trials::default(),
            reckon: reckon::Reckon::default(),
            parts: parts::Parts::default(),
            hunt: None,
            trying: None,
            merging: None,
            mouse: false,
            mouse_kept: false,
            remembered: Habits {
                scheme: look.scheme,
                ..Habits::default()
            },
            fresh_terminal: false,
            sieves: sieve::Sieves::default(),
            trail: trail::Trail::default(),
            answers: Answers::default(),
            derived: Derived::default(),
        }
    }

    /// Takes in how things were left.
    pub fn take_habits(&mut self, habits: Habits) {
        self.mouse = habits.mouse;
        self.mouse_kept = habits.mouse;
        self.sieves = habits.lists;
        let build = self.sieves.of(sieve::List::Build);
        self.build.order = build::Order::ALL.get(build.by).copied().unwrap_or_default();
        self.build.filter = build.words;
        if build::items(self).is_empty() {
            self.build.filter.clear();
            self.derived.items = OnceLock::new();
        }
        self.remembered = self.habits();
    }

    /// How things are left.
    pub fn habits(&self) -> Habits {
        Habits {
            scheme: self.look.scheme,
            mouse: self.mouse_kept,
            lists: self.lists_left(),
        }
    }

    /// The orders and words that lists are left with.
    pub fn lists_left(&self) -> sieve::Sieves {
        let mut lists = self.sieves.clone();
        let build = sieve::Sieve {
            by: build::Order::ALL
                .iter()
                .position(|order| *order == self.build.order)
                .unwrap_or(0),
            turned: false,
            words: self.build.filter.clone(),
        };
        lists.set(sieve::List::Build, build);
        lists
    }

    /// Takes in the book as it is now; what was derived from the one before is dropped.
    pub fn set_book(&mut self, book: Arc<Book>) {
        self.book = book;
        self.findings.stale = true;
        self.derived = Derived::default();
    }

    /// Takes in the book after build steps were answered for; what they do not touch is kept.
    pub fn set_progress(&mut self, book: Arc<Book>) {
        self.derived = self.derived.after_progress(&self.book, &book);
        self.book = book;
    }

    /// Takes in the book after a reading was taken, which changes nothing that is derived but how tests stand.
    pub fn set_readings(&mut self, book: Arc<Book>) {
        self.book = book;
        self.derived.stand = OnceLock::new();
    }

    /// What the nets carry; computed here and now where the worker's answer is not there yet.
    pub fn signals(&self) -> &Signals {
        match self.findings.current() {
            Some(snapshot) => snapshot.signals(),
            None => self
                .derived
                .signals
                .get_or_init(|| Signals::of(&self.book).into()),
        }
    }

    /// What the nets carry, if that is known already.
    pub fn signals_known(&self) -> Option<&Signals> {
        match self.findings.current() {
            Some(snapshot) => Some(snapshot.signals()),
            None => self.derived.signals.get().map(Arc::as_ref),
        }
    }

    /// The worker's answer is there: what rests on the nets is taken from it.
    pub fn take_signals(&mut self) {
        self.derived.overview = OnceLock::new();
        self.derived.sources = OnceLock::new();
        self.derived.unsourced = OnceLock::new();
    }

    /// Inputs without a source.
    pub fn unsourced(&self) -> &[Unsourced] {
        self.derived
            .unsourced
            .get_or_init(|| Arc::new(self.signals().unsourced(&self.book)))
    }

    /// Where a key is typed now.
    pub fn place_of_keys(&self) -> Where {
        self.over.last().map_or(self.place, Over::place)
    }

    /// The vehicle's name.
    pub fn vehicle(&self) -> &str {
        self.book
            .all::<About>()
            .values()
            .next()
            .map_or("", |about| about.vehicle.as_str())
    }

    /// Says what happened.
    pub fn say(&mut self, words: impl Into<String>) {
        self.note = Some(Note {
            words: words.into(),
            trouble: false,
            back: None,
        });
    }

    /// Says what was not done and why.
    pub fn complain(&mut self, words: impl Into<String>) {
        self.note = Some(Note {
            words: words.into(),
            trouble: true,
            back: None,
        });
    }

    /// Remembers a why, to be offered again.
    pub fn remember_why(&mut self, why: &str) {
        if !why.is_empty() {
            self.whys.retain(|known| known != why);
            self.whys.push(why.to_owned());
        }
    }

    /// The facts that availability is decided by.
    pub fn facts(&self) -> Facts {
        let finding = (self.place == Where::Overview)
            .then(|| overview::finding_at(self))
            .flatten();
        let list = sieve::list_of(self);
        Facts {
            on_finding: finding.is_some(),
            mend: finding.map_or(Mending::None, |finding| findings::mending(self, finding)),
            has_questions: self.findings.report().is_some_and(|r| !r.cannot_check.is_empty()),
            can_undo: find_undo(&self.heads, &self.who).is_ok(),
            can_redo: find_redo(&self.heads, &self.who).is_ok(),
            unit_here: part_files::unit_here(self).is_some(),
            has_unit: !self.book.all::<Unit>().is_empty(),
            has_connector: !self.book.all::<Connector>().is_empty(),
            on_cavity: face::cavity(self).is_some(),
            on_wire: face::cavity(self).is_some_and(|c| face::wire_at(self, c.id).is_some()),
            marked: self.face.marks.len(),
            has_last_decision: self.face.last.is_some(),
            has_wire: !self.book.all::<Wire>().is_empty(),
            on_setting: self.place == Where::Settings && settings::setting(self).is_some(),
            has_trial: !self.book.all::<Trial>().is_empty(),
            on_first_run: self.place == Where::Trials && self.trials.shows == trials::Shows::FirstRun,
            first_run_done: trials::open(self) == 0,
            on_record: match self.place {
                Where::Parts => parts::record(self).is_some(),
                Where::States => states::record(self).is_some(),
                _ => false,
            },
            on_signal: self.place == Where::Sources && sources::cavity(self).is_some(),
            on_candidate: self.place == Where::Sources && sources::candidate(self).is_some(),
            on_test: self.place == Where::Tests && meter::at_hand(self).is_some(),
            has_link: !self.book.all::<TemporaryLink>().is_empty(),
            has_lapsed: self.place == Where::Tests && !lapsed(&self.book).is_empty(),
            has_step: self.place == Where::Build && build::at_hand(self).is_some(),
            can_add: self.place == Where::States || parts::purpose(parts::kind(self), None).is_some(),
            computed: self.findings.current().is_some(),
            on_conflict: self.merging.as_ref().is_some_and(|m| m.conflict().is_some()),
            all_chosen: self.merging.as_ref().is_some_and(|m| m.open() == 0),
            trying: self.trying.is_some(),
            tried: trying::tried(self).is_some_and(|n| n > 0),
            wire_here: wanted::wire_here(self).is_some(),
            typing_why: matches!(
                self.over.last(),
                Some(over::Over::Line(line)) if line.purpose.asks_why()
            ),
            no_colour: !self.look.colour,
            has_list: list.is_some(),
            has_orders: list.is_some_and(|list| list.orders().len() > 1),
            leads_back: self.trail.leads_back(),
            leads_on: self.trail.leads_on(),
        }
    }
}
