//! Records as they will be, gathered row by row, and the edit that they come to.

use std::collections::BTreeMap;

use chrono::DateTime;
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Refusal, Stamp},
    log::EntryKind,
    model::{Cavity, Decision, End, Id, Key, Row, Wire},
};

use super::Problem;

/// How many records the door may refuse one after the other before the table is given up.
const MOST_REFUSED: usize = 300;

/// A record as it was and as it will be, with the lines that say so.
#[derive(Debug, Clone)]
struct Touched<R> {
    before: Option<R>,
    after: R,
    lines: Vec<u64>,
}

/// Records gathered.
#[derive(Debug)]
pub struct Draft<'b> {
    book: &'b Book,
    cavities: BTreeMap<Id<Cavity>, Touched<Cavity>>,
    wires: BTreeMap<Id<Wire>, Touched<Wire>>,
}

impl<'b> Draft<'b> {
    /// Nothing yet.
    pub fn new(book: &'b Book) -> Self {
        Self {
            book,
            cavities: BTreeMap::new(),
            wires: BTreeMap::new(),
        }
    }

    /// A cavity to change, as it is by now.
    pub fn cavity(&mut self, id: Id<Cavity>, line: u64) -> Option<&mut Cavity> {
        touch(self.book, &mut self.cavities, id, line)
    }

    /// A wire to change, as it is by now.
    pub fn wire(&mut self, id: Id<Wire>, line: u64) -> Option<&mut Wire> {
        touch(self.book, &mut self.wires, id, line)
    }

    /// Puts a new cavity in.
    pub fn make_cavity(&mut self, row: Cavity, line: u64) {
        self.cavities.insert(
            row.id,
            Touched {
                before: None,
                after: row,
                lines: vec![line],
            },
        );
    }

    /// Puts a new wire in.
    pub fn make_wire(&mut self, row: Wire, line: u64) {
        self.wires.insert(
            row.id,
            Touched {
                before: None,
                after: row,
                lines: vec![line],
            },
        );
    }

    /// The wire of this label, of the book or new.
    pub fn wire_labelled(&self, label: &str) -> Option<Id<Wire>> {
        self.book.index().labelled::<Wire>(label).or_else(|| {
            let new = self.wires.values().filter(|t| t.before.is_none());
            new.map(|t| &t.after)
                .find(|w| w.label.eq_ignore_ascii_case(label))
                .map(|w| w.id)
        })
    }

    /// The only wire that ends at a cavity, of the book or new.
    pub fn wire_at(&self, cavity: Id<Cavity>) -> Option<Id<Wire>> {
        let book = self
            .book
            .index()
            .wires_at_cavity
            .of(&cavity)
            .iter()
            .map(|(id, _)| *id);
        let new = self
            .wires
            .values()
            .filter(|t| t.before.is_none())
            .map(|t| &t.after);
        let here = |w: &&Wire| [w.from, w.to].contains(&End::Cavity(cavity));
        let mut all: Vec<Id<Wire>> = book.chain(new.filter(here).map(|w| w.id)).collect();
        all.dedup();
        match all.as_slice() {
            [one] => Some(*one),
            _ => None,
        }
    }

    /// The changes: what differs, and cavities decided as wired since a wire now ends there.
    fn changes(&self) -> Vec<Change> {
        let mut cavities = self.cavities.clone();
        for wire in self.wires.values() {
            let was = wire.before.as_ref().map(|w| [w.from, w.to]).unwrap_or_default();
            for end in [wire.after.from, wire.after.to] {
                let End::Cavity(id) = end else { continue };
                let line = wire.lines.first().copied().unwrap_or_default();
                if !was.contains(&end)
                    && let Some(cavity) = touch(self.book, &mut cavities, id, line)
                    && cavity.decision == Decision::Undecided
                {
                    cavity.decision = Decision::Wired;
                    cavity.plug = false;
                }
            }
        }
        let mut changes: Vec<Change> = cavities.into_values().filter_map(change).collect();
        changes.extend(self.wires.values().cloned().filter_map(change));
        changes
    }

    /// The edit, with records that the door refuses taken out and named as problems. None: nothing differs.
    pub fn edit(mut self, title: &dyn Fn(&[Change]) -> String, problems: &mut Vec<Problem>) -> Option<Edit> {
        for _ in 0..MOST_REFUSED {
            let changes = self.changes();
            if changes.is_empty() {
                return None;
            }
            let edit = Edit::new(EntryKind::Import, title(&changes), changes);
            let (key, sentence) = match self.refused(&edit) {
                None => return Some(edit),
                Some(Refusal::NotValid { what, key, problem }) => (key, format!("{what} {problem}")),
                Some(other) => (None, other.to_string()),
            };
            let lines = key.and_then(|key| self.take_out(key));
            let gone = lines.is_some();
            problems.push(Problem {
                line: lines.and_then(|lines| lines.first().copied()).unwrap_or_default(),
                column: None,
                whole_row: true,
                sentence,
            });
            if !gone {
                return None;
            }
        }
        problems.push(Problem {
            line: 0,
            column: None,
            whole_row: true,
            sentence: format!("more than {MOST_REFUSED} rows cannot be; is a column taken for another?"),
        });
        None
    }

    /// What the door says of an edit, whatever the why.
    fn refused(&self, edit: &Edit) -> Option<Refusal> {
        let stamp = Stamp {
            id: Id::from_bits(0),
            at: DateTime::UNIX_EPOCH,
            who: String::new(),
        };
        self.book.prepare(edit.clone().because("import"), stamp).err()
    }

    /// Takes out what makes a record wrong: wires that would newly end in a cavity, else the record itself.
    fn take_out(&mut self, key: Key) -> Option<Vec<u64>> {
        if let Some(cavity) = key.as_id::<Cavity>() {
            let newly = |t: &&Touched<Wire>| {
                let was = t.before.as_ref().map(|w| [w.from, w.to]).unwrap_or_default();
                let end = End::Cavity(cavity);
                [t.after.from, t.after.to].contains(&end) && !was.contains(&end)
            };
            let wire = self.wires.values().find(newly).map(|t| t.after.id);
            return match wire {
                Some(wire) => self.wires.remove(&wire).map(|t| t.lines),
                None => self.cavities.remove(&cavity).map(|t| t.lines),
            };
        }
        key.as_id::<Wire>()
            .and_then(|id| self.wires.remove(&id))
            .map(|t| t.lines)
    }
}

fn touch<'d, R: Row>(
    book: &Book,
    all: &'d mut BTreeMap<Id<R>, Touched<R>>,
    id: Id<R>,
    line: u64,
) -> Option<&'d mut R> {
    if let std::collections::btree_map::Entry::Vacant(slot) = all.entry(id) {
        let row = book.get(id)?.clone();
        slot.insert(Touched {
            before: Some(row.clone()),
            after: row,
            lines: Vec::new(),
        });
    }
    let touched = all.get_mut(&id)?;
    touched.lines.push(line);
    Some(&mut touched.after)
}

fn change<R: Row>(touched: Touched<R>) -> Option<Change> {
    match touched.before {
        None => Some(Change::make(touched.after)),
        Some(before) if before == touched.after => None,
        Some(before) => Some(Change::replace(before, touched.after)),
    }
}
