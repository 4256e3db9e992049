//! Which column is what: by head words, by values, or as told.

use crimpbook_workbook::{
    Book,
    model::{Connector, Id},
};

use super::{
    ImportError, Options, What, cell,
    colour::{self, ColourTrouble},
    field::{Field, TableOf, names},
    grid::Row,
    head::{Head, fields},
    kind, number,
};

/// How a column came to its field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// By the words over it.
    Head,
    /// By what stands in it.
    Values,
    /// As told.
    Told,
    /// It has none.
    Nothing,
}

/// A column of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The words over it; may be empty.
    pub head: String,
    /// The unit those give.
    pub unit: Option<String>,
    /// The field it fills; none: it is not taken.
    pub field: Option<Field>,
    /// How that is known.
    pub by: By,
    /// Whether an empty cell empties the field; else it changes nothing.
    pub clears: bool,
}

/// How many rows are looked at for the values of a column.
const LOOKED_AT: usize = 200;

/// Maps the columns of a table.
///
/// # Errors
/// A column that is told is not there, or no column names what rows are about.
pub fn map(
    book: &Book,
    head: &Head,
    rows: &[Row],
    what: What,
    options: &Options,
) -> Result<Vec<Column>, ImportError> {
    let table = what.table();
    let by_head = fields(&head.words, table);
    let mut columns: Vec<Column> = (head.words.iter().zip(&head.units).zip(by_head))
        .map(|((words, unit), field)| Column {
            head: words.clone(),
            unit: unit.clone(),
            field,
            by: if field.is_some() { By::Head } else { By::Nothing },
            clears: false,
        })
        .collect();
    told(&mut columns, table, options)?;
    let data = rows.get(head.rows..).unwrap_or_default();
    by_values(book, &mut columns, data, what, head.line.is_some(), options);
    let key = table.key();
    clearing(&mut columns, table, options)?;
    let told = |field: Field| field == key || table.else_told_by().contains(&field);
    if !columns.iter().any(|c| c.field.is_some_and(told)) {
        let heads: Vec<String> = (1..)
            .zip(&columns)
            .map(|(n, c)| format!("{n} {}", c.head).trim().to_owned())
            .collect();
        return Err(ImportError::NoKeyColumn {
            field: key.name(),
            heads: heads.join(", "),
        });
    }
    Ok(columns)
}

/// Puts in what was told: `function=3`, `function=Signal name`, `page=none`.
fn told(columns: &mut [Column], table: TableOf, options: &Options) -> Result<(), ImportError> {
    for (field, column) in &options.columns {
        let named = Field::named(field, table).ok_or_else(|| {
            ImportError::Column(format!("no field is called {field}; fields are {}", names(table)))
        })?;
        for other in columns.iter_mut().filter(|c| c.field == Some(named)) {
            other.field = None;
            other.by = By::Nothing;
        }
        if column.trim().eq_ignore_ascii_case("none") {
            continue;
        }
        let count = columns.len();
        let at = match column.trim().parse::<usize>() {
            Ok(n) => n.checked_sub(1),
            Err(_) => columns
                .iter()
                .position(|c| c.head.trim().eq_ignore_ascii_case(column.trim())),
        };
        let slot = at.and_then(|at| columns.get_mut(at)).ok_or_else(|| {
            ImportError::Column(format!(
                "no column is {column}; columns are counted from 1 to {count}, or named by the words over them"
            ))
        })?;
        slot.field = Some(named);
        slot.by = By::Told;
    }
    Ok(())
}

/// Marks the columns whose empty cells empty their field.
fn clearing(columns: &mut [Column], table: TableOf, options: &Options) -> Result<(), ImportError> {
    for name in &options.clear {
        let field = Field::named(name, table).ok_or_else(|| {
            ImportError::Column(format!("no field is called {name}; fields are {}", names(table)))
        })?;
        if !field.can_be_cleared() {
            return Err(ImportError::Column(format!(
                "an empty cell cannot clear the {}; write what it is to be, as undecided, no or free",
                field.name()
            )));
        }
        let column = columns.iter_mut().find(|c| c.field == Some(field));
        let column = column.ok_or_else(|| {
            ImportError::Column(format!(
                "no column is the {}, so that no empty cell can clear it; name the column with --column {}=N",
                field.name(),
                field.name()
            ))
        })?;
        column.clears = true;
    }
    Ok(())
}

/// Looks at the values of columns that have no field yet.
fn by_values(
    book: &Book,
    columns: &mut [Column],
    rows: &[Row],
    what: What,
    has_head: bool,
    options: &Options,
) {
    let off = |field: Field| {
        options
            .columns
            .iter()
            .any(|(name, _)| name.eq_ignore_ascii_case(field.name()))
    };
    let mut try_field = |field: Field, least: f64, fits: &dyn Fn(&str) -> bool| {
        if off(field) || columns.iter().any(|c| c.field == Some(field)) {
            return;
        }
        // A connector's name further right is where the wire goes to.
        let end = match field {
            Field::Connector => columns.iter().position(|c| c.field == Some(Field::Number)),
            _ => Some(columns.len()),
        };
        let best = (0..end.unwrap_or(0))
            .filter(|at| columns.get(*at).is_some_and(|c| c.field.is_none()))
            .map(|at| (at, share(rows, at, fits)))
            .filter(|(_, share)| *share >= least)
            // The first of equals.
            .rev()
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(slot) = best.and_then(|(at, _)| columns.get_mut(at)) {
            slot.field = Some(field);
            slot.by = By::Values;
        }
    };
    let letters = |text: &str| text.chars().any(char::is_alphabetic);
    let table = what.table();
    match what {
        What::Cavities { connector } => {
            let known = |text: &str| connector.is_some_and(|id| has(book, id, text));
            let any = connector.is_some_and(|id| !book.cavities_of(id).is_empty());
            let plain = |text: &str| match number::numbers(text, known) {
                Ok(numbers) => numbers
                    .iter()
                    .all(|n| n.chars().any(|c| c.is_ascii_digit()) && n.len() <= 5),
                Err(_) => false,
            };
            if any {
                try_field(Field::Number, 0.6, &|text| {
                    number::numbers(text, known).is_ok_and(|numbers| numbers.iter().all(|n| known(n)))
                });
            }
            try_field(Field::Number, 0.6, &plain);
            try_field(Field::Connector, 0.6, &|text| {
                book.index().labelled::<Connector>(text).is_some()
            });
        }
        What::Wires => {
            try_field(Field::Wire, 0.6, &|text| {
                let digits = text.trim_start_matches(|c: char| c.is_alphabetic() || c == '-');
                digits.len() < text.len()
                    && !digits.is_empty()
                    && digits.chars().all(|c| c.is_ascii_digit())
                    && text.len() < 9
                    && book.find_end(text).is_none()
            });
            for field in [Field::From, Field::To] {
                try_field(field, 0.6, &|text| book.find_end(text).is_some());
            }
        }
        // What they are about is a word of the house: only its head tells it.
        What::Drums | What::Stock | What::Settings => {}
    }
    if !matches!(table, TableOf::Cavities | TableOf::Wires | TableOf::Drums) {
        return;
    }
    try_field(Field::Colour, 0.6, &|text| {
        letters(text) && !matches!(colour::read(text, &options.colours), Err(ColourTrouble::Wrong(_)))
    });
    try_field(Field::Size, 0.6, &|text| {
        letters(text) && cell::size(text, None, None).is_ok()
    });
    if let What::Cavities { .. } = what {
        try_field(Field::Kind, 0.5, &|text| kind::find(text).is_ok());
        if !has_head {
            try_field(Field::Function, 0.5, &letters);
            try_field(Field::Page, 0.8, &|text| {
                text.len() <= 8 && text.chars().any(|c| c.is_ascii_digit())
            });
        }
    }
}

/// Whether a connector has a cavity of this number.
pub fn has(book: &Book, connector: Id<Connector>, number: &str) -> bool {
    book.cavities_of(connector)
        .iter()
        .any(|c| c.number.eq_ignore_ascii_case(number))
}

/// The share of filled cells of a column that fit.
fn share(rows: &[Row], column: usize, fits: &dyn Fn(&str) -> bool) -> f64 {
    let cells = rows
        .iter()
        .take(LOOKED_AT)
        .filter_map(|row| row.cells.get(column));
    let (mut all, mut good) = (0.0, 0.0);
    for cell in cells
        .map(|cell| cell::clean(cell).text)
        .filter(|text| !cell::is_empty(text) && !cell::is_ditto(text))
    {
        all += 1.0;
        if fits(&cell) {
            good += 1.0;
        }
    }
    if all == 0.0 { 0.0 } else { good / all }
}
