//! Settings that are linked to a cavity, read as figures.

use crate::{
    Book,
    model::{Cavity, Id, Key, Setting, SettingRole, Unit},
};

/// The settings linked to a cavity.
pub fn linked(book: &Book, cavity: Id<Cavity>) -> impl Iterator<Item = &Setting> {
    naming(book, Key::of(cavity)).filter(move |s| s.cavities.contains(&cavity))
}

/// The settings of a unit.
pub fn of_unit(book: &Book, unit: Id<Unit>) -> impl Iterator<Item = &Setting> {
    naming(book, Key::of(unit)).filter(move |s| s.unit == unit)
}

/// The settings that name a record, in order of ids.
fn naming(book: &Book, key: Key) -> impl Iterator<Item = &Setting> {
    let users = book.index().users_of(key).iter();
    users.filter_map(|user| book.get(user.as_id::<Setting>()?))
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

/// What names and units of the value mean where nobody has said what a setting sets: units, words in the name, role.
/// The first that fits counts.
const BY_NAME: &[(&[&str], &[&str], SettingRole)] = &[
    (&["V"], &["low", "fault"], SettingRole::PedalLowFault),
    (&["V"], &["high", "fault"], SettingRole::PedalHighFault),
    (&["V"], &["rest"], SettingRole::PedalRest),
    (&["V"], &["full"], SettingRole::PedalFull),
    (&["V"], &["pack"], SettingRole::PackVoltage),
    (&["%"], &["agree"], SettingRole::PedalDisagree),
    (&["%", "V"], &["coil", "hold"], SettingRole::CoilHold),
    (&[""], &["sensor", "type"], SettingRole::SensorType),
    (
        &["kbit/s", "kbps", "kbaud", "Mbit/s", "Mbps"],
        &[],
        SettingRole::CanRate,
    ),
    (&["Ah"], &[], SettingRole::BatteryCapacity),
];

/// What a setting sets: as somebody has said, else as its name and unit make likely.
pub fn role(setting: &Setting) -> Option<SettingRole> {
    let by_name = || {
        BY_NAME
            .iter()
            .find(|(units, words, _)| in_unit(setting, units) && named(setting, words))
    };
    setting.role.or_else(|| Some(by_name()?.2))
}

/// The first setting of a cavity in a role, with its figure.
pub fn in_role(book: &Book, cavity: Id<Cavity>, wanted: SettingRole) -> Option<(&Setting, f64)> {
    linked(book, cavity)
        .filter(|s| role(s) == Some(wanted))
        .find_map(|s| Some((s, s.figure()?)))
}

/// Volts of a cavity's setting in a role; other units say nothing.
pub fn volts(book: &Book, cavity: Id<Cavity>, wanted: SettingRole) -> Option<f64> {
    let (setting, value) = in_role(book, cavity, wanted)?;
    in_unit(setting, &["V"]).then_some(value)
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
        assert_eq!(volts(&book, cavity, SettingRole::PedalLowFault), Some(0.3));
        assert_eq!(volts(&book, cavity, SettingRole::PedalHighFault), None);
        assert_eq!(linked(&book, cavity).count(), 2);
    }

    #[test]
    fn what_somebody_has_said_counts_more_than_the_name() {
        let mut bench = Bench::new();
        let named = bench.setting("MC", "PED_REST", "0.75", "V", &["MC-A10"]);
        let odd = bench.setting("MC", "P047", "0.80", "V", &["MC-A10"]);
        let cavity = bench.cavity("MC-A", "10");
        let rest = |bench: &Bench| volts(&bench.book(), cavity, SettingRole::PedalRest);
        assert_eq!(rest(&bench), Some(0.75));
        bench.edit(odd, |s: &mut Setting| s.role = Some(SettingRole::PedalRest));
        bench.edit(named, |s: &mut Setting| s.role = Some(SettingRole::Other));
        assert_eq!(rest(&bench), Some(0.8));
    }
}
