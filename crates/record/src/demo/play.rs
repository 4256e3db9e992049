//! Playing a story through the one door.

use chrono::{DateTime, Duration, Utc};
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Stamp},
    log::{Entry, EntryKind, next_letter},
    model::{IdMaker, RecordLists},
};

use super::{Beat, Story, StoryError, Tick, patch, steps};

/// The entries that a story makes of a vehicle's records, each prepared on the book as the ones before it left it.
///
/// # Errors
/// [`StoryError`] names the beat.
pub fn play(records: &RecordLists, story: &Story, ids: &mut IdMaker) -> Result<Vec<Entry>, StoryError> {
    let mut stage = Stage {
        book: Book::default(),
        entries: Vec::new(),
        ids,
    };
    for beat in &story.0 {
        stage.beat(records, beat)?;
    }
    Ok(stage.entries)
}

struct Stage<'a> {
    book: Book,
    entries: Vec<Entry>,
    ids: &'a mut IdMaker,
}

impl Stage<'_> {
    fn beat(&mut self, records: &RecordLists, beat: &Beat) -> Result<(), StoryError> {
        let wrong = |problem: String| StoryError::Beat {
            title: beat.title.clone(),
            problem,
        };
        let mut changes = patch::changes(&self.book, &beat.set).map_err(wrong)?;
        for key in &beat.remove {
            let before = self
                .book
                .tables()
                .get(*key)
                .ok_or_else(|| wrong(format!("there is no {} {}", key.kind.title(), key.id)))?;
            changes.push(Change {
                before: Some(before),
                after: None,
            });
        }
        if beat.kind == EntryKind::Creation {
            let made = records.clone().into_records().into_iter().map(|record| Change {
                before: None,
                after: Some(record),
            });
            changes.extend(made);
        }
        let Some(tick) = &beat.tick else {
            return self.enter(beat, beat.title.clone(), beat.at, changes);
        };
        let Some(minutes) = tick.each_min else {
            for label in &tick.of {
                changes.extend(self.ticked(beat, tick, label, beat.at)?);
            }
            return self.enter(beat, beat.title.clone(), beat.at, changes);
        };
        let mut at = beat.at;
        for label in &tick.of {
            let changes = self.ticked(beat, tick, label, at)?;
            self.enter(beat, format!("{label}: {}", beat.title), at, changes)?;
            at += Duration::minutes(minutes);
        }
        Ok(())
    }

    fn ticked(
        &mut self,
        beat: &Beat,
        tick: &Tick,
        label: &str,
        at: DateTime<Utc>,
    ) -> Result<Vec<Change>, StoryError> {
        steps::changes(&self.book, self.ids, tick, label, (at, &beat.who)).map_err(|problem| {
            StoryError::Beat {
                title: beat.title.clone(),
                problem,
            }
        })
    }

    fn enter(
        &mut self,
        beat: &Beat,
        title: String,
        at: DateTime<Utc>,
        changes: Vec<Change>,
    ) -> Result<(), StoryError> {
        let mut edit = Edit::new(beat.kind, title, changes).because(beat.why.clone());
        if beat.kind == EntryKind::Release {
            edit.revision = Some(next_letter(self.book.revision()));
        }
        let stamp = Stamp {
            id: self.ids.make(),
            at,
            who: beat.who.clone(),
        };
        let refused = |refusal| StoryError::Refused {
            title: beat.title.clone(),
            refusal,
        };
        let entry = self.book.prepare(edit, stamp).map_err(refused)?;
        self.book.apply(&entry).map_err(refused)?;
        self.entries.push(entry);
        Ok(())
    }
}
