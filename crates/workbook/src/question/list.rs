//! The questions of a report in the order of one sitting: manual by manual, each leafed through once; then data sheets;
//! then what is measured or decided at the vehicle.

use super::{Ask, Told};
use crate::{
    Book,
    book::{InOrder, natural},
    check::{CannotCheck, Report},
    model::{Cavity, Connector, End, Id, Junction, Key, Part, Terminal, Unit, Wire},
};

/// Where one sits to answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sitting {
    /// With a unit's manual; empty: no manual is named.
    Manual {
        /// The unit.
        unit: Id<Unit>,
        /// Title and revision of its manual.
        title: String,
    },
    /// With the data sheets of contacts and fuses.
    Sheets,
    /// At the vehicle.
    Vehicle,
}

impl Sitting {
    /// In words (`MC motor controller: Controller manual, rev C`).
    pub fn words(&self, book: &Book) -> String {
        match self {
            Self::Manual { unit, title } => {
                let unit = book
                    .get(*unit)
                    .map_or_else(|| "?".to_owned(), |u| format!("{} {}", u.label, u.name));
                if title.is_empty() {
                    format!("{unit}: its manual, which is not named yet")
                } else {
                    format!("{unit}: {title}")
                }
            }
            Self::Sheets => "Data sheets of contacts and fuses".to_owned(),
            Self::Vehicle => "At the vehicle: measured, or decided".to_owned(),
        }
    }
}

/// One missing fact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Where one sits to answer it.
    pub sitting: Sitting,
    /// Page of the manual, where the workbook knows one nearby; else empty.
    pub page: String,
    /// The unit, load or other record it belongs to.
    pub place: Key,
    /// What is asked, in words.
    pub words: String,
    /// The field that answers it; none: a person has to look at the place.
    pub ask: Option<Ask>,
    /// Stable names of the checks that want it.
    pub checks: Vec<&'static str>,
}

impl Question {
    /// The record that is asked about.
    pub fn about(&self) -> Key {
        self.ask.as_ref().and_then(Ask::first).unwrap_or(self.place)
    }
}

/// What a report asks for, in the order of one sitting, each fact once.
pub fn questions(book: &Book, report: &Report) -> Vec<Question> {
    let mut all: Vec<Question> = Vec::new();
    for cannot in &report.cannot_check {
        let open: Vec<Ask> = cannot
            .asks
            .iter()
            .filter(|ask| ask.is_open(book))
            .cloned()
            .collect();
        let asks: Vec<Option<Ask>> = if open.is_empty() {
            vec![None]
        } else {
            open.into_iter().map(Some).collect()
        };
        for ask in asks {
            let there = all.iter_mut().find(|q| ask.is_some() && q.ask == ask);
            match there {
                Some(known) => {
                    for check in &cannot.checks {
                        if !known.checks.contains(check) {
                            known.checks.push(check);
                        }
                    }
                }
                None => all.push(question(book, cannot, ask)),
            }
        }
    }
    all.order_by(|q| order(book, q));
    all
}

fn question(book: &Book, cannot: &CannotCheck, ask: Option<Ask>) -> Question {
    let about = ask.as_ref().and_then(Ask::first).unwrap_or(cannot.place);
    let unit = unit_of(book, about).or_else(|| unit_of(book, cannot.place));
    let told = ask.as_ref().map_or(Told::Manual, |ask| ask.field.told);
    let sitting = match (told, unit) {
        (Told::Manual, Some(unit)) => Sitting::Manual {
            unit,
            title: manual(book, unit),
        },
        (Told::Sheet, _) => Sitting::Sheets,
        (Told::Manual | Told::Vehicle, _) => Sitting::Vehicle,
    };
    let in_manual = matches!(sitting, Sitting::Manual { .. });
    Question {
        page: if in_manual {
            page(book, about).unwrap_or_default()
        } else {
            String::new()
        },
        sitting,
        place: cannot.place,
        words: ask.as_ref().map_or_else(
            || format!("{}, at {}", cannot.missing, book.name_of(cannot.place)),
            |ask| ask.words(book),
        ),
        ask,
        checks: cannot.checks.clone(),
    }
}

/// Manuals by title so that two units of one manual come together, in it by unit and page; last what has no page.
fn order(book: &Book, question: &Question) -> impl Ord + use<> {
    let (stage, title, unit) = match &question.sitting {
        Sitting::Manual { unit, title } if title.is_empty() => (1, String::new(), book.label_of(*unit)),
        Sitting::Manual { unit, title } => (0, title.clone(), book.label_of(*unit)),
        Sitting::Sheets => (2, String::new(), String::new()),
        Sitting::Vehicle => (3, String::new(), String::new()),
    };
    let about = question.about();
    (
        stage,
        natural(&title),
        natural(&unit),
        question.page.is_empty(),
        natural(&question.page),
        natural(&book.name_of(about)),
    )
}

fn manual(book: &Book, unit: Id<Unit>) -> String {
    match book.get(unit).and_then(|u| u.manual.as_ref()) {
        None => String::new(),
        Some(manual) if manual.revision.is_empty() => manual.title.clone(),
        Some(manual) => format!("{}, {}", manual.title, manual.revision),
    }
}

/// The unit a record belongs to; a wire to the one it goes to.
fn unit_of(book: &Book, key: Key) -> Option<Id<Unit>> {
    let of_cavity = |id| {
        let cavity: &Cavity = book.get(id)?;
        Some(book.get(cavity.connector)?.unit)
    };
    let of_end = |end| match end {
        End::Cavity(id) => of_cavity(id),
        End::Junction(id) => book.get(id)?.unit,
        End::Free => None,
    };
    if let Some(id) = key.as_id::<Unit>() {
        return Some(id);
    }
    if let Some(id) = key.as_id::<Connector>() {
        return book.get(id).map(|c| c.unit);
    }
    if let Some(id) = key.as_id::<Cavity>() {
        return of_cavity(id);
    }
    if let Some(id) = key.as_id::<Part>() {
        return book.get(id).map(|p| p.unit);
    }
    if let Some(id) = key.as_id::<Junction>() {
        return book.get(id).and_then(|j| j.unit);
    }
    let wire = book.get(key.as_id::<Wire>()?)?;
    of_end(wire.to).or_else(|| of_end(wire.from))
}

/// The page that is noted nearest to a record: its own, else that of a cavity it ends at.
fn page(book: &Book, key: Key) -> Option<String> {
    let noted = |id: Id<Cavity>| {
        book.get(id)
            .map(|c| c.page.clone())
            .filter(|page| !page.is_empty())
    };
    if let Some(id) = key.as_id::<Cavity>() {
        return noted(id);
    }
    let part: &Part = book.get(key.as_id::<Part>()?)?;
    part.ends.iter().find_map(|end| match end {
        Terminal::Cavity(id) => noted(*id),
        Terminal::Junction(_) | Terminal::Inner { .. } => None,
    })
}
