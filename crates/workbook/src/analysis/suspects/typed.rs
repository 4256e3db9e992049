//! Symptoms and readings as they are typed.

use super::{Item, Signatures, Symptom};
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

/// Reads `MC.ready off`, `vacuum pump motor: on`, `MC.ready=off`, `F4 blown`.
///
/// # Errors
/// [`NotTyped`]: nothing is called so, or it does not end with what it does.
pub fn symptom(of: &Signatures, text: &str) -> Result<Symptom, NotTyped> {
    let text = text.trim();
    let ends = |c: char| c.is_whitespace() || c == '=';
    let (name, word) = text.rsplit_once(ends).unwrap_or(("", text));
    let name = name.trim().trim_end_matches(':').trim_end_matches(" is").trim();
    let word = word.to_lowercase();
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

/// Reads what [`symptom`] or [`reading`] reads.
///
/// # Errors
/// [`NotTyped`] of the reading where it begins with a cavity or ends with volts, else of the symptom.
pub fn seen_or_read(book: &Book, of: &Signatures, text: &str) -> Result<Item, NotTyped> {
    let not_seen = match symptom(of, text) {
        Ok(symptom) => return Ok(Item::Seen(symptom)),
        Err(wrong) => wrong,
    };
    let not_read = match reading(book, of, text) {
        Ok((place, volts)) => return Ok(Item::Read(place, volts)),
        Err(wrong) => wrong,
    };
    let name = parts(text).map_or(text, |(name, _)| name);
    let of_a_meter = text
        .trim()
        .ends_with(|c: char| c.is_ascii_digit() || c == 'V' || c == 'v');
    let meant = of_a_meter || book.find_cavity(name.trim()).is_some();
    Err(if meant { not_read } else { not_seen })
}

/// Reads volts alone (`0.02`, `0,02 V`); none: it is something else.
pub fn volts_alone(text: &str) -> Option<f64> {
    let text = text.trim();
    let begins = text.starts_with(|c: char| c.is_ascii_digit() || ".,-+−".contains(c));
    typed(text, "V", false).ok().filter(|_| begins)?.value
}

fn parts(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let cut = text
        .split_once('=')
        .or_else(|| text.split_once(char::is_whitespace));
    cut.map(|(name, value)| (name.trim(), value.trim()))
}

/// Reads `MC-A19=4.9`, `MC-A19 4,9 V`: a place and volts.
///
/// # Errors
/// [`NotTyped`]: no such cavity, nothing to measure there, no voltage.
pub fn reading(book: &Book, of: &Signatures, text: &str) -> Result<(usize, f64), NotTyped> {
    let text = text.trim();
    let Some((name, value)) = parts(text) else {
        return Err(NotTyped {
            what: format!("\"{text}\" is no reading"),
            hint: "type a cavity and the volts there: MC-A19=4.9".to_owned(),
        });
    };
    let Some(cavity) = book.find_cavity(name) else {
        let names = of.places.iter().map(|p| book.cavity_name(p.at));
        return Err(NotTyped {
            what: format!("there is no cavity \"{name}\""),
            hint: beside(name, names),
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
    near(all.filter(word))
        .unwrap_or_else(|| "with nothing seen or read, everything that can be watched is listed".to_owned())
}

/// Cavities of the same plug.
fn beside(name: &str, all: impl Iterator<Item = String>) -> String {
    let plug = name.trim_end_matches(|c: char| c.is_ascii_digit()).to_lowercase();
    let of_it = |label: &String| !plug.is_empty() && label.to_lowercase().starts_with(&plug);
    near(all.filter(of_it)).unwrap_or_else(|| "name the plug and the cavity: MC-A19".to_owned())
}

fn near(all: impl Iterator<Item = String>) -> Option<String> {
    let near: Vec<String> = all.take(6).collect();
    (!near.is_empty()).then(|| format!("near it: {}", near.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volts_alone_are_a_figure_with_or_without_its_unit() {
        assert_eq!(volts_alone("0.02"), Some(0.02));
        assert_eq!(volts_alone(" 0,02 V "), Some(0.02));
        assert_eq!(volts_alone("12.6V"), Some(12.6));
        assert_eq!(volts_alone("-0,1"), Some(-0.1));
        for other in ["", "F6", "open", "MC-A14 0.02", "12 A", "brake lamps off"] {
            assert_eq!(volts_alone(other), None, "{other}");
        }
    }

    #[test]
    fn cavities_near_are_those_of_the_same_plug() {
        let all = || ["MC-A1", "BM-A1", "MC-A14"].into_iter().map(str::to_owned);
        assert_eq!(beside("mc-a99", all()), "near it: MC-A1, MC-A14");
        assert_eq!(beside("99", all()), "name the plug and the cavity: MC-A19");
    }
}
