use thiserror::Error;

/// Why a typed size, colour or figure was refused. Each is a sentence that says how to write it.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum QuantityError {
    /// Nothing was typed.
    #[error("Nothing is written. Write a {what}, for example `{example}`.")]
    Empty {
        /// What was to be read.
        what: &'static str,
        /// A right one.
        example: &'static str,
    },
    /// No number at the start.
    #[error("`{text}` does not start with a number. Write a {what}, for example `{example}`.")]
    NotANumber {
        /// As typed.
        text: String,
        /// What was to be read.
        what: &'static str,
        /// A right one.
        example: &'static str,
    },
    /// A comma that may be a decimal mark or may group thousands.
    #[error("`{text}` can mean {small} or {large}. Write the one you mean without a comma.")]
    AmbiguousComma {
        /// As typed.
        text: String,
        /// Read with the comma as decimal mark.
        small: String,
        /// Read with the comma between thousands.
        large: String,
    },
    /// More than one mark in a number.
    #[error("`{text}` has more than one decimal mark. Write it without marks between thousands.")]
    TwoMarks {
        /// As typed.
        text: String,
    },
    /// Digits in two groups.
    #[error("`{text}` has a space inside the number. Write the digits together.")]
    SpaceInside {
        /// As typed.
        text: String,
    },
    /// A unit that does not belong to this quantity.
    #[error("`{unit}` is no unit of a {what}. Use {accepted}.")]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// What was to be read.
        what: &'static str,
        /// Symbols that are understood.
        accepted: String,
    },
    /// An `m` that may be milli or mega.
    #[error("`{unit}` can mean milli or mega. Write {accepted}.")]
    AmbiguousPrefix {
        /// The unit as typed.
        unit: String,
        /// Symbols that are understood.
        accepted: String,
    },
    /// Below or above what can be meant.
    #[error("{text} is outside what a {what} can be here: {least} to {most}.")]
    OutOfRange {
        /// As read.
        text: String,
        /// What was to be read.
        what: &'static str,
        /// Least, with unit.
        least: String,
        /// Most, with unit.
        most: String,
    },
    /// A bare number that may be mm² or a gauge.
    #[error("`{text}` can be mm² or a gauge. Write `{text} mm2`, `AWG {text}` or `SAE {text}`.")]
    AmbiguousSize {
        /// As typed.
        text: String,
    },
    /// A gauge without its system.
    #[error(
        "`{text}` is a gauge, but AWG and SAE gauges differ by up to 12 %. Write `AWG {gauge}` or `SAE {gauge}`."
    )]
    WhichGauge {
        /// As typed.
        text: String,
        /// The number alone.
        gauge: String,
    },
    /// No such gauge.
    #[error("`{text}` is no {system} gauge. Known are {known}.")]
    NoSuchGauge {
        /// As typed.
        text: String,
        /// `AWG` or `SAE`.
        system: &'static str,
        /// The range or list.
        known: String,
    },
    /// Millimetres where square millimetres are meant.
    #[error("`{text}` is a length or a diameter. A size is an area: write `{number} mm2`.")]
    NotAnArea {
        /// As typed.
        text: String,
        /// The number alone.
        number: String,
    },
    /// What stands in brackets does not agree with what stands before.
    #[error("`{text}` names two sizes that differ. Write one of them.")]
    TwoSizes {
        /// As typed.
        text: String,
    },
    /// A word that is no colour.
    #[error("`{word}` is no colour known here. Use {known}; base before tracer, as in `GN/WH`.")]
    UnknownColour {
        /// The word as typed.
        word: String,
        /// Letters and words that are understood.
        known: String,
    },
    /// More than base and tracer.
    #[error("`{text}` names more than two colours. A wire has a base and at most one tracer, as in `GN/WH`.")]
    TooManyColours {
        /// As typed.
        text: String,
    },
}
