//! Errors as a person reads them: kind, sentence, place, what to do next. The exit code follows from the kind.

use std::fmt;

/// What kind of trouble it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// Wrong usage, or something only the person can change.
    User,
    /// A file that cannot be read or written.
    File,
    /// A fault of the program.
    Internal,
}

impl Trouble {
    /// The exit code of this kind.
    pub fn exit_code(self) -> u8 {
        match self {
            Self::User => 2,
            Self::File => 4,
            Self::Internal => 70,
        }
    }
}

/// An error to show.
#[derive(Debug)]
pub struct Report {
    /// Its kind.
    pub trouble: Trouble,
    /// What, where.
    pub sentence: String,
    /// What to do next; may be empty.
    pub hint: String,
}

impl Report {
    /// Something only the person can change.
    pub fn user(sentence: impl Into<String>) -> Self {
        Self {
            trouble: Trouble::User,
            sentence: sentence.into(),
            hint: String::new(),
        }
    }

    /// A file that cannot be read or written.
    pub fn file(sentence: impl Into<String>) -> Self {
        Self {
            trouble: Trouble::File,
            sentence: sentence.into(),
            hint: String::new(),
        }
    }

    /// A fault of the program.
    pub fn internal(sentence: impl Into<String>) -> Self {
        Self {
            trouble: Trouble::Internal,
            sentence: sentence.into(),
            hint: String::new(),
        }
    }

    /// With what to do next.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.sentence)?;
        if !self.hint.is_empty() {
            write!(f, "\n  {}", self.hint)?;
        }
        Ok(())
    }
}

impl std::error::Error for Report {}

impl From<crimpbook_store::StoreError> for Report {
    fn from(error: crimpbook_store::StoreError) -> Self {
        use crimpbook_store::ErrorKind;
        let trouble = match error.kind {
            ErrorKind::User => Trouble::User,
            ErrorKind::File => Trouble::File,
            ErrorKind::Internal => Trouble::Internal,
        };
        Self {
            trouble,
            sentence: error.sentence,
            hint: error.hint.unwrap_or_default(),
        }
    }
}

impl From<crimpbook_workbook::edit::Refusal> for Report {
    fn from(refusal: crimpbook_workbook::edit::Refusal) -> Self {
        Self::user(refusal.to_string())
    }
}

impl From<getrandom::Error> for Report {
    fn from(error: getrandom::Error) -> Self {
        Self::internal(format!("the system gives no random bytes for ids: {error}"))
    }
}

impl From<crimpbook_record::demo::StoryError> for Report {
    fn from(error: crimpbook_record::demo::StoryError) -> Self {
        Self::internal(error.to_string())
    }
}

impl From<crimpbook_record::files::WriteError> for Report {
    fn from(error: crimpbook_record::files::WriteError) -> Self {
        Self::file(error.to_string())
    }
}
