//! What records are called in sentences, and what a typed name means.

use super::Book;
use crate::model::{
    Built, Cavity, ColourUse, Connector, End, Fuse, Id, Junction, Key, Kind, Part, Record, Row, Terminal,
    TerminalNumber, Unit, Wire, WireEnd,
};

impl Book {
    /// `MC-A16`: connector and number, run together where the connector ends in a letter.
    pub fn cavity_name(&self, id: Id<Cavity>) -> String {
        self.get(id)
            .map_or_else(|| "?".to_owned(), |cavity| self.name_of_cavity(cavity))
    }

    /// The same of a cavity that need not be in the book.
    pub fn name_of_cavity(&self, cavity: &Cavity) -> String {
        let connector = self.get(cavity.connector).map_or("?", |c| c.label.as_str());
        let digit_meets_digit = connector.ends_with(|c: char| c.is_ascii_digit())
            && cavity.number.starts_with(|c: char| c.is_ascii_digit());
        format!(
            "{connector}{}{}",
            if digit_meets_digit { "-" } else { "" },
            cavity.number
        )
    }

    /// What a wire's end is called (`MC-A16`, `SP7`, `free`).
    pub fn end_name(&self, end: End) -> String {
        match end {
            End::Cavity(id) => self.cavity_name(id),
            End::Junction(id) => self.label_of(id),
            End::Free => "free".to_owned(),
        }
    }

    /// What a build step is done to (`W44`, `W44 at MC-A16`, `MC-A`).
    pub fn built_name(&self, of: Built) -> String {
        match of {
            Built::Wire(wire) => self.label_of(wire),
            Built::Connector(id) => self.label_of(id),
            Built::Junction(id) => self.label_of(id),
            Built::End { wire, end } => {
                let at = self.get(wire).map_or(End::Free, |w| match end {
                    WireEnd::From => w.from,
                    WireEnd::To => w.to,
                });
                format!("{} at {}", self.label_of(wire), self.end_name(at))
            }
        }
    }

    /// What a terminal is called (`PB-A16`, `G4`, `PB case`).
    pub fn terminal_name(&self, terminal: &Terminal) -> String {
        match terminal {
            Terminal::Cavity(id) => self.cavity_name(*id),
            Terminal::Junction(id) => self.label_of(*id),
            Terminal::Inner { unit, node } => format!("{} {node}", self.label_of(*unit)),
        }
    }

    /// The label of a record, or `?`.
    pub fn label_of<R: Row>(&self, id: Id<R>) -> String {
        self.get(id)
            .map_or_else(|| "?".to_owned(), |row| row.label().to_owned())
    }

    /// What any record is called in a sentence (`wire W44`, `cavity MC-A16`).
    pub fn name_of(&self, key: Key) -> String {
        if let Some(id) = key.as_id::<Cavity>() {
            return format!("cavity {}", self.cavity_name(id));
        }
        if let Some(given) = key.as_id::<TerminalNumber>().and_then(|id| self.get(id)) {
            return format!("terminal {} at {}", given.number, self.terminal_name(&given.at));
        }
        if let Some(house) = key.as_id::<ColourUse>().and_then(|id| self.get(id)) {
            let colour = house.colour.map_or_else(|| "?".to_owned(), |c| c.to_string());
            return format!("house colour {colour} for {}", house.purpose.words());
        }
        match self.tables().get(key) {
            Some(record) if !record.label().is_empty() => {
                format!("{} {}", key.kind.title(), shown(record.label()))
            }
            Some(Record::Trial(row)) => format!("trial of {}", row.at.format("%Y-%m-%d")),
            Some(Record::FaultFinding(row)) => format!("fault finding of {}", row.at.format("%Y-%m-%d")),
            Some(Record::FirstRun(row)) => format!("first-run step: {}", row.step.words()),
            Some(Record::FileNote(row)) => format!("photo or file {}", shown(&row.name)),
            Some(Record::Reading(row)) => format!("reading at {}", self.cavity_name(row.at_cavity)),
            Some(Record::Candidate(row)) => format!("source weighed for {}", self.cavity_name(row.sink)),
            Some(Record::Acceptance(row)) => format!("accepted {}", row.check),
            Some(Record::StepDone(row)) => {
                format!("step {}, {}", self.built_name(row.of), row.step.words())
            }
            _ => format!("{} {}", key.kind.title(), key.id),
        }
    }

    /// The cavity called so (`MC-A16`, `mc-a 16`).
    pub fn find_cavity(&self, name: &str) -> Option<Id<Cavity>> {
        let name = name.trim().to_lowercase();
        self.all::<Connector>().values().find_map(|connector| {
            let rest = name.strip_prefix(&connector.label.to_lowercase())?;
            let number = rest.trim_start_matches([' ', '-', '.', ':']);
            self.index()
                .cavities_of
                .get(&connector.id)?
                .iter()
                .copied()
                .find(|id| {
                    self.get(*id)
                        .is_some_and(|cavity| cavity.number.eq_ignore_ascii_case(number))
                })
        })
    }

    /// What a wire can end at, by name: a cavity, a splice or a stud; `free` is free.
    pub fn find_end(&self, name: &str) -> Option<End> {
        let name = name.trim();
        if name.eq_ignore_ascii_case("free") || name == "-" {
            return Some(End::Free);
        }
        self.index()
            .labelled::<Junction>(name)
            .map(End::Junction)
            .or_else(|| self.find_cavity(name).map(End::Cavity))
    }

    /// Any record by the name people type, wires and cavities first.
    pub fn find(&self, name: &str) -> Option<Key> {
        let name = name.trim();
        let index = self.index();
        index
            .labelled::<Wire>(name)
            .or_else(|| index.labelled::<Wire>(&format!("W{name}")))
            .map(Key::of)
            .or_else(|| self.find_cavity(name).map(Key::of))
            .or_else(|| index.labelled::<Connector>(name).map(Key::of))
            .or_else(|| index.labelled::<Junction>(name).map(Key::of))
            .or_else(|| index.labelled::<Fuse>(name).map(Key::of))
            .or_else(|| index.labelled::<Unit>(name).map(Key::of))
            .or_else(|| index.labelled::<Part>(name).map(Key::of))
            .or_else(|| Kind::ALL.iter().find_map(|kind| index.key_labelled(*kind, name)))
    }
}

/// A label as it can stand in a sentence, even one that no edit would let in.
fn shown(label: &str) -> String {
    const LONGEST: usize = 60;
    let mut text: String = label
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { '?' } else { c })
        .collect();
    if label.chars().nth(LONGEST).is_some() {
        text.push('…');
    }
    text
}
