//! A keep in memory: the fake that tests stand on.

use crimpbook_workbook::log::{Entry, EntryHead, Hash, link};

use super::{Fresh, Keep, Trouble, WholeLog};

/// Entries in memory.
#[derive(Debug, Default)]
pub struct Memory {
    entries: Vec<Entry>,
    refusal: Option<String>,
}

impl Memory {
    /// A keep that holds these entries already.
    pub fn with(entries: Vec<Entry>) -> Self {
        Self {
            entries,
            refusal: None,
        }
    }

    /// A keep that refuses every entry with this sentence, as a full disk would.
    pub fn refusing(sentence: &str) -> Self {
        Self {
            entries: Vec::new(),
            refusal: Some(sentence.to_owned()),
        }
    }
}

impl Keep for Memory {
    fn commit(&mut self, entry: &Entry) -> Result<EntryHead, Trouble> {
        if let Some(sentence) = &self.refusal {
            return Err(Trouble::File(sentence.clone()));
        }
        self.entries.push(entry.clone());
        Ok(entry.head(self.entries.len() as u64))
    }

    fn entry(&mut self, seq: u64) -> Result<Entry, Trouble> {
        seq.checked_sub(1)
            .and_then(|at| self.entries.get(usize::try_from(at).ok()?))
            .cloned()
            .ok_or_else(|| Trouble::File(format!("entry {seq} is not in the log")))
    }

    fn log(&mut self) -> Result<WholeLog, Trouble> {
        let entries = self.entries.iter();
        let entries: Vec<_> = entries.map(|entry| (entry.clone(), entry.canonical())).collect();
        let head = entries
            .iter()
            .fold(Hash::default(), |head, (_, body)| link(head, body));
        Ok(WholeLog { entries, head })
    }

    fn fresh(&mut self) -> Result<Option<Fresh>, Trouble> {
        Ok(None)
    }
}
