//! Switches and operating states.

use std::collections::HashSet;

use super::figure::{Bounds, Figures, MOST_V};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{PartPosition, State, Switch},
};

/// Longest name of a position, in characters.
const LONGEST: usize = 40;

pub(super) fn switch(book: &Book, row: &Switch) -> Result<(), Refusal> {
    if row.positions.is_empty() {
        return bad(book, row, "has no position; name at least the one at rest");
    }
    let mut taken = HashSet::new();
    for position in &row.positions {
        let problem = if position.trim() != position || position.is_empty() {
            "a position's name is empty or starts or ends with a space".to_owned()
        } else if position.chars().count() > LONGEST {
            format!("position {position:?} is longer than {LONGEST} characters")
        } else if !taken.insert(position.to_lowercase()) {
            format!("position {position:?} is there twice")
        } else {
            continue;
        };
        return bad(book, row, problem);
    }
    Ok(())
}

pub(super) fn check(book: &Book, row: &State) -> Result<(), Refusal> {
    Figures { book, row }.any("supply voltage", row.supply_v, Bounds::From0To(MOST_V), " V")?;
    let mut named = HashSet::new();
    for at in &row.switches {
        let Some(switch) = book.get(at.switch) else {
            continue;
        };
        if !named.insert(at.switch) {
            let problem = format!("names {} twice; leave one", switch.label);
            return bad(book, row, problem);
        }
        if !switch.positions.contains(&at.position) {
            let problem = format!(
                "puts {} at {:?}, but it has only {}",
                switch.label,
                at.position,
                switch.positions.join(", ")
            );
            return bad(book, row, problem);
        }
    }
    let mut named = HashSet::new();
    for at in &row.parts {
        let label = book.label_of(at.part);
        if !named.insert(at.part) {
            return bad(book, row, format!("names {label} twice; leave one"));
        }
        if let PartPosition::Travel(travel) = at.position
            && !(0.0..=1.0).contains(&travel)
        {
            let problem = format!("puts {label} at {travel} of its travel; it runs from 0 to 1");
            return bad(book, row, problem);
        }
    }
    Ok(())
}
