//! How a field of a record stands in columns.

/// A field of a record.
#[derive(Debug)]
pub(crate) struct Field {
    /// Its name in JSON.
    pub name: &'static str,
    /// The columns it stands in.
    pub shape: Shape,
}

/// The columns of a field.
#[derive(Debug)]
pub(crate) enum Shape {
    /// One column of the same name.
    One(Form),
    /// Several columns of the same row; where all are NULL the field is this word, or absent.
    Many(&'static [Part], Option<&'static str>),
    /// Rows of a table of its own, in order.
    List(&'static List),
}

/// A column that holds a part of a field.
#[derive(Debug)]
pub(crate) struct Part {
    /// The column.
    pub column: &'static str,
    /// Where in the field's JSON its value is; empty: the field itself.
    pub path: &'static [&'static str],
    /// How it stands there.
    pub form: Form,
}

/// A table with a row for each element of a list.
#[derive(Debug)]
pub(crate) struct List {
    /// The table; its other columns are `place`, from 0, and those of `parts`.
    pub table: &'static str,
    /// The column that names the record the list is of.
    pub owner: &'static str,
    /// The columns of an element.
    pub parts: &'static [Part],
}

/// How a value stands in a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// Text, real or integer as it is.
    Plain,
    /// True as 1, false as 0.
    Flag,
    /// JSON text.
    Json,
    /// The name of a variant; what the variant holds stands in other columns.
    Word,
    /// JSON text of what a variant holds beyond what stands in other columns. Comes last of its field.
    Figures,
}

/// A field in one column, as it is.
pub(super) const fn plain(name: &'static str) -> Field {
    Field {
        name,
        shape: Shape::One(Form::Plain),
    }
}

/// A field that is true or false.
pub(super) const fn flag(name: &'static str) -> Field {
    Field {
        name,
        shape: Shape::One(Form::Flag),
    }
}

/// A field in one column as JSON text.
pub(super) const fn json(name: &'static str) -> Field {
    Field {
        name,
        shape: Shape::One(Form::Json),
    }
}

/// A field whose elements are rows of their own.
pub(super) const fn list(name: &'static str, of: &'static List) -> Field {
    Field {
        name,
        shape: Shape::List(of),
    }
}

/// A column for the value at `path`.
pub(super) const fn part(column: &'static str, path: &'static [&'static str], form: Form) -> Part {
    Part { column, path, form }
}

/// A field whose parts stand in columns named after it: `nested!("pull": "to", "ohm")` is `pull_to`, `pull_ohm`.
macro_rules! nested {
    ($name:literal: $($a:literal $(/ $b:literal)?),* $(; otherwise $word:literal)?) => {
        Field {
            name: $name,
            shape: Shape::Many(
                &[$(Part {
                    column: concat!($name, "_", $a $(, "_", $b)?),
                    path: &[$a $(, $b)?],
                    form: Form::Plain,
                }),*],
                nested!(@ $($word)?),
            ),
        }
    };
    (@) => { None };
    (@ $word:literal) => { Some($word) };
}
pub(super) use nested;
