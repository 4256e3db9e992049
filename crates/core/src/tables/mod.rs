//! Published tables as data, embedded from `/assets`: one file per table, a source and how it is known in each row.
//!
//! To add a table: put the CSV in `/assets`, copy the smallest neighbour here, and name it in `ALL` of the test below.

pub mod adiabatic;
pub mod bundle;
pub mod colour_letters;
pub mod colours;
pub mod compat;
pub mod conductors;
pub mod contacts;
mod embedded;
pub mod fuses;
pub mod gauges;
pub mod insulation;
pub mod pull_out;
pub mod sizes;
mod source;
pub mod terminals;

pub use embedded::TableError;
pub use source::{HowKnown, Source};

#[cfg(test)]
mod tests {
    /// An embedded table that cannot be read answers with no rows at run time; so each is read here.
    #[test]
    fn every_embedded_table_can_be_read() {
        let tables = [
            super::adiabatic::faults(),
            super::bundle::faults(),
            super::colour_letters::faults(),
            super::colours::faults(),
            super::compat::faults(),
            super::conductors::faults(),
            super::contacts::faults(),
            super::fuses::faults(),
            super::gauges::faults(),
            super::insulation::faults(),
            super::pull_out::faults(),
            super::sizes::faults(),
            super::terminals::faults(),
        ];
        let faults: Vec<String> = tables.into_iter().flatten().map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{faults:?}");
    }
}
