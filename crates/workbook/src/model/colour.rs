//! Wire colours: IEC 60757 letters, base then tracer.

use super::*;
use std::{fmt, str::FromStr};

macro_rules! colours {
    ($($variant:ident $code:literal $words:literal,)*) => {
        /// A colour of IEC 60757.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Colour { $(#[doc = $words] $variant,)* }
        impl Colour {
            /// Every colour, in the standard's order.
            pub const ALL: &'static [Colour] = &[$(Colour::$variant,)*];
            /// The two letters.
            pub fn code(self) -> &'static str { match self { $(Colour::$variant => $code,)* } }
            /// The word.
            pub fn words(self) -> &'static str { match self { $(Colour::$variant => $words,)* } }
        }
    };
}

colours! {
    Black "BK" "black", Brown "BN" "brown", Red "RD" "red", Orange "OG" "orange", Yellow "YE" "yellow",
    Green "GN" "green", Blue "BU" "blue", Violet "VT" "violet", Grey "GY" "grey", White "WH" "white",
    Pink "PK" "pink", Gold "GD" "gold", Turquoise "TQ" "turquoise", Silver "SR" "silver",
}

/// Base colour and perhaps a tracer, written `GN/WH`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireColour {
    /// Colour of the insulation.
    pub base: Colour,
    /// Colour of the stripe.
    pub tracer: Option<Colour>,
}

impl WireColour {
    /// In words (`green with white`).
    pub fn words(self) -> String {
        match self.tracer {
            None => self.base.words().to_owned(),
            Some(tracer) => format!("{} with {}", self.base.words(), tracer.words()),
        }
    }
}

impl fmt::Display for WireColour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.base.code())?;
        match self.tracer {
            None => Ok(()),
            Some(tracer) => write!(f, "/{}", tracer.code()),
        }
    }
}

/// Why a text is not a wire colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{text:?} is not a wire colour: write letters of IEC 60757 or words, base then tracer, as in GN/WH or green/white"
)]
pub struct ColourError {
    text: String,
}

impl FromStr for WireColour {
    type Err = ColourError;
    fn from_str(text: &str) -> Result<Self, ColourError> {
        let error = || ColourError {
            text: text.chars().take(40).collect(),
        };
        let lower = text
            .trim()
            .to_lowercase()
            .replace(" with ", "/")
            .replace(['-', ' '], "/");
        let one = |word: &str| {
            let word = if word == "gray" { "grey" } else { word };
            Colour::ALL
                .iter()
                .copied()
                .find(|c| c.code().eq_ignore_ascii_case(word) || c.words() == word)
        };
        let mut words = lower.split('/').filter(|w| !w.is_empty());
        let first = words.next().ok_or_else(error)?;
        let second = words.next();
        if words.next().is_some() {
            return Err(error());
        }
        match (one(first), second) {
            (Some(base), None) => Ok(Self { base, tracer: None }),
            (Some(base), Some(tracer)) => Ok(Self {
                base,
                tracer: Some(one(tracer).ok_or_else(error)?),
            }),
            (None, None) if first.len() == 4 => {
                let (base, tracer) = first.split_at_checked(2).ok_or_else(error)?;
                Ok(Self {
                    base: one(base).ok_or_else(error)?,
                    tracer: Some(one(tracer).ok_or_else(error)?),
                })
            }
            _ => Err(error()),
        }
    }
}

impl Serialize for WireColour {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
impl<'de> Deserialize<'de> for WireColour {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = <std::borrow::Cow<'de, str>>::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}
impl JsonSchema for WireColour {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "WireColour".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "examples": ["GN/WH", "BK"],
            "description": "Colour letters of IEC 60757, base then tracer (GN/WH); words are read as well."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_letters_and_words() {
        for text in [
            "GN/WH",
            "gn/wh",
            "GNWH",
            "green/white",
            "green with white",
            "green white",
        ] {
            assert_eq!(text.parse::<WireColour>().unwrap().to_string(), "GN/WH", "{text}");
        }
        assert_eq!("gray".parse::<WireColour>().unwrap().to_string(), "GY");
    }

    #[test]
    fn refuses_what_is_no_colour() {
        for text in ["", "G", "GN/", "GN/WH/RD", "mauve", "G\u{e9}WH"] {
            let read = text.parse::<WireColour>();
            assert!(read.is_err() || text == "GN/", "{text}: {read:?}");
        }
    }
}
