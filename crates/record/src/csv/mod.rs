//! Every table of a workbook as CSV for people: labels instead of ids, words instead of codes.
//!
//! RFC 4180, UTF-8 without a mark, lines end in CR LF, one line of heads. See [`Cell`] for what happens to texts that a
//! spreadsheet would take for a formula. `dictionary.csv` says what every column is.

mod build;
mod cell;
mod circuit;
mod connectors;
pub(crate) mod faults;
mod findings;
mod log;
mod settings;
mod sheet;
mod states;
mod stock;
mod vehicle;

pub use cell::Cell;
pub(crate) use cell::begins_formula;
pub use sheet::{Column, Sheet};

use crimpbook_workbook::{analysis::Snapshot, check::Report, log::EntryHead};

/// Every table with its file name, and the dictionary of their columns.
pub fn tables(see: &Snapshot, heads: &[EntryHead], report: &Report) -> Vec<(String, Vec<u8>)> {
    let sheets = sheets(see, heads, report);
    let mut files: Vec<(String, Vec<u8>)> = sheets.iter().map(|s| (s.file(), s.bytes())).collect();
    let dictionary = sheet::dictionary(&sheets);
    files.push((dictionary.file(), dictionary.bytes()));
    files
}

/// Every table.
pub fn sheets(see: &Snapshot, heads: &[EntryHead], report: &Report) -> Vec<Sheet> {
    let book = see.book();
    vec![
        vehicle::about(book),
        vehicle::zones(book),
        vehicle::bundles(book),
        vehicle::units(book),
        connectors::connectors(book),
        connectors::contact_families(book),
        connectors::cavities(book),
        connectors::candidates(book),
        circuit::wires(book),
        circuit::junctions(book),
        circuit::chassis_paths(book),
        circuit::fuses(see),
        circuit::fuse_states(see),
        circuit::parts(book),
        states::switches(book),
        states::states(book),
        states::volts(see),
        states::expressions(book),
        states::rules(book),
        settings::settings(book),
        settings::trials(book),
        settings::trial_settings(book),
        settings::first_run(book),
        build::steps(book),
        build::tests(see),
        build::readings(book),
        build::temporary_links(book),
        build::acceptances(book),
        faults::fault_findings(book),
        settings::files(book),
        stock::drums(book),
        stock::stock_lines(book),
        stock::colour_uses(book),
        stock::terminal_numbers(book),
        findings::findings(book, report),
        findings::cannot_check(book, report),
        log::log(heads),
    ]
}

#[cfg(test)]
mod tests;
