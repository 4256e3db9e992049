//! Why a table is not read at all, in sentences.

/// A table that cannot be read. Nothing was changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ImportError {
    /// More bytes than a table of this trade has.
    #[error("the table has {bytes} bytes, at most {most} are read; split it")]
    TooLarge {
        /// Its size.
        bytes: usize,
        /// The most.
        most: usize,
    },
    /// More rows than are read.
    #[error("the table has more than {most} rows; split it")]
    TooManyRows {
        /// The most.
        most: usize,
    },
    /// More columns than are read.
    #[error("line {line} has {columns} columns, at most {most} are read; is the separator another?")]
    TooManyColumns {
        /// The line.
        line: u64,
        /// Its columns.
        columns: usize,
        /// The most.
        most: usize,
    },
    /// A cell that is too long.
    #[error("line {line}, column {column} holds {bytes} bytes, at most {most} are read; shorten it")]
    TooLongCell {
        /// The line.
        line: u64,
        /// The column, from 1.
        column: usize,
        /// Its size.
        bytes: usize,
        /// The most.
        most: usize,
    },
    /// Bytes that are no text.
    #[error("this is no text in UTF-8, UTF-16 or Latin-1: {0}; export the table as CSV once more")]
    NotText(String),
    /// Nothing in it.
    #[error("the table is empty")]
    Empty,
    /// A column is given to a field that is not there, or the other way round.
    #[error("{0}")]
    Column(String),
    /// The column that says what a row is about is not found.
    #[error(
        "no column is recognised as the {field}; name it with --column {field}=N, counted from 1 (columns: {heads})"
    )]
    NoKeyColumn {
        /// The field that is missing.
        field: &'static str,
        /// The heads that are there.
        heads: String,
    },
    /// The connector is not known.
    #[error("{0}")]
    Connector(String),
}
