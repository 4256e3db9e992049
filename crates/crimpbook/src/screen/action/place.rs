//! The places where keys hold.

use super::PLACES;

/// Where a key is typed. Exactly one holds at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Where {
    Overview,
    Face,
    Sources,
    Build,
    Protection,
    States,
    Tests,
    Settings,
    Trials,
    Log,
    Parts,
    /// What happens if a wire fails is shown.
    Suppose,
    /// A calculator is shown.
    Reckon,
    /// A fault is looked for.
    Hunt,
    /// What is tried, and what it costs.
    Trying,
    /// Another copy is merged.
    Merging,
    /// The menu of screens is open.
    Menu,
    /// The menu of decisions is open.
    Deciding,
    /// One line is being typed.
    Line,
    /// A form is being filled in.
    Form,
    /// Missing facts are being answered.
    Asking,
    /// Something is being looked for.
    Find,
    /// The keys are shown.
    Help,
    /// Typed text would be lost: stay or leave.
    Leaving,
    /// A pasted table is shown before it is taken.
    Preview,
}

impl Where {
    /// Every one, in the order of the help.
    pub const ALL: &'static [Where] = &[
        Self::Overview,
        Self::Face,
        Self::Sources,
        Self::Build,
        Self::Protection,
        Self::States,
        Self::Tests,
        Self::Settings,
        Self::Trials,
        Self::Log,
        Self::Parts,
        Self::Suppose,
        Self::Reckon,
        Self::Hunt,
        Self::Trying,
        Self::Merging,
        Self::Menu,
        Self::Deciding,
        Self::Line,
        Self::Form,
        Self::Asking,
        Self::Find,
        Self::Help,
        Self::Leaving,
        Self::Preview,
    ];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Overview => "Overview",
            Self::Face => "Face",
            Self::Sources => "Sources",
            Self::Build => "Build",
            Self::Protection => "Protection",
            Self::States => "States",
            Self::Tests => "Tests",
            Self::Settings => "Settings",
            Self::Trials => "Trials",
            Self::Log => "Log",
            Self::Parts => "Parts",
            Self::Suppose => "a wire that fails",
            Self::Reckon => "calculators",
            Self::Hunt => "finding a fault",
            Self::Trying => "what is tried",
            Self::Merging => "merging another copy",
            Self::Menu => "menu of screens",
            Self::Deciding => "decision",
            Self::Line => "typing a line",
            Self::Form => "form",
            Self::Asking => "missing facts",
            Self::Find => "finding",
            Self::Help => "keys",
            Self::Leaving => "leaving typed text",
            Self::Preview => "pasted table",
        }
    }

    /// Whether it is a screen, not something over one.
    pub fn is_screen(self) -> bool {
        PLACES.contains(&self)
    }

    /// Whether letters are text here.
    pub fn takes_text(self) -> bool {
        matches!(
            self,
            Self::Hunt | Self::Line | Self::Form | Self::Asking | Self::Find
        )
    }
}
