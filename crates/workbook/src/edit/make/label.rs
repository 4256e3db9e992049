//! The next free label.

use crate::{Book, model::Row};

/// The label after the highest of a kind with this prefix (`W91` after `W90`, `SP1` where there is none).
pub fn next_label<R: Row>(book: &Book, prefix: &str) -> String {
    next_labels::<R>(book, prefix, 1).remove(0)
}

/// Several labels in a row; at least one.
pub fn next_labels<R: Row>(book: &Book, prefix: &str, count: usize) -> Vec<String> {
    let number = |label: &str| {
        let (start, digits) = label.split_at_checked(prefix.len())?;
        let is_number = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
        (start.eq_ignore_ascii_case(prefix) && is_number)
            .then(|| digits.parse::<u64>().ok().map(|n| (n, digits.len())))?
    };
    let numbers = book.all::<R>().values().filter_map(|row| number(row.label()));
    // Labels that are written with leading zeros stay so: W09, W10.
    let (last, width) = numbers.fold((0, 0), |(last, width), (n, digits)| {
        (n.max(last), digits.max(width))
    });
    (1..=count.max(1) as u64)
        .map(|n| format!("{prefix}{:0width$}", last.saturating_add(n)))
        .collect()
}
