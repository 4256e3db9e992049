//! What the screens know. Changed only by [`super::update`], drawn by [`super::view`].

pub mod find;
pub mod findings;
pub mod line;
pub mod log;
pub mod over;
pub mod overview;

use std::sync::Arc;

use chrono::{DateTime, FixedOffset, Offset, Utc};
use crimpbook_workbook::{
    Book,
    edit::{find_redo, find_undo},
    log::EntryHead,
    model::{About, Connector, IdMaker, Unit},
};

use super::{
    action::{Facts, Where},
    theme::Look,
};
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
    /// What the checks say.
    pub findings: Findings,
    /// Whys typed since the start and those of the log before it, the newest last.
    pub whys: Vec<String>,
    /// The Overview.
    pub overview: overview::Overview,
    /// The Log.
    pub log: log::Log,
}

/// What just happened, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// The sentence.
    pub words: String,
    /// Whether it is something that was not done.
    pub trouble: bool,
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
            findings: Findings::default(),
            whys,
            overview: overview::Overview::default(),
            log: log::Log::default(),
        }
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
        });
    }

    /// Says what was not done and why.
    pub fn complain(&mut self, words: impl Into<String>) {
        self.note = Some(Note {
            words: words.into(),
            trouble: true,
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
        Facts {
            can_undo: find_undo(&self.heads, &self.who).is_ok(),
            can_redo: find_redo(&self.heads, &self.who).is_ok(),
            has_unit: !self.book.all::<Unit>().is_empty(),
            has_connector: !self.book.all::<Connector>().is_empty(),
            no_colour: !self.look.colour,
            ..Facts::default()
        }
    }
}
