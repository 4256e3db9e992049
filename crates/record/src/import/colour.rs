//! Wire colours as tables write them: letters of IEC 60757, words, and letters of other customs.

use std::collections::BTreeMap;

use crimpbook_core::{
    quantity::{Colour, WireColour},
    tables::colour_letters::colour_letters,
};

/// What letters mean in one file, as far as it was said.
pub type Answers = BTreeMap<String, Colour>;

/// Why a colour is not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColourTrouble {
    /// Letters that two customs read differently, and the words of what they may be.
    Ask(String, Vec<Colour>),
    /// No colour.
    Wrong(String),
}

/// Reads a colour. `answers`: what was said of letters that may mean two colours, by letters in capitals.
///
/// # Errors
/// See [`ColourTrouble`].
pub fn read(text: &str, answers: &Answers) -> Result<WireColour, ColourTrouble> {
    let first = match text.parse::<WireColour>() {
        Ok(colour) if !overruled(text, answers) => return Ok(colour),
        Ok(_) => String::new(),
        Err(error) => error.to_string(),
    };
    let wrong = || ColourTrouble::Wrong(first.clone());
    let mut colours = Vec::new();
    let parts = text.split(|c: char| !c.is_alphabetic()).filter(|p| !p.is_empty());
    for part in parts.filter(|p| !p.eq_ignore_ascii_case("with")) {
        match one(part, answers) {
            Some(found) => colours.push(found?),
            None => {
                // Two codes written together (`swws`).
                let halves = part
                    .split_at_checked(2)
                    .filter(|_| part.len() == 4)
                    .ok_or_else(wrong)?;
                for half in [halves.0, halves.1] {
                    colours.push(one(half, answers).ok_or_else(wrong)??);
                }
            }
        }
    }
    match colours.as_slice() {
        [base] => Ok(WireColour::plain(*base)),
        [base, tracer] => Ok(WireColour::with_tracer(*base, *tracer)),
        _ => Err(wrong()),
    }
}

/// Whether an answer stands for letters that are understood by themselves.
fn overruled(text: &str, answers: &Answers) -> bool {
    let mut parts = text.split(|c: char| !c.is_alphabetic());
    parts.any(|part| answers.contains_key(&part.to_uppercase()))
}

/// One colour; none: not known at all.
fn one(part: &str, answers: &Answers) -> Option<Result<Colour, ColourTrouble>> {
    let letters = part.to_uppercase();
    if let Some(colour) = answers.get(&letters).copied().or_else(|| Colour::find(part)) {
        return Some(Ok(colour));
    }
    let row = colour_letters().iter().find(|row| row.letters == letters)?;
    let may_be: Vec<Colour> = row.may_be.split(' ').filter_map(Colour::find).collect();
    match may_be.as_slice() {
        [one] => Some(Ok(*one)),
        _ => Some(Err(ColourTrouble::Ask(letters, may_be))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plainly(text: &str) -> Result<String, ColourTrouble> {
        read(text, &Answers::new()).map(|c| c.to_string())
    }

    #[test]
    fn letters_of_several_customs_are_read_where_they_mean_one_thing() {
        for (text, is) in [
            ("GN/WH", "GN/WH"),
            ("red", "RD"),
            ("sw/ws", "BK/WH"),
            ("swrt", "BK/RD"),
            ("R-W", "RD/WH"),
            ("BLK", "BK"),
            ("br", "BN"),
        ] {
            assert_eq!(plainly(text).as_deref(), Ok(is), "{text}");
        }
    }

    #[test]
    fn letters_that_two_customs_read_differently_are_asked_for() {
        assert_eq!(
            plainly("BL"),
            Err(ColourTrouble::Ask("BL".into(), vec![Colour::Black, Colour::Blue]))
        );
        assert!(matches!(plainly("WS/GR"), Err(ColourTrouble::Ask(letters, _)) if letters == "GR"));
        let answers = Answers::from([("BL".to_owned(), Colour::Blue), ("GN".to_owned(), Colour::Grey)]);
        assert_eq!(
            read("rt/bl", &answers).map(|c| c.to_string()),
            Ok("RD/BU".to_owned())
        );
        assert_eq!(
            read("GN", &answers).map(|c| c.to_string()),
            Ok("GY".to_owned()),
            "an answer wins"
        );
    }

    #[test]
    fn what_is_no_colour_is_named() {
        for text in ["mauve", "/", "R/W/Y", "xxyy"] {
            assert!(matches!(plainly(text), Err(ColourTrouble::Wrong(_))), "{text}");
        }
    }
}
