//! Resistances that stand in no record: what is taken for contacts, joints and fuses.

use crimpbook_core::{
    fuse::cold_resistance,
    tables::{contacts::contact, fuses},
};

use crate::model::{ContactFamily, Fuse, FuseKind, Junction, JunctionKind};

/// What a table that cannot be read is replaced by, so that a circuit stays whole, Ω.
const FALLBACK_OHM: f64 = 0.005;
/// Least resistance that is given to the solver, Ω.
pub(super) const LEAST_OHM: f64 = 1e-6;
/// Temperature where nothing is known of a place, °C.
pub(super) const ROOM_C: f64 = 25.0;

fn tabled(family: &str) -> f64 {
    contact(family).map_or(FALLBACK_OHM, |row| row.ohm)
}

/// Resistance of one mated contact with its crimp, Ω: the family's own, else by the wires it takes (common practice).
pub fn contact_ohm(family: Option<&ContactFamily>) -> f64 {
    let Some(family) = family else {
        return tabled("1.5");
    };
    family
        .resistance_ohm
        .filter(|ohm| *ohm > 0.0)
        .unwrap_or_else(|| match family.most_mm2 {
            Some(most) if most <= 0.75 => tabled("0.64"),
            Some(most) if most > 1.5 => tabled("2.8"),
            _ => tabled("1.5"),
        })
}

/// Resistance of one wire's joint to a splice or stud, Ω: its own, else the trade's (common practice).
pub fn joint_ohm(junction: Option<&Junction>) -> f64 {
    let given = junction.and_then(|j| j.joint_ohm).filter(|ohm| *ohm > 0.0);
    given.unwrap_or_else(|| match junction.map(|j| j.kind) {
        Some(JunctionKind::Stud | JunctionKind::GroundStud) => tabled("ring"),
        _ => tabled("splice"),
    })
}

/// The kind as core names it.
pub fn core_kind(kind: FuseKind) -> fuses::FuseKind {
    match kind {
        FuseKind::Blade => fuses::FuseKind::Blade,
        FuseKind::HighCurrentBlade => fuses::FuseKind::HighCurrentBlade,
        FuseKind::Cartridge => fuses::FuseKind::Cartridge,
        FuseKind::BoltIn => fuses::FuseKind::BoltIn,
    }
}

/// Resistance of a fuse, Ω: its own cold one, else the table's.
pub fn fuse_ohm(fuse: &Fuse) -> f64 {
    fuse.cold_ohm
        .filter(|ohm| *ohm > 0.0)
        .unwrap_or_else(|| cold_resistance(core_kind(fuse.kind), fuse.rating_a).ohm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;

    #[test]
    fn a_figure_of_the_record_wins_over_the_table() {
        let mut bench = Bench::new();
        let fuse = bench.fuse("F6", 10.0);
        assert_eq!(fuse_ohm(bench.book().get(fuse).unwrap()), 0.0073);
        bench.edit(fuse, |f: &mut Fuse| f.cold_ohm = Some(0.009));
        assert_eq!(fuse_ohm(bench.book().get(fuse).unwrap()), 0.009);
    }

    #[test]
    fn contacts_go_by_their_family_or_by_the_wires_it_takes() {
        let mut bench = Bench::new();
        let family = bench.contact_family("S", 0.35, 0.5);
        assert_eq!(contact_ohm(bench.book().get(family)), 0.010);
        bench.edit(family, |f: &mut ContactFamily| f.resistance_ohm = Some(0.002));
        assert_eq!(contact_ohm(bench.book().get(family)), 0.002);
        assert_eq!(contact_ohm(None), 0.006);
    }
}
