//! Tables in: pin tables and wire lists from a file, from standard input or pasted.
//!
//! A table is decoded, taken apart, its columns recognised, each row merged into what is there, and the whole comes to one
//! edit for the one door. Nothing is changed here: a [`Plan`] says what would be, and what was not understood. A bad cell
//! is left out and named, a bad row is left out and named; neither spoils the others.

mod cavities;
mod cell;
mod cells;
mod colour;
mod decode;
mod draft;
mod drums;
mod error;
pub mod field;
mod grid;
mod head;
pub mod kind;
mod map;
mod named;
mod number;
mod preview;
mod settings;
mod stock;
mod taking;
mod wires;

use crimpbook_core::quantity::Colour;
use crimpbook_workbook::book::InOrder;
use crimpbook_workbook::{
    Book,
    edit::{Change, Edit},
    log::EntryKind,
    model::{Connector, Id, IdMaker},
};

pub use cell::Comma;
pub use colour::Answers;
pub use decode::{MOST_BYTES, Text};
pub use error::ImportError;
pub use field::{Field, TableOf};
pub use grid::{MOST_CELL, MOST_COLUMNS, MOST_ROWS};
pub use map::{By, Column};
pub use named::{Named, Places};

use draft::Draft;
use taking::Taking;

/// What the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Cavities, of this connector or of the one that each row names.
    Cavities {
        /// The connector.
        connector: Option<Id<Connector>>,
    },
    /// Wires.
    Wires,
    /// Drums of wire.
    Drums,
    /// Counted lines of the parts list.
    Stock,
    /// Settings of the units' own software.
    Settings,
}

impl What {
    /// The table that it is.
    pub fn table(self) -> TableOf {
        match self {
            Self::Cavities { .. } => TableOf::Cavities,
            Self::Wires => TableOf::Wires,
            Self::Drums => TableOf::Drums,
            Self::Stock => TableOf::Stock,
            Self::Settings => TableOf::Settings,
        }
    }

    /// The kind of entry that it comes to: what lies on the shelf is no change of the plan.
    fn entry(self) -> EntryKind {
        match self {
            Self::Drums | Self::Stock => EntryKind::Progress,
            Self::Cavities { .. } | Self::Wires | Self::Settings => EntryKind::Import,
        }
    }
}

/// How a table is to be read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Options {
    /// Fields and their columns, as told: a number from 1, the words over it, or `none`.
    pub columns: Vec<(String, String)>,
    /// What letters of colours mean in this table.
    pub colours: Answers,
    /// Where rows go that name another connector; for all others they are left out.
    pub rows: Places,
    /// Fields that an empty cell empties; for all others it changes nothing.
    pub clear: Vec<String>,
    /// What a comma means where it could be two things.
    pub comma: Option<Comma>,
    /// What the table is called in the log (`pins.csv`).
    pub name: String,
}

/// Something that was not taken as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// The line of the table; 0: the whole table.
    pub line: u64,
    /// The column's field; none: the row.
    pub column: Option<&'static str>,
    /// Whether the whole row is left out, not only this cell.
    pub whole_row: bool,
    /// What is wrong.
    pub sentence: String,
}

/// A question about the whole table. Cells that hang on it are left out until it is answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// Letters that two customs read differently.
    Colour {
        /// The letters, in capitals.
        letters: String,
        /// What they may mean.
        may_be: Vec<Colour>,
        /// Lines they stand on.
        lines: Vec<u64>,
    },
    /// A comma that may be a decimal mark or stand between thousands.
    Comma {
        /// The first cell of the kind.
        example: String,
        /// Lines with such cells.
        lines: Vec<u64>,
    },
}

/// What a table would come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How the bytes were read.
    pub encoding: &'static str,
    /// What parts the cells.
    pub separator: char,
    /// Line of the head; none: there is none.
    pub head_line: Option<u64>,
    /// The columns.
    pub columns: Vec<Column>,
    /// How many rows of data there are.
    pub rows: usize,
    /// Lines that were passed over, and what they are.
    pub passed: Vec<(u64, String)>,
    /// What was not taken.
    pub problems: Vec<Problem>,
    /// What is asked.
    pub asks: Vec<Ask>,
    /// Connectors that rows name and that the table is not for.
    pub named: Vec<Named>,
    /// The edit; none: nothing would change.
    pub edit: Option<Edit>,
}

impl Plan {
    /// The changes.
    pub fn changes(&self) -> &[Change] {
        self.edit.as_ref().map_or(&[], |edit| &edit.changes)
    }
}

/// Reads a table and says what it would change.
///
/// # Errors
/// The table cannot be read at all, or a column that is needed is not there.
pub fn plan(
    book: &Book,
    ids: &mut IdMaker,
    text: &Text,
    what: What,
    options: &Options,
) -> Result<Plan, ImportError> {
    let grid = grid::Grid::read(&text.text)?;
    let table = what.table();
    let head = head::find(&grid.rows, grid.columns, table);
    let columns = map::map(book, &head, &grid.rows, what, options)?;
    let has = |field: Field| columns.iter().any(|c| c.field == Some(field));
    if what == (What::Cavities { connector: None }) && !has(Field::Connector) {
        return Err(ImportError::Connector(
            "the table does not say of which connector the cavities are; name it with --connector".to_owned(),
        ));
    }
    let (rows, mut passed, problems) = cells::read(&grid, &head, &columns, table.key());
    let mut taking = Taking::new(book, ids, options, &columns);
    taking.problems = problems;
    match what {
        What::Cavities { connector } => cavities::take(&mut taking, connector, &rows),
        What::Wires => wires::take(&mut taking, &rows),
        What::Drums => drums::take(&mut taking, &rows),
        What::Stock => stock::take(&mut taking, &rows),
        What::Settings => settings::take(&mut taking, &rows),
    }
    let Taking {
        draft,
        mut problems,
        asks,
        named,
        ..
    } = taking;
    let strays = named.values().any(|n| n.goes.is_some());
    let edit = draft.edit(
        what.entry(),
        &|changes| title(book, what, strays, options, changes),
        &mut problems,
    );
    passed.sort();
    problems.order_by(|p| p.line);
    Ok(Plan {
        encoding: text.encoding,
        separator: grid.separator,
        head_line: head.line,
        columns,
        rows: rows.len(),
        passed,
        problems,
        asks,
        named: named.into_values().collect(),
        edit,
    })
}

/// Whether a table's rows are wires, not cavities: it says where both ends are, or names wires and no cavities.
///
/// # Errors
/// The table cannot be read at all.
pub fn is_of_wires(book: &Book, text: &Text, connector: Option<Id<Connector>>) -> Result<bool, ImportError> {
    let grid = grid::Grid::read(&text.text)?;
    let mapped = |what: What| {
        let head = head::find(&grid.rows, grid.columns, what.table());
        map::map(book, &head, &grid.rows, what, &Options::default())
    };
    let Ok(columns) = mapped(What::Wires) else {
        return Ok(false);
    };
    let has = |either: [Field; 2]| {
        columns
            .iter()
            .any(|c| c.field.is_some_and(|f| either.contains(&f)))
    };
    let ends = has([Field::From, Field::FromCavity]) && has([Field::To, Field::ToCavity]);
    Ok(ends || mapped(What::Cavities { connector }).is_err())
}

/// `MC-A: 35 cavities from pins.csv`.
fn title(book: &Book, what: What, strays: bool, options: &Options, changes: &[Change]) -> String {
    use crimpbook_workbook::model::Kind;
    let count = |kind, one: &str, many: &str| {
        let n = changes
            .iter()
            .filter_map(Change::key)
            .filter(|k| k.kind == kind)
            .count();
        (n > 0).then(|| format!("{n} {}", if n == 1 { one } else { many }))
    };
    let cavities = count(Kind::Cavity, "cavity", "cavities");
    let others = [
        count(Kind::Wire, "wire", "wires"),
        count(Kind::Drum, "drum", "drums"),
        count(Kind::StockLine, "counted part", "counted parts"),
        count(Kind::Setting, "setting", "settings"),
    ];
    let things: Vec<String> = cavities.into_iter().chain(others.into_iter().flatten()).collect();
    let from = match options.name.trim() {
        "" => "a pasted table".to_owned(),
        name => crate::text::shown(name).chars().take(60).collect(),
    };
    let head = match what {
        What::Cavities { connector: Some(id) } if !strays => format!("{}: ", book.label_of(id)),
        _ => String::new(),
    };
    format!("{head}{} from {from}", things.join(" and "))
}

#[cfg(test)]
mod tests;
