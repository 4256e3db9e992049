//! A seal that does not grip its wire.

use crimpbook_core::tables::conductors::{iso6722, row_of};

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{contacts::families, words::number},
};
use crate::{
    analysis::Snapshot,
    circuit::size_of,
    model::{Cavity, Connector, Id, Kind, Wire},
    question::{Ask, fields},
};

pub(super) static CHECK: Check = Check {
    name: "seal-size",
    what: "the insulation of each wire in a sealed connector lies within what the seal of its contact grips",
    inputs: "sizes of wires, the range of each contact family's seal, whether connectors are sealed",
    source: "outside diameters of ISO 6722 thin wall (memory) and the least met in the trade (common practice, no source); measure the wire in hand",
    rests_on: &[
        (Kind::Wire, &["area_mm2", "size_written", "from", "to"]),
        (Kind::ContactFamily, &["seal_least_mm", "seal_most_mm"]),
    ],
    reads: &[
        (Kind::Connector, &["sealed"]),
        (Kind::Wire, &["area_mm2", "size_written"]),
        (Kind::ContactFamily, &["seal_least_mm", "seal_most_mm"]),
    ],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for wire in book.all::<Wire>().values() {
        let Some(size) = size_of(wire) else { continue };
        // Only sizes of the table: what is known of others is too vague for a seal.
        let Some(row) = row_of(iso6722(), size.area_mm2()) else {
            continue;
        };
        let (Some(least), Some(most)) = (
            row.outside_diameter_least_mm.or(row.outside_diameter_most_mm),
            row.outside_diameter_most_mm,
        ) else {
            continue;
        };
        for (cavity, family) in families(book, wire).filter(|(cavity, _)| sealed(see, *cavity)) {
            let (Some(grips), Some(takes)) = (family.seal_least_mm, family.seal_most_mm) else {
                out.cannot(
                    CHECK.name,
                    family.id,
                    "the insulation its seal grips, from and to",
                    [&fields::SEAL_LEAST_MM, &fields::SEAL_MOST_MM].map(|f| Ask::of(family.id, f)),
                );
                continue;
            };
            let (what, figure, limit) = if most < grips {
                ("thin", most, grips)
            } else if least > takes {
                ("thick", least, takes)
            } else {
                continue;
            };
            let sentence = format!(
                "{} at {}: {size} insulation ({} to {} mm) is too {what} for the seal of {}, {} to {} mm.",
                wire.label,
                book.cavity_name(cavity),
                number(least),
                number(most),
                family.label,
                number(grips),
                number(takes),
            );
            out.find(
                Finding::new(CHECK.name, Level::Warning, wire.id, sentence)
                    .with([cavity])
                    .figure(Figure::against("outside diameter", figure, limit, "mm"))
                    .matters("A seal that does not grip lets water creep along the wire into the contact.")
                    .mend(Mend::words("another seal, or another size"))
                    .source(CHECK.source),
            );
        }
    }
}

fn sealed(see: &Snapshot, cavity: Id<Cavity>) -> bool {
    let connector = see.book().get(cavity).map(|c| c.connector);
    let connector = connector.and_then(|id| see.book().get(id));
    connector.is_some_and(|c: &Connector| c.sealed == Some(true))
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn found(sealed: bool, seal: Option<(f64, f64)>) -> (usize, usize) {
        let mut bench = Bench::new();
        let family = bench.contact_family("M", 0.35, 2.5);
        bench.edit(family, |f: &mut ContactFamily| {
            (f.seal_least_mm, f.seal_most_mm) = (seal.map(|s| s.0), seal.map(|s| s.1));
        });
        bench.wire("W1", "MC-A1", "SP1", 0.5, 1.0);
        let (cavity, connector) = (bench.cavity("MC-A", "1"), bench.connector("MC-A"));
        bench.edit(cavity, |c: &mut Cavity| c.contact = Some(family));
        bench.edit(connector, |c: &mut Connector| c.sealed = Some(sealed));
        let report = run_without_mends(&bench.snapshot());
        let asked = report
            .cannot_check
            .iter()
            .filter(|c| c.checks.contains(&"seal-size"));
        (report.of("seal-size").count(), asked.count())
    }

    #[test]
    fn the_insulation_has_to_lie_within_the_seals_range() {
        assert_eq!(found(true, Some((1.1, 1.7))), (0, 0));
        assert_eq!(found(true, Some((1.9, 2.4))), (1, 0));
        assert_eq!(found(true, Some((0.8, 1.2))), (1, 0));
        assert_eq!(found(false, Some((1.9, 2.4))), (0, 0));
        assert_eq!(found(true, None), (0, 1));
    }
}
