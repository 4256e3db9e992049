//! The preview of a table that was pasted: its columns, what is asked, what would change, what is left out.

use crimpbook_record::import::{
    Ask, Comma, Field, ImportError, Named, Options, Plan, Text, What, field, is_of_wires, plan,
};
use crimpbook_workbook::{
    Book,
    model::{Connector, Id, IdMaker},
};

/// A pasted table before it is taken.
#[derive(Debug, Clone)]
pub struct Preview {
    text: Text,
    what: What,
    /// The connector that is looked at: rows of cavities are of it where they name none.
    connector: Option<Id<Connector>>,
    options: Options,
    /// Questions that were answered, so that the answer can be changed.
    answered: Vec<Ask>,
    /// What the table would come to.
    pub plan: Plan,
    /// The lines shown.
    pub rows: Vec<Row>,
    /// The line the cursor is on.
    pub at: usize,
}

/// A line of the preview.
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// A heading.
    Title(String),
    /// A column of the table, and its words.
    Column(usize, String),
    /// A question, and its words.
    Ask(Ask, String),
    /// A connector that rows name and that the table is not for, and its words.
    Named(Named, String),
    /// Words.
    Words(String),
}

impl Row {
    /// Whether both can be changed and are of the same thing, whatever they say of it.
    fn is_of(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Column(a, _), Self::Column(b, _)) => a == b,
            (Self::Ask(a, _), Self::Ask(b, _)) => a == b,
            (Self::Named(a, _), Self::Named(b, _)) => a.name == b.name,
            _ => false,
        }
    }
}

impl Preview {
    /// The preview of a text; whether its rows are wires or cavities of `connector` is seen from its columns.
    ///
    /// # Errors
    /// The table cannot be read at all.
    pub fn new(
        book: &Book,
        ids: &mut IdMaker,
        text: &str,
        connector: Option<Id<Connector>>,
    ) -> Result<Self, ImportError> {
        let text = Text::pasted(text)?;
        let what = if is_of_wires(book, &text, connector)? {
            What::Wires
        } else {
            What::Cavities { connector }
        };
        let options = Options::default();
        let plan = plan(book, ids, &text, what, &options)?;
        let mut preview = Self {
            text,
            what,
            connector,
            options,
            answered: Vec::new(),
            plan,
            rows: Vec::new(),
            at: 0,
        };
        preview.lay_out(book);
        // The first line that can be changed, a question before all others.
        let is_ask = |row: &Row| matches!(row, Row::Ask(..) | Row::Named(..));
        preview.at = preview.rows.iter().position(is_ask).unwrap_or(0);
        Ok(preview)
    }

    /// What its rows are taken for.
    pub fn title(&self, book: &Book) -> String {
        match self.what {
            What::Wires => "a pasted table of wires".to_owned(),
            What::Drums => "a pasted table of drums".to_owned(),
            What::Stock => "a pasted table of counted parts".to_owned(),
            What::Settings => "a pasted table of settings".to_owned(),
            What::Cavities { connector: None } => "a pasted table of cavities".to_owned(),
            What::Cavities { connector: Some(id) } => {
                format!("a pasted table of cavities of {}", book.label_of(id))
            }
        }
    }

    /// Takes the rows for wires instead of cavities, or the other way round. What was told of the columns is dropped.
    ///
    /// # Errors
    /// It cannot be read so; it stays as it is.
    pub fn other(&mut self, book: &Book, ids: &mut IdMaker) -> Result<(), ImportError> {
        let was = self.what;
        self.what = match was {
            What::Wires => What::Cavities {
                connector: self.connector,
            },
            _ => What::Wires,
        };
        let options = Options {
            columns: Vec::new(),
            clear: Vec::new(),
            ..self.options.clone()
        };
        let read = self.again(book, ids, options);
        if read.is_err() {
            self.what = was;
        }
        read
    }

    /// Lets empty cells of the column under the cursor clear, or change nothing again.
    ///
    /// # Errors
    /// The cursor is on no column that is taken, or its field cannot be empty.
    pub fn clear(&mut self, book: &Book, ids: &mut IdMaker) -> Result<(), String> {
        let column = match self.rows.get(self.at) {
            Some(Row::Column(at, _)) => self.plan.columns.get(*at),
            _ => None,
        };
        let Some(field) = column.and_then(|c| c.field) else {
            return Err("go to a column that is taken first".to_owned());
        };
        let mut options = self.options.clone();
        let told = options.clear.len();
        options.clear.retain(|name| name != field.name());
        if options.clear.len() == told {
            options.clear.push(field.name().to_owned());
        }
        self.again(book, ids, options).map_err(|e| e.to_string())
    }

    /// Reads the table anew with other options; keeps what is where that fails.
    fn again(&mut self, book: &Book, ids: &mut IdMaker, options: Options) -> Result<(), ImportError> {
        self.plan = plan(book, ids, &self.text, self.what, &options)?;
        self.options = options;
        self.lay_out(book);
        Ok(())
    }

    /// Lays the lines out anew, the cursor on what it was on.
    fn lay_out(&mut self, book: &Book) {
        let was = self.rows.get(self.at).cloned();
        let columns = self.plan.columns_block();
        let mut rows: Vec<Row> = Vec::new();
        let asks: Vec<Ask> = self.plan.asks.iter().chain(&self.answered).cloned().collect();
        if !asks.is_empty() {
            rows.push(Row::Title("asked of the whole table".to_owned()));
        }
        for ask in asks {
            let words = format!("{}: {}", ask.question(), self.answer(&ask));
            rows.push(Row::Ask(ask, words));
        }
        if !self.plan.named.is_empty() {
            let named = self.plan.named_block(book);
            rows.push(Row::Title(named.title));
            let all = self.plan.named.iter().cloned().zip(named.lines);
            rows.extend(all.map(|(named, words)| Row::Named(named, words)));
        }
        rows.push(Row::Title(columns.title));
        rows.extend(
            columns
                .lines
                .into_iter()
                .enumerate()
                .map(|(at, words)| Row::Column(at, words)),
        );
        for block in [
            self.plan.problems_block(),
            self.plan.changes_block(book),
            self.plan.passed_block(),
        ] {
            rows.push(Row::Title(block.title));
            rows.extend(block.lines.into_iter().map(Row::Words));
        }
        self.rows = rows;
        let same = was.and_then(|was| self.rows.iter().position(|row| row.is_of(&was)));
        self.at = same.unwrap_or(self.at).min(self.rows.len().saturating_sub(1));
    }

    /// What was answered.
    fn answer(&self, ask: &Ask) -> &'static str {
        match ask {
            Ask::Colour { letters, .. } => self.options.colours.get(letters).map_or("not said", |c| c.word()),
            Ask::Comma { .. } => match self.options.comma {
                None => "not said",
                Some(Comma::Decimal) => "a decimal mark",
                Some(Comma::Thousands) => "between thousands",
            },
        }
    }

    /// Changes what the cursor is on: the field of a column, or an answer.
    pub fn turn(&mut self, book: &Book, ids: &mut IdMaker, forward: bool) -> Result<(), ImportError> {
        match self.rows.get(self.at).cloned() {
            Some(Row::Column(at, _)) => self.turn_column(book, ids, at, forward),
            Some(Row::Ask(ask, _)) => self.turn_answer(book, ids, ask, forward),
            Some(Row::Named(named, _)) => self.turn_named(book, ids, &named, forward),
            _ => Ok(()),
        }
    }

    /// The next connector for the rows that name one, or nowhere.
    fn turn_named(
        &mut self,
        book: &Book,
        ids: &mut IdMaker,
        named: &Named,
        forward: bool,
    ) -> Result<(), ImportError> {
        let places = named.places(book, self.connector);
        let now = places.iter().position(|place| *place == named.goes).unwrap_or(0);
        let step = if forward { 1 } else { places.len() - 1 };
        let next = places.get((now + step) % places.len().max(1)).copied().flatten();
        let mut options = self.options.clone();
        options.rows.insert(named.name.to_lowercase(), next);
        self.again(book, ids, options)
    }

    /// The next field that lets the table be read, given to a column.
    fn turn_column(
        &mut self,
        book: &Book,
        ids: &mut IdMaker,
        at: usize,
        forward: bool,
    ) -> Result<(), ImportError> {
        let table = self.what.table();
        let all: Vec<Option<Field>> = std::iter::once(None)
            .chain(field::of(table).map(|row| Some(row.field)))
            .collect();
        let now = self.plan.columns.get(at).and_then(|c| c.field);
        let place = all.iter().position(|f| *f == now).unwrap_or(0);
        let mut last = Ok(());
        for step in 1..all.len() {
            let shift = if forward { step } else { all.len() - step };
            let next = (place + shift) % all.len();
            let Some(next) = all.get(next).copied() else {
                continue;
            };
            // A field that another column fills is not taken away from it.
            if next.is_some_and(|f| self.plan.columns.iter().any(|c| c.field == Some(f))) {
                continue;
            }
            let mut options = self.options.clone();
            let named = |name: &str| [now, next].into_iter().flatten().any(|f| f.name() == name);
            options.columns.retain(|(name, _)| !named(name));
            options.clear.retain(|name| !named(name));
            options
                .columns
                .extend(now.map(|f| (f.name().to_owned(), "none".to_owned())));
            options
                .columns
                .extend(next.map(|f| (f.name().to_owned(), (at + 1).to_string())));
            last = self.again(book, ids, options);
            if last.is_ok() {
                break;
            }
        }
        last
    }

    fn turn_answer(
        &mut self,
        book: &Book,
        ids: &mut IdMaker,
        ask: Ask,
        forward: bool,
    ) -> Result<(), ImportError> {
        let mut options = self.options.clone();
        match &ask {
            Ask::Colour { letters, may_be, .. } => {
                let now = options
                    .colours
                    .get(letters)
                    .and_then(|c| may_be.iter().position(|m| m == c));
                let count = may_be.len();
                let next = match (now, forward) {
                    (None, true) => 0,
                    (None, false) => count.saturating_sub(1),
                    (Some(at), true) => (at + 1) % count.max(1),
                    (Some(at), false) => (at + count - 1) % count.max(1),
                };
                if let Some(colour) = may_be.get(next) {
                    options.colours.insert(letters.clone(), *colour);
                }
            }
            Ask::Comma { .. } => {
                options.comma = Some(match options.comma {
                    Some(Comma::Decimal) => Comma::Thousands,
                    Some(Comma::Thousands) | None => Comma::Decimal,
                });
            }
        }
        if !self.answered.contains(&ask) {
            self.answered.push(ask.clone());
        }
        self.again(book, ids, options)
    }
}
