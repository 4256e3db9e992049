//! What rows are taken with: the draft, and a place for problems and questions.

use std::collections::{BTreeMap, BTreeSet};

use crimpbook_core::quantity::{Kind, QuantityError, Size, WireColour};
use crimpbook_workbook::{
    Book,
    model::{Bundle, Fuse, Id, IdMaker, Row, SizeTable, Wire},
};

use super::{
    Ask, Column, Draft, Field, Named, Options, Problem, cell,
    cells::Cells,
    colour::{self, ColourTrouble},
    number::short,
};

/// The state of taking a table.
#[derive(Debug)]
pub struct Taking<'a> {
    pub book: &'a Book,
    pub ids: &'a mut IdMaker,
    pub options: &'a Options,
    columns: &'a [Column],
    pub draft: Draft<'a>,
    pub problems: Vec<Problem>,
    pub asks: Vec<Ask>,
    /// Connectors that rows name and that the table is not for, by their names in small letters.
    pub named: BTreeMap<String, Named>,
}

impl<'a> Taking<'a> {
    pub fn new(book: &'a Book, ids: &'a mut IdMaker, options: &'a Options, columns: &'a [Column]) -> Self {
        Self {
            book,
            ids,
            options,
            columns,
            draft: Draft::new(book),
            problems: Vec::new(),
            asks: Vec::new(),
            named: BTreeMap::new(),
        }
    }

    /// A cell is left out.
    pub fn cell_problem(&mut self, line: u64, field: Field, sentence: impl Into<String>) {
        self.problems.push(Problem {
            line,
            column: Some(field.name()),
            whole_row: false,
            sentence: sentence.into(),
        });
    }

    /// A row is left out.
    pub fn row_problem(&mut self, line: u64, sentence: impl Into<String>) {
        self.problems.push(Problem {
            line,
            column: None,
            whole_row: true,
            sentence: sentence.into(),
        });
    }

    /// Reads a cell; what is wrong with it is named.
    pub fn read<T>(
        &mut self,
        cells: &Cells,
        field: Field,
        read: impl FnOnce(&str) -> Result<T, String>,
    ) -> Option<T> {
        match read(cells.get(field)?) {
            Ok(value) => Some(value),
            Err(sentence) => {
                self.cell_problem(cells.line, field, sentence);
                None
            }
        }
    }

    fn unit(&self, field: Field) -> Option<&'a str> {
        self.columns
            .iter()
            .find(|c| c.field == Some(field))?
            .unit
            .as_deref()
    }

    /// A figure.
    pub fn figure(&mut self, cells: &Cells, field: Field, kind: Kind) -> Option<f64> {
        let text = cells.get(field)?;
        let read = cell::figure(kind, text, self.unit(field), self.options.comma);
        self.figured(cells, field, read)
    }

    /// A size: area, the size as written where it is not metric, and its table.
    pub fn size(&mut self, cells: &Cells) -> Option<(f64, String, Option<SizeTable>)> {
        let text = cells.get(Field::Size)?;
        let read = cell::size(text, self.unit(Field::Size), self.options.comma);
        let size = self.figured(cells, Field::Size, read)?;
        let (written, table) = match size {
            Size::Metric { .. } => (String::new(), None),
            Size::Awg(_) => (size.to_string(), Some(SizeTable::Awg)),
            Size::Sae(_) => (size.to_string(), None),
        };
        Some((size.area_mm2(), written, table))
    }

    /// A size as it was written elsewhere than in its column: area, and the words where it is not metric.
    pub fn written_size(&mut self, cells: &Cells, text: &str) -> Option<(f64, String)> {
        let read = cell::size(text, None, self.options.comma);
        let size = self.figured(cells, Field::SizeWritten, read)?;
        let written = match size {
            Size::Metric { .. } => String::new(),
            Size::Awg(_) | Size::Sae(_) => size.to_string(),
        };
        Some((size.area_mm2(), written))
    }

    fn figured<T>(&mut self, cells: &Cells, field: Field, read: Result<T, QuantityError>) -> Option<T> {
        match read {
            Ok(value) => Some(value),
            Err(QuantityError::AmbiguousComma { text, .. }) => {
                let asked = self.asks.iter_mut().find_map(|ask| match ask {
                    Ask::Comma { lines, .. } => Some(lines),
                    Ask::Colour { .. } => None,
                });
                match asked {
                    Some(lines) => lines.push(cells.line),
                    None => self.asks.push(Ask::Comma {
                        example: text,
                        lines: vec![cells.line],
                    }),
                }
                None
            }
            Err(error) => {
                self.cell_problem(cells.line, field, error.to_string());
                None
            }
        }
    }

    /// A colour.
    pub fn colour(&mut self, cells: &Cells) -> Option<WireColour> {
        match colour::read(cells.get(Field::Colour)?, &self.options.colours) {
            Ok(colour) => Some(colour),
            Err(ColourTrouble::Wrong(sentence)) => {
                self.cell_problem(cells.line, Field::Colour, sentence);
                None
            }
            Err(ColourTrouble::Ask(letters, may_be)) => {
                let asked = self.asks.iter_mut().find_map(|ask| match ask {
                    Ask::Colour {
                        letters: known,
                        lines,
                        ..
                    } if *known == letters => Some(lines),
                    _ => None,
                });
                match asked {
                    Some(lines) => lines.push(cells.line),
                    None => self.asks.push(Ask::Colour {
                        letters,
                        may_be,
                        lines: vec![cells.line],
                    }),
                }
                None
            }
        }
    }

    /// A plain number, a comma as decimal mark.
    pub fn number(&mut self, cells: &Cells, field: Field) -> Option<f64> {
        self.read(cells, field, |text| {
            let number = text.replace(',', ".").parse::<f64>().ok();
            number
                .filter(|n| n.is_finite())
                .ok_or_else(|| format!("expected a number, not {}", short(text)))
        })
    }

    /// A record by its label.
    pub fn labelled<R: Row>(&mut self, cells: &Cells, field: Field) -> Option<Id<R>> {
        let book = self.book;
        self.read(cells, field, |text| {
            book.index()
                .labelled::<R>(text)
                .ok_or_else(|| format!("no {} is called {}; enter it first", R::KIND.title(), short(text)))
        })
    }

    /// A contact family by its label.
    pub fn contact(&mut self, cells: &Cells) -> Option<Id<crimpbook_workbook::model::ContactFamily>> {
        self.labelled(cells, Field::Contact)
    }

    /// What a row says of a wire, beside its label and ends.
    pub fn wire_fields(&mut self, cells: &Cells, wires: bool) -> WireFields {
        let all = [
            Field::Size,
            Field::Colour,
            Field::Length,
            Field::Signal,
            Field::Pair,
            Field::Note,
            Field::Bundle,
            Field::Fuse,
            Field::Voltage,
            Field::Current,
            Field::Peak,
            Field::DropLimit,
            Field::Class,
        ];
        // The last ten are of a cavity in a table of cavities.
        let of_wire = if wires { all.len() } else { 3 };
        let cleared = all.into_iter().take(of_wire).filter(|f| cells.clears(*f));
        let mut fields = WireFields {
            cleared: cleared.collect(),
            size: self.size(cells),
            colour: self.colour(cells),
            length_m: self.figure(cells, Field::Length, Kind::Length),
            ..WireFields::default()
        };
        if wires {
            let text = |field| cells.get(field).map(str::to_owned);
            fields.signal = text(Field::Signal);
            fields.pair = text(Field::Pair);
            fields.note = text(Field::Note);
            fields.bundle = self.labelled(cells, Field::Bundle);
            fields.fuse = self.labelled(cells, Field::Fuse);
            fields.nominal_v = self.figure(cells, Field::Voltage, Kind::Voltage);
            fields.typical_a = self.figure(cells, Field::Current, Kind::Current);
            fields.peak_a = self.figure(cells, Field::Peak, Kind::Current);
            fields.drop_limit_v = self.figure(cells, Field::DropLimit, Kind::Voltage);
            fields.class_c = self.figure(cells, Field::Class, Kind::Temperature);
        }
        fields
    }
}

/// Puts in what a cell says; an empty one changes nothing, unless it is to clear.
pub fn set<T>(cells: &Cells, field: Field, slot: &mut Option<T>, value: Option<T>) {
    if value.is_some() || cells.clears(field) {
        *slot = value;
    }
}

/// What a row says of a wire.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WireFields {
    size: Option<(f64, String, Option<SizeTable>)>,
    colour: Option<WireColour>,
    length_m: Option<f64>,
    signal: Option<String>,
    pair: Option<String>,
    note: Option<String>,
    bundle: Option<Id<Bundle>>,
    fuse: Option<Id<Fuse>>,
    nominal_v: Option<f64>,
    typical_a: Option<f64>,
    peak_a: Option<f64>,
    drop_limit_v: Option<f64>,
    class_c: Option<f64>,
    cleared: BTreeSet<Field>,
}

impl WireFields {
    /// Whether it says nothing; empty cells say nothing, though they may clear.
    pub fn is_empty(&self) -> bool {
        let cleared = self.cleared.clone();
        *self
            == Self {
                cleared,
                ..Self::default()
            }
    }

    /// Whether an empty cell empties something.
    pub fn clears(&self) -> bool {
        !self.cleared.is_empty()
    }

    /// Puts it into a wire; what is not said stays.
    pub fn put(self, wire: &mut Wire) {
        for field in &self.cleared {
            match field {
                Field::Size => {
                    wire.area_mm2 = None;
                    wire.size_written.clear();
                    wire.size_table = None;
                }
                Field::Colour => wire.colour = None,
                Field::Length => wire.length_m = None,
                Field::Signal => wire.signal.clear(),
                Field::Pair => wire.pair.clear(),
                Field::Note => wire.note.clear(),
                Field::Bundle => wire.bundle = None,
                Field::Fuse => wire.fuse = None,
                Field::Voltage => wire.nominal_v = None,
                Field::Current => wire.typical_a = None,
                Field::Peak => wire.peak_a = None,
                Field::DropLimit => wire.drop_limit_v = None,
                Field::Class => wire.insulation_class_c = None,
                _ => {}
            }
        }
        if let Some((area, written, table)) = self.size {
            // The same size again keeps the way in which it was written.
            if !wire.area_mm2.is_some_and(|old| (old - area).abs() < 5e-4) || !written.is_empty() {
                wire.area_mm2 = Some(area);
                wire.size_written = written;
                wire.size_table = table.or(wire.size_table.filter(|t| *t != SizeTable::Awg));
            }
        }
        wire.colour = self.colour.or(wire.colour);
        wire.length_m = self.length_m.or(wire.length_m);
        wire.bundle = self.bundle.or(wire.bundle);
        wire.fuse = self.fuse.or(wire.fuse);
        wire.nominal_v = self.nominal_v.or(wire.nominal_v);
        wire.typical_a = self.typical_a.or(wire.typical_a);
        wire.peak_a = self.peak_a.or(wire.peak_a);
        wire.drop_limit_v = self.drop_limit_v.or(wire.drop_limit_v);
        wire.insulation_class_c = self.class_c.or(wire.insulation_class_c);
        for (slot, text) in [
            (&mut wire.signal, self.signal),
            (&mut wire.pair, self.pair),
            (&mut wire.note, self.note),
        ] {
            if let Some(text) = text {
                *slot = text;
            }
        }
    }
}

/// Puts in a text; an empty cell changes nothing, unless it is to clear.
pub fn set_text(cells: &Cells, field: Field, slot: &mut String) {
    match cells.get(field) {
        Some(text) => text.clone_into(slot),
        None if cells.clears(field) => slot.clear(),
        None => {}
    }
}
