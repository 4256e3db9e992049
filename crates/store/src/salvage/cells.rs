//! Cells of pages into rows of values.

use std::{borrow::Cow, cell::Cell as Left};

use rusqlite::types::Value;

use super::pages::{Page, Pages, number};

/// The values of a row.
pub(super) type Row = Vec<Value>;

/// A cell of a page.
#[derive(Default)]
pub(super) struct Cell {
    /// The page to its left, where its own is no leaf.
    pub left: u32,
    /// Its number, in a table that has one.
    pub rowid: i64,
    /// Its values; none where there are none or they cannot be read.
    pub row: Option<Row>,
}

/// Reads cells; damaged ones must not make it go round for ever.
pub(super) struct Reader<'p> {
    pages: &'p Pages,
    /// How many bytes may yet be fetched from pages that continue a cell.
    left: Left<usize>,
}

impl<'p> Reader<'p> {
    pub(super) fn new(pages: &'p Pages) -> Self {
        // In a sound file each byte is fetched once.
        let left = Left::new(pages.len().saturating_mul(8));
        Self { pages, left }
    }

    /// The cell that begins at a place of a page; none: not even its head can be read.
    pub(super) fn cell(&self, page: &Page<'_>, at: usize) -> Option<Cell> {
        let mut rest = page.bytes.get(at..)?;
        let mut cell = Cell::default();
        if !page.leaf {
            cell.left = number(rest, 4)? as u32;
            rest = rest.get(4..)?;
        }
        if !page.leaf && !page.index {
            cell.rowid = varint(&mut rest)? as i64;
            return Some(cell);
        }
        let length = varint(&mut rest);
        if !page.index {
            cell.rowid = varint(&mut rest)? as i64;
        }
        cell.row = length
            .and_then(|length| self.payload(page.index, rest, usize::try_from(length).ok()?))
            .and_then(|payload| row(&payload));
        Some(cell)
    }

    /// What a cell holds: `length` bytes of which the first lie in the page, the others in a chain of pages.
    fn payload<'b>(&self, index: bool, bytes: &'b [u8], length: usize) -> Option<Cow<'b, [u8]>> {
        let usable = self.pages.size;
        let most = if index {
            (usable - 12) * 64 / 255 - 23
        } else {
            usable - 35
        };
        if length <= most {
            return bytes.get(..length).map(Cow::Borrowed);
        }
        if length > self.pages.len() {
            return None;
        }
        let least = (usable - 12) * 32 / 255 - 23;
        let here = least + (length - least) % (usable - 4);
        let here = if here <= most { here } else { least };
        let mut whole = bytes.get(..here)?.to_vec();
        let mut next = number(bytes.get(here..)?, 4)? as u32;
        while whole.len() < length {
            let page = self.pages.bytes(next);
            next = number(page, 4)? as u32;
            let part = page.get(4..)?;
            let part = part.get(..part.len().min(length - whole.len()))?;
            // A page cut short continues nothing.
            (part.len() == usable - 4 || whole.len() + part.len() == length).then_some(())?;
            self.left.set(self.left.get().checked_sub(part.len())?);
            whole.extend_from_slice(part);
        }
        Some(Cow::Owned(whole))
    }
}

/// Takes a number of one to nine bytes off the front.
fn varint(bytes: &mut &[u8]) -> Option<u64> {
    let mut number = 0;
    for at in 0..9 {
        let (byte, rest) = bytes.split_first()?;
        *bytes = rest;
        if at == 8 {
            return Some(number << 8 | u64::from(*byte));
        }
        number = number << 7 | u64::from(*byte & 0x7f);
        if *byte < 0x80 {
            break;
        }
    }
    Some(number)
}

/// The values of a record, which must fill it to the last byte. A workbook holds no blobs.
fn row(payload: &[u8]) -> Option<Row> {
    let mut rest = payload;
    let head = usize::try_from(varint(&mut rest)?).ok()?;
    let mut types = payload.get(payload.len() - rest.len()..head)?;
    let mut body = payload.get(head..)?;
    let mut row = Row::new();
    while !types.is_empty() {
        let serial = varint(&mut types)?;
        let width = match serial {
            0 | 8 | 9 => 0,
            1..=4 => serial as usize,
            5 => 6,
            6 | 7 => 8,
            _ if serial >= 13 && serial % 2 == 1 => usize::try_from((serial - 13) / 2).ok()?,
            _ => return None,
        };
        let (value, after) = body.split_at_checked(width)?;
        body = after;
        row.push(match serial {
            0 => Value::Null,
            1..=6 => {
                // The sign is in the highest bit of the bytes that are there.
                let unused = 64 - 8 * width as u32;
                Value::Integer((number(value, width)? << unused) as i64 >> unused)
            }
            7 => Value::Real(f64::from_bits(number(value, 8)?)),
            8 | 9 => Value::Integer(serial as i64 - 8),
            // Spoilt bytes show as U+FFFD.
            _ => Value::Text(String::from_utf8_lossy(value).into_owned()),
        });
    }
    body.is_empty().then_some(row)
}
