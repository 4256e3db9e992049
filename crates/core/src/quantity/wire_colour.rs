use super::{Colour, QuantityError};
use std::fmt;
use std::str::FromStr;

/// The colour of a wire: base, and tracer if there is one. The base stands first, as in vehicle diagrams; IEC 60757
/// itself would write the two in the order of its table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireColour {
    /// The colour of most of the surface.
    pub base: Colour,
    /// The stripe or ring.
    pub tracer: Option<Colour>,
}

impl WireColour {
    /// A wire of one colour.
    pub const fn plain(base: Colour) -> Self {
        Self { base, tracer: None }
    }

    /// A wire with a tracer.
    pub const fn with_tracer(base: Colour, tracer: Colour) -> Self {
        Self {
            base,
            tracer: Some(tracer),
        }
    }

    /// In words: `green with white`.
    pub fn words(&self) -> String {
        match self.tracer {
            Some(tracer) => format!("{} with {}", self.base.word(), tracer.word()),
            None => self.base.word().to_owned(),
        }
    }

    /// Green with yellow, in either order: reserved for protective earth (IEC 60757).
    pub fn is_protective_earth(&self) -> bool {
        let pair = (Some(self.base), self.tracer);
        pair == (Some(Colour::Green), Some(Colour::Yellow))
            || pair == (Some(Colour::Yellow), Some(Colour::Green))
    }

    /// Orange as base: reserved for traction voltage in vehicles (common practice, no source).
    pub fn is_traction(&self) -> bool {
        self.base == Colour::Orange
    }
}

impl fmt::Display for WireColour {
    /// In letters: `GN/WH`, `RD`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.tracer {
            Some(tracer) => write!(f, "{}/{tracer}", self.base),
            None => write!(f, "{}", self.base),
        }
    }
}

impl FromStr for WireColour {
    type Err = QuantityError;

    /// Reads `GN/WH`, `GNWH`, `green/white`, `green with white`, `gn-wh`, in any case.
    fn from_str(text: &str) -> Result<Self, QuantityError> {
        let typed = text.trim();
        let parts = typed
            .split(|c: char| !c.is_alphabetic())
            .filter(|p| !p.is_empty());
        let mut colours = Vec::new();
        for word in parts.filter(|p| !p.eq_ignore_ascii_case("with")) {
            match Colour::find(word).map(|c| (c, None)).or_else(|| joined(word)) {
                Some((base, tracer)) => {
                    colours.push(base);
                    colours.extend(tracer);
                }
                None => {
                    return Err(QuantityError::UnknownColour {
                        word: word.into(),
                        known: known(),
                    });
                }
            }
        }
        match colours.as_slice() {
            [base] => Ok(Self::plain(*base)),
            [base, tracer] => Ok(Self::with_tracer(*base, *tracer)),
            [] if typed.is_empty() => Err(QuantityError::Empty {
                what: "colour",
                example: "GN/WH",
            }),
            [] => Err(QuantityError::UnknownColour {
                word: typed.into(),
                known: known(),
            }),
            _ => Err(QuantityError::TooManyColours { text: typed.into() }),
        }
    }
}

/// Two codes written together.
fn joined(word: &str) -> Option<(Colour, Option<Colour>)> {
    let (base, tracer) = word.split_at_checked(2).filter(|_| word.len() == 4)?;
    let by_code = |code: &str| Colour::find(code).filter(|c| c.code().eq_ignore_ascii_case(code));
    Some((by_code(base)?, Some(by_code(tracer)?)))
}

fn known() -> String {
    let known: Vec<String> = Colour::ALL
        .iter()
        .map(|c| format!("{c} ({})", c.word()))
        .collect();
    super::sentence_list(&known, "or")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> WireColour {
        text.parse().unwrap()
    }

    fn refused(text: &str) -> String {
        text.parse::<WireColour>().unwrap_err().to_string()
    }

    #[test]
    fn base_and_tracer_in_letters_or_words() {
        let green_white = WireColour::with_tracer(Colour::Green, Colour::White);
        for text in [
            "GN/WH",
            "GNWH",
            "gn-wh",
            "green/white",
            "Green with white",
            "green white",
            "GN / WH",
        ] {
            assert_eq!(read(text), green_white, "{text}");
        }
        assert_eq!(read("grey"), WireColour::plain(Colour::Grey));
        assert_eq!(read("RD"), WireColour::plain(Colour::Red));
        assert_ne!(read("WH/GN"), green_white, "base before tracer");
    }

    #[test]
    fn what_is_no_colour_is_named() {
        assert!(refused("mauve").starts_with("`mauve` is no colour known here. Use BK (black), BN (brown)"));
        assert!(refused("light blue").starts_with("`light` is no colour"));
        assert!(refused("").contains("Nothing is written"));
        assert!(refused("/").contains("`/` is no colour"));
        assert!(refused("red/blue/green").contains("more than two colours"));
    }

    #[test]
    fn reserved_colours_are_known() {
        assert!(read("GNYE").is_protective_earth());
        assert!(read("YE/GN").is_protective_earth());
        assert!(!read("GN").is_protective_earth());
        assert!(read("orange").is_traction());
    }

    #[test]
    fn reading_what_was_printed_gives_the_same_colour() {
        for base in Colour::ALL {
            for tracer in Colour::ALL.into_iter().map(Some).chain([None]) {
                let colour = WireColour { base, tracer };
                assert_eq!(read(&colour.to_string()), colour);
                assert_eq!(read(&colour.words()), colour);
            }
        }
    }
}
