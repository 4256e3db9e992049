//! What a column can be, and the head words it is recognised by.

mod loom;
mod shelf;

/// What the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableOf {
    /// Cavities.
    Cavities,
    /// Wires.
    Wires,
    /// Drums of wire.
    Drums,
    /// Counted lines of the parts list.
    Stock,
    /// Settings of the units' own software.
    Settings,
}

impl TableOf {
    /// Every one.
    pub const ALL: [Self; 5] = [
        Self::Cavities,
        Self::Wires,
        Self::Drums,
        Self::Stock,
        Self::Settings,
    ];

    /// The field that names what a row is about.
    pub fn key(self) -> Field {
        match self {
            Self::Cavities => Field::Number,
            Self::Wires => Field::Wire,
            Self::Drums => Field::Drum,
            Self::Stock => Field::Line,
            Self::Settings => Field::Setting,
        }
    }

    /// Fields that tell it as well, where no column is the key.
    pub fn else_told_by(self) -> &'static [Field] {
        match self {
            Self::Wires => &[Field::From, Field::To],
            Self::Stock => &[Field::Which],
            Self::Cavities | Self::Drums | Self::Settings => &[],
        }
    }
}

/// A field that a column fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "the table below says what each is")]
pub enum Field {
    Connector,
    Number,
    UnitNumber,
    Function,
    Kind,
    Page,
    Contact,
    Decision,
    Why,
    Plug,
    Current,
    Peak,
    LeastCurrent,
    HighestVoltage,
    OnAbove,
    OffBelow,
    OnBelow,
    OffAbove,
    Rest,
    Full,
    Release,
    SensorOhm,
    SensorOff,
    SensorPerK,
    Wire,
    Signal,
    From,
    FromCavity,
    To,
    ToCavity,
    Size,
    Colour,
    Length,
    Bundle,
    Pair,
    Fuse,
    Voltage,
    DropLimit,
    Class,
    Drum,
    SizeWritten,
    InStock,
    Line,
    Part,
    Which,
    Have,
    Ordered,
    Here,
    Unit,
    Setting,
    Value,
    Measure,
    Role,
    Least,
    Most,
    Default,
    Cavities,
    Note,
}

/// A field's row.
#[derive(Debug)]
pub struct FieldRow {
    /// The field.
    pub field: Field,
    /// Its name, as it is typed in `--column NAME=N`.
    pub name: &'static str,
    /// The tables that have it.
    pub tables: &'static [TableOf],
    /// Head words, in small letters without marks, the surest first.
    pub heads: &'static [&'static str],
}

const fn row(
    field: Field,
    name: &'static str,
    tables: &'static [TableOf],
    heads: &'static [&'static str],
) -> FieldRow {
    FieldRow {
        field,
        name,
        tables,
        heads,
    }
}

impl Field {
    /// Its row.
    fn row(self) -> Option<&'static FieldRow> {
        fields().find(|row| row.field == self)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.row().map_or("", |row| row.name)
    }

    /// Whether an empty cell may clear it: not what a row is about, nor what always is something.
    pub fn can_be_cleared(self) -> bool {
        !matches!(
            self,
            Self::Connector
                | Self::Number
                | Self::Decision
                | Self::Plug
                | Self::Wire
                | Self::From
                | Self::FromCavity
                | Self::To
                | Self::ToCavity
                | Self::Drum
                | Self::InStock
                | Self::Line
                | Self::Part
                | Self::Which
                | Self::Have
                | Self::Ordered
                | Self::Here
                | Self::Unit
                | Self::Setting
        )
    }

    /// The field of this name in a table.
    pub fn named(name: &str, table: TableOf) -> Option<Self> {
        of(table)
            .find(|row| row.name.eq_ignore_ascii_case(name.trim()))
            .map(|row| row.field)
    }
}

/// Every field.
fn fields() -> impl Iterator<Item = &'static FieldRow> {
    loom::ROWS.iter().chain(shelf::ROWS)
}

/// The fields of a table.
pub fn of(table: TableOf) -> impl Iterator<Item = &'static FieldRow> {
    fields().filter(move |row| row.tables.contains(&table))
}

/// Names of all its fields, for a sentence.
pub fn names(table: TableOf) -> String {
    of(table).map(|row| row.name).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn no_head_word_means_two_fields_of_one_table() {
        for table in TableOf::ALL {
            let mut seen = HashSet::new();
            for row in of(table) {
                for head in row.heads {
                    assert!(seen.insert(*head), "{head} twice in {table:?}");
                    assert_eq!(
                        super::super::head::plain(head).0,
                        *head,
                        "{head} is not as heads are compared"
                    );
                }
            }
        }
    }

    #[test]
    fn every_field_can_be_named() {
        for table in TableOf::ALL {
            for row in of(table) {
                assert_eq!(Field::named(row.name, table), Some(row.field));
            }
        }
        assert_eq!(Field::named("bundle", TableOf::Cavities), None);
    }
}
