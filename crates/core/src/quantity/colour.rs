use crate::tables::colours::{ColourRow, colours};
use std::fmt;

/// A wire colour, in the letters of IEC 60757.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Colour {
    Black,
    Brown,
    Red,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
    Pink,
    Gold,
    Turquoise,
    Silver,
}

impl Colour {
    /// All colours in the order of the standard's table.
    pub const ALL: [Self; 14] = [
        Self::Black,
        Self::Brown,
        Self::Red,
        Self::Orange,
        Self::Yellow,
        Self::Green,
        Self::Blue,
        Self::Violet,
        Self::Grey,
        Self::White,
        Self::Pink,
        Self::Gold,
        Self::Turquoise,
        Self::Silver,
    ];

    /// The two letters.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Black => "BK",
            Self::Brown => "BN",
            Self::Red => "RD",
            Self::Orange => "OG",
            Self::Yellow => "YE",
            Self::Green => "GN",
            Self::Blue => "BU",
            Self::Violet => "VT",
            Self::Grey => "GY",
            Self::White => "WH",
            Self::Pink => "PK",
            Self::Gold => "GD",
            Self::Turquoise => "TQ",
            Self::Silver => "SR",
        }
    }

    /// The row of the table, which has the word and the source.
    pub fn row(self) -> Option<&'static ColourRow> {
        colours().iter().find(|r| r.code == self.code())
    }

    /// The word, such as `green`.
    pub fn word(self) -> &'static str {
        self.row().map_or(self.code(), |r| r.word.as_ref())
    }

    /// The colour of these letters or this word, whatever the case. None: not a colour of the table.
    pub fn find(text: &str) -> Option<Self> {
        let is = |name: &str| !name.is_empty() && name.eq_ignore_ascii_case(text);
        let row = colours()
            .iter()
            .find(|r| is(&r.code) || is(&r.word) || is(&r.also))?;
        Self::ALL.into_iter().find(|c| c.code() == row.code)
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_stands_in_the_table_and_the_other_way_round() {
        let codes: Vec<&str> = colours().iter().map(|r| r.code.as_ref()).collect();
        assert_eq!(codes, Colour::ALL.map(Colour::code));
        for colour in Colour::ALL {
            assert_eq!(Colour::find(colour.word()), Some(colour));
            assert_eq!(Colour::find(&colour.code().to_lowercase()), Some(colour));
        }
        assert_eq!(Colour::find("gray"), Some(Colour::Grey));
        assert_eq!(Colour::find("purple"), Some(Colour::Violet));
        assert_eq!(Colour::find(""), None);
    }
}
