//! Connectors: the face line, the numbers of the cavities, the other half.

use std::collections::HashMap;

use super::{Refusal, bad};
use crate::{
    Book,
    model::{Cavity, Connector, face::Face},
};

pub(super) fn check(book: &Book, row: &Connector) -> Result<(), Refusal> {
    let cavities = book.cavities_of(row.id);
    unique_numbers(book, row, &cavities)?;
    face(book, row, &cavities)?;
    coupling(book, row)
}

fn unique_numbers(book: &Book, row: &Connector, cavities: &[&Cavity]) -> Result<(), Refusal> {
    let mut taken: HashMap<String, &Cavity> = HashMap::new();
    for cavity in cavities {
        if taken.insert(cavity.number.to_lowercase(), cavity).is_some() {
            let problem = format!(
                "would have two cavities with the number {}; choose another",
                cavity.number
            );
            return bad(book, row, problem);
        }
    }
    Ok(())
}

fn face(book: &Book, row: &Connector, cavities: &[&Cavity]) -> Result<(), Refusal> {
    if row.face.is_empty() {
        return Ok(());
    }
    let face = match Face::parse(&row.face) {
        Ok(face) => face,
        Err(error) => return bad(book, row, error.to_string()),
    };
    if cavities.is_empty() {
        return Ok(());
    }
    let drawn: HashMap<String, &str> = face.numbers().map(|n| (n.to_lowercase(), n)).collect();
    let made: HashMap<String, &Cavity> = cavities.iter().map(|c| (c.number.to_lowercase(), *c)).collect();
    if let Some(extra) = cavities
        .iter()
        .find(|c| !drawn.contains_key(&c.number.to_lowercase()))
    {
        let problem = format!(
            "its face has no cavity {}; change the face line or the number",
            extra.number
        );
        return bad(book, row, problem);
    }
    match face.numbers().find(|n| !made.contains_key(&n.to_lowercase())) {
        None => Ok(()),
        Some(missing) => bad(
            book,
            row,
            format!(
                "its face shows a cavity {missing} that is not in the workbook; add it or change the face line"
            ),
        ),
    }
}

fn coupling(book: &Book, row: &Connector) -> Result<(), Refusal> {
    let Some(other) = row.couples_to.and_then(|id| book.get(id)) else {
        return Ok(());
    };
    if other.id == row.id {
        return bad(book, row, "couples to itself; name its other half");
    }
    match other.couples_to {
        Some(third) if third != row.id => bad(
            book,
            row,
            format!(
                "couples to {}, which couples to {}; a coupling has two halves",
                other.label,
                book.label_of(third)
            ),
        ),
        _ => Ok(()),
    }
}
