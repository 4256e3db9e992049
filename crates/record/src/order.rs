//! The order in which people look for things.

use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::{Cavity, Row},
};

/// Rows by label, `W2` before `W10`.
pub fn by_label<R: Row>(book: &Book) -> Vec<&R> {
    let mut rows: Vec<&R> = book.all::<R>().values().collect();
    rows.order_by(|row| natural(row.label()));
    rows
}

/// Cavities by connector and number.
pub fn cavities(book: &Book) -> Vec<&Cavity> {
    let mut rows: Vec<&Cavity> = book.all::<Cavity>().values().collect();
    rows.order_by(|c| (natural(&book.label_of(c.connector)), natural(&c.number)));
    rows
}
