//! Records as they will be, gathered row by row, and the edit that they come to.

use std::collections::{BTreeMap, HashMap};

use chrono::DateTime;
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit, Refusal, Stamp, no_wire_ends},
    log::EntryKind,
    model::{Cavity, Decision, End, Id, Key, Row, Wire},
};

use super::Problem;

/// How often the rest may be shown to the door anew, since what is taken out may leave others without what they name. A few
/// rounds do for any table; the bound keeps one that nobody thought of from taking long.
const MOST_ROUNDS: usize = 50;

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
    /// New wires by their labels in small letters, and by the cavities where they end.
    new_labelled: HashMap<String, Id<Wire>>,
    new_at: HashMap<Id<Cavity>, Vec<Id<Wire>>>,
    /// Records of any other kind, which no other row of the table speaks of.
    others: BTreeMap<Key, (Change, u64)>,
}

impl<'b> Draft<'b> {
    /// Nothing yet.
    pub fn new(book: &'b Book) -> Self {
        Self {
            book,
            cavities: BTreeMap::new(),
            wires: BTreeMap::new(),
            new_labelled: HashMap::new(),
            new_at: HashMap::new(),
            others: BTreeMap::new(),
        }
    }

    /// A record of another kind as it was, if it was there, and as it will be.
    pub fn put<R: Row>(&mut self, before: Option<R>, after: R, line: u64) {
        let key = Key::of(after.id());
        let touched = Touched {
            before,
            after,
            lines: Vec::new(),
        };
        if let Some(change) = change(touched) {
            self.others.insert(key, (change, line));
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
        self.new_labelled.insert(row.label.to_lowercase(), row.id);
        for end in [row.from, row.to] {
            self.index_end(row.id, end);
        }
        self.wires.insert(
            row.id,
            Touched {
                before: None,
                after: row,
                lines: vec![line],
            },
        );
    }

    /// Lets the free end of a wire be here; false: it has none.
    pub fn end_here(&mut self, id: Id<Wire>, end: End, line: u64) -> bool {
        let Some(wire) = self.wire(id, line) else {
            return false;
        };
        let free = [&mut wire.from, &mut wire.to]
            .into_iter()
            .find(|slot| **slot == End::Free);
        let Some(slot) = free else { return false };
        *slot = end;
        if self.book.get(id).is_none() {
            self.index_end(id, end);
        }
        true
    }

    fn index_end(&mut self, id: Id<Wire>, end: End) {
        if let End::Cavity(cavity) = end {
            self.new_at.entry(cavity).or_default().push(id);
        }
    }

    /// The wire of this label, of the book or new.
    pub fn wire_labelled(&self, label: &str) -> Option<Id<Wire>> {
        let book = self.book.index().labelled::<Wire>(label);
        book.or_else(|| self.new_labelled.get(&label.to_lowercase()).copied())
    }

    /// The only wire that ends at a cavity, of the book or new.
    pub fn wire_at(&self, cavity: Id<Cavity>) -> Option<Id<Wire>> {
        let book = self.book.index().wires_at_cavity.of(&cavity).iter();
        let new = self.new_at.get(&cavity).into_iter().flatten();
        let mut all: Vec<Id<Wire>> = book.map(|(id, _)| *id).chain(new.copied()).collect();
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
            let was = ends(wire.before.as_ref());
            for end in ends(Some(&wire.after)) {
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
        changes.extend(self.others.values().map(|(change, _)| change.clone()));
        changes
    }

    /// The edit, with records that the door refuses taken out and named as problems. None: nothing differs.
    pub fn edit(
        mut self,
        kind: EntryKind,
        title: &dyn Fn(&[Change]) -> String,
        problems: &mut Vec<Problem>,
    ) -> Option<Edit> {
        self.take_out_of_empty(problems);
        for _ in 0..MOST_ROUNDS {
            let changes = self.changes();
            if changes.is_empty() {
                return None;
            }
            let edit = Edit::new(kind, title(&changes), changes);
            let mut refusals = self.book.refusals(&edit);
            if refusals.is_empty() {
                match self.refused(&edit) {
                    None => return Some(edit),
                    Some(refusal) => refusals.push(refusal),
                }
            }
            let mut mended = false;
            for refusal in refusals {
                let (key, sentence) = match refusal {
                    Refusal::NotValid { what, key, problem } => (key, format!("{what} {problem}")),
                    other => (None, other.to_string()),
                };
                let lines = key.and_then(|key| self.take_out(key));
                mended |= lines.is_some();
                // What nothing of the table stands for may be mended by what is taken out beside it.
                if lines.is_some() || !mended {
                    problems.push(out(lines.as_deref().unwrap_or_default(), sentence));
                }
            }
            if !mended {
                return None;
            }
        }
        problems.push(out(
            &[],
            "nothing is taken: what is left out leaves others without what they name, over and over; is a column taken for another?"
                .to_owned(),
        ));
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

    /// Takes out wires that would newly end in a cavity that is decided as empty, each by its own name.
    fn take_out_of_empty(&mut self, problems: &mut Vec<Problem>) {
        let (book, cavities) = (self.book, &self.cavities);
        self.wires.retain(|_, touched| {
            let was = ends(touched.before.as_ref());
            let refused = ends(Some(&touched.after))
                .into_iter()
                .filter(|end| !was.contains(end))
                .find_map(|end| {
                    let End::Cavity(id) = end else { return None };
                    let cavity = cavities.get(&id).map(|t| &t.after).or_else(|| book.get(id))?;
                    let problem = no_wire_ends(cavity.decision, &touched.after.label)?;
                    Some(format!("cavity {} {problem}", book.name_of_cavity(cavity)))
                });
            let stays = refused.is_none();
            problems.extend(refused.map(|sentence| out(&touched.lines, sentence)));
            stays
        });
    }

    /// Takes out the record that is wrong; of a cavity that the table leaves as it is, the wires that would newly end there.
    fn take_out(&mut self, key: Key) -> Option<Vec<u64>> {
        if let Some(cavity) = key.as_id::<Cavity>() {
            if let Some(touched) = self.cavities.remove(&cavity) {
                return Some(touched.lines);
            }
            let end = End::Cavity(cavity);
            let mut lines = Vec::new();
            self.wires.retain(|_, t| {
                let goes = ends(Some(&t.after)).contains(&end) && !ends(t.before.as_ref()).contains(&end);
                if goes {
                    lines.extend(&t.lines);
                }
                !goes
            });
            return (!lines.is_empty()).then_some(lines);
        }
        if let Some((_, line)) = self.others.remove(&key) {
            return Some(vec![line]);
        }
        key.as_id::<Wire>()
            .and_then(|id| self.wires.remove(&id))
            .map(|t| t.lines)
    }
}

/// A row that is left out.
fn out(lines: &[u64], sentence: String) -> Problem {
    Problem {
        line: lines.first().copied().unwrap_or_default(),
        column: None,
        whole_row: true,
        sentence,
    }
}

/// Both ends; of no wire: none.
fn ends(wire: Option<&Wire>) -> Vec<End> {
    wire.map_or_else(Vec::new, |w| vec![w.from, w.to])
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
