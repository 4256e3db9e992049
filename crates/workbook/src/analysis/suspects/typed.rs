//! Symptoms and readings as they are typed.

use super::{Signatures, Symptom};
use crate::{Book, measure::typed};

/// What is wrong with what was typed, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotTyped {
    /// A sentence.
    pub what: String,
    /// Names that begin alike, or what can be typed.
    pub hint: String,
}

const ON: &[&str] = &["on", "runs", "works", "lit", "blown"];
const OFF: &[&str] = &["off", "dead", "dark", "whole"];

/// Reads `MC.ready off`, `vacuum pump motor on`, `MC.ready=off`, `F4 blown`.
///
/// # Errors
/// [`NotTyped`]: nothing is called so, or it does not end with what it does.
pub fn symptom(of: &Signatures, text: &str) -> Result<Symptom, NotTyped> {
    let text = text.trim();
    let ends = |c: char| c.is_whitespace() || c == '=';
    let (name, word) = text.rsplit_once(ends).unwrap_or(("", text));
    let (name, word) = (name.trim().trim_end_matches(" is").trim(), word.to_lowercase());
    let on = match (ON.contains(&word.as_str()), OFF.contains(&word.as_str())) {
        (true, _) => true,
        (_, true) => false,
        _ => {
            return Err(NotTyped {
                what: format!("\"{text}\" does not end with what it does"),
                hint: "end with on or off; a fuse with blown or whole: \"MC.ready off\", \"F4 blown\""
                    .to_owned(),
            });
        }
    };
    let named = |w: &super::Watched| w.label.eq_ignore_ascii_case(name);
    match of.watched.iter().position(named) {
        Some(watched) => Ok(Symptom { watched, on }),
        None => Err(NotTyped {
            what: format!("nothing that can be watched is called \"{name}\""),
            hint: alike(name, of.watched.iter().map(|w| w.label.clone())),
        }),
    }
}

/// Reads `MC-A19=4.9`, `MC-A19 4,9 V`: a place and volts.
///
/// # Errors
/// [`NotTyped`]: no such cavity, nothing to measure there, no voltage.
pub fn reading(book: &Book, of: &Signatures, text: &str) -> Result<(usize, f64), NotTyped> {
    let text = text.trim();
    let cut = text
        .split_once('=')
        .or_else(|| text.split_once(char::is_whitespace));
    let Some((name, value)) = cut.map(|(name, value)| (name.trim(), value.trim())) else {
        return Err(NotTyped {
            what: format!("\"{text}\" is no reading"),
            hint: "type a cavity and the volts there: MC-A19=4.9".to_owned(),
        });
    };
    let Some(cavity) = book.find_cavity(name) else {
        let names = of.places.iter().map(|p| book.cavity_name(p.at));
        return Err(NotTyped {
            what: format!("there is no cavity \"{name}\""),
            hint: alike(name, names),
        });
    };
    let Some(place) = of.places.iter().position(|p| p.at == cavity) else {
        return Err(NotTyped {
            what: format!("nothing is wired at {}", book.cavity_name(cavity)),
            hint: "a reading there tells nothing of the wiring".to_owned(),
        });
    };
    let value = typed(value, "V", false).map_err(|why| NotTyped {
        what: format!("{name}: {why}"),
        hint: "type the volts the meter shows, 0 where it shows none".to_owned(),
    })?;
    match value.value {
        Some(volts) => Ok((place, volts)),
        None => Err(NotTyped {
            what: format!("{name}: a voltage is never open"),
            hint: "type the volts the meter shows, 0 where it shows none".to_owned(),
        }),
    }
}

fn alike(name: &str, all: impl Iterator<Item = String>) -> String {
    let low = name.to_lowercase();
    let word = |label: &String| {
        let label = label.to_lowercase();
        !low.is_empty()
            && low
                .split_whitespace()
                .any(|part| part.len() > 1 && label.contains(part))
    };
    let near: Vec<String> = all.filter(word).take(6).collect();
    if near.is_empty() {
        "with nothing typed, everything that can be watched is listed".to_owned()
    } else {
        format!("near it: {}", near.join(", "))
    }
}
