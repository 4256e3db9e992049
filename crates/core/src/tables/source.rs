use std::borrow::Cow;
use std::fmt;

/// How a figure is known: what a reader may build on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HowKnown {
    /// Read in a text that prints it, mostly a reprint of the standard.
    Read,
    /// Computed by a stated formula.
    Computed,
    /// Taken from the data sheet or manual of the part in hand, or measured on it, by the builder.
    DataSheet,
    /// The trade does it so; there is no source.
    CommonPractice,
    /// From memory: nobody has opened the document for it.
    Memory,
    /// From memory, and likely to differ between editions.
    MemoryLow,
}

impl HowKnown {
    /// The word used for it in the tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Computed => "computed",
            Self::DataSheet => "data-sheet",
            Self::CommonPractice => "common-practice",
            Self::Memory => "memory",
            Self::MemoryLow => "memory-low",
        }
    }

    /// The same, as a reader of a finding should see it.
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Read => "read in a reprint",
            Self::Computed => "computed",
            Self::DataSheet => "data sheet or measurement",
            Self::CommonPractice => "common practice, no source",
            Self::Memory => "from memory, not looked up",
            Self::MemoryLow => "from memory, low confidence",
        }
    }

    /// Whether a verdict that rests on it should ask for the data sheet.
    pub const fn is_from_memory(self) -> bool {
        matches!(self, Self::Memory | Self::MemoryLow)
    }

    pub(crate) fn from_word(word: &str) -> Option<Self> {
        const ALL: [HowKnown; 6] = [
            HowKnown::Read,
            HowKnown::Computed,
            HowKnown::DataSheet,
            HowKnown::CommonPractice,
            HowKnown::Memory,
            HowKnown::MemoryLow,
        ];
        ALL.into_iter().find(|h| h.word() == word)
    }
}

/// Where a figure comes from and how it is known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Source {
    /// Title and clause or table, or a formula.
    pub text: Cow<'static, str>,
    /// What a reader may build on it.
    pub how_known: HowKnown,
}

impl Source {
    /// A source that stands in the code, such as a formula.
    pub const fn fixed(text: &'static str, how_known: HowKnown) -> Self {
        Self {
            text: Cow::Borrowed(text),
            how_known,
        }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.text, self.how_known.phrase())
    }
}
