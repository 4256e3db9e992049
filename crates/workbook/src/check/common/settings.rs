//! Settings that are linked to a cavity, read as figures.

use crate::{
    Book,
    model::{Cavity, Id, Setting, Unit},
};

/// The settings linked to a cavity.
pub fn linked(book: &Book, cavity: Id<Cavity>) -> impl Iterator<Item = &Setting> {
    book.all::<Setting>()
        .values()
        .filter(move |s| s.cavities.contains(&cavity))
}

/// The settings of a unit.
pub fn of_unit(book: &Book, unit: Id<Unit>) -> impl Iterator<Item = &Setting> {
    book.all::<Setting>().values().filter(move |s| s.unit == unit)
}

/// Its value as a number; a comma is a decimal mark, as the unit may show one.
pub fn figure(setting: &Setting) -> Option<f64> {
    setting
        .value
        .trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
}

/// Whether its name has all of these words, whatever their case.
pub fn named(setting: &Setting, words: &[&str]) -> bool {
    let label = setting.label.to_lowercase();
    words.iter().all(|word| label.contains(word))
}

/// Whether it is measured in this unit.
pub fn in_unit(setting: &Setting, units: &[&str]) -> bool {
    let measure = setting.measure.trim();
    units.iter().any(|unit| measure.eq_ignore_ascii_case(unit))
}

/// Volts of a cavity's setting whose name has all of these words.
pub fn volts(book: &Book, cavity: Id<Cavity>, words: &[&str]) -> Option<f64> {
    linked(book, cavity)
        .filter(|s| in_unit(s, &["V"]) && named(s, words))
        .find_map(figure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;

    #[test]
    fn a_setting_is_found_by_cavity_words_and_unit() {
        let mut bench = Bench::new();
        bench.setting("MC", "PED_LOW_FAULT", "0,30", "V", &["MC-A10"]);
        bench.setting("MC", "PED_LOW_FAULT_TIME", "100", "ms", &["MC-A10"]);
        let cavity = bench.cavity("MC-A", "10");
        let book = bench.book();
        assert_eq!(volts(&book, cavity, &["low", "fault"]), Some(0.3));
        assert_eq!(volts(&book, cavity, &["high", "fault"]), None);
        assert_eq!(linked(&book, cavity).count(), 2);
    }
}
