//! A fuse that cannot break what its circuit can drive through it.

use crimpbook_core::tables::fuses::{FuseKindRow, fuse_kind};

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::words::{number, sources},
};
use crate::{
    analysis::{Snapshot, protect::FuseZone},
    circuit::core_kind,
    model::{About, Fuse, Kind, Part, PartKind},
};

pub(super) static CHECK: Check = Check {
    name: "fuse-breaking",
    what: "each fuse breaks the current of a short right behind it, and its rated volts reach the highest supply",
    inputs: "breaking capacity and rated volts of fuses (those of their kind where not told), sources with their resistance, the highest supply voltage",
    source: "breaking capacity and rated volts of ISO 8820 by kind, where the fuse's own are not told; the current from the solved feed, its copper cold",
    rests_on: &[(Kind::Fuse, &["kind", "rated_v", "breaking_a"])],
    reads: &[],
    find,
};

/// Copper at 105 °C has this many times the resistance it has at 20 °C: the feed is known hot, and a short may find it cold.
const HOT_OVER_COLD: f64 = (234.5 + 105.0) / 254.5;

fn find(see: &Snapshot, out: &mut Out) {
    for zone in &see.protection().zones {
        let Some(fuse) = see.book().get(zone.fuse) else {
            continue;
        };
        let Some(kind) = fuse_kind(core_kind(fuse.kind)) else {
            continue;
        };
        breaking(see, zone, fuse, kind, out);
        volts(see, zone, fuse, kind, out);
    }
}

/// Most that a short right behind a fuse can draw, A: nothing on its way back, and the feed cold.
fn prospective_a(see: &Snapshot, zone: &FuseZone) -> Option<f64> {
    let volts = see.protection().volts.get(&zone.source)?;
    let part: &Part = see.book().get(see.wiring().parts.get(zone.source)?.part)?;
    let (PartKind::Source { ohm: own_ohm, .. } | PartKind::Reference { ohm: own_ohm, .. }) = part.kind else {
        return None;
    };
    Some(volts / (own_ohm + (zone.ohm - own_ohm).max(0.0) / HOT_OVER_COLD))
}

fn breaking(see: &Snapshot, zone: &FuseZone, fuse: &Fuse, kind: &FuseKindRow, out: &mut Out) {
    let Some(fault_a) = prospective_a(see, zone) else {
        return;
    };
    let breaks_a = fuse.breaking_a.unwrap_or(kind.breaking_a);
    if fault_a <= breaks_a {
        return;
    }
    let sentence = format!(
        "{} {} A breaks {} A at most{}; a short right behind it draws {} A.",
        fuse.label,
        number(fuse.rating_a),
        number(breaks_a),
        by_kind(fuse.breaking_a),
        number(fault_a),
    );
    out.find(
        finding(fuse, kind, fuse.breaking_a, sentence)
            .figure(Figure::against("current of a short", fault_a, breaks_a, "A"))
            .mend(Mend::words(
                "a kind of fuse with a higher breaking capacity, or a fuse of such a kind nearer to the source",
            )),
    );
}

fn volts(see: &Snapshot, zone: &FuseZone, fuse: &Fuse, kind: &FuseKindRow, out: &mut Out) {
    let about = see.book().all::<About>().values().next();
    let source_v = see.protection().volts.get(&zone.source).copied();
    let highest_v = about
        .map(|a| a.supply.most_v)
        .into_iter()
        .chain(source_v)
        .fold(0.0, f64::max);
    let rated_v = fuse.rated_v.unwrap_or(kind.rated_v);
    if highest_v <= rated_v {
        return;
    }
    let sentence = format!(
        "{} {} A is rated for {} V{}; the supply gets to {} V.",
        fuse.label,
        number(fuse.rating_a),
        number(rated_v),
        by_kind(fuse.rated_v),
        number(highest_v),
    );
    out.find(
        finding(fuse, kind, fuse.rated_v, sentence)
            .figure(Figure::against("highest supply", highest_v, rated_v, "V"))
            .mend(Mend::words("a fuse that is rated for that voltage")),
    );
}

fn by_kind(own: Option<f64>) -> &'static str {
    if own.is_some() {
        ""
    } else {
        " by its kind (its data sheet may say more)"
    }
}

fn finding(fuse: &Fuse, kind: &FuseKindRow, own: Option<f64>, sentence: String) -> Finding {
    let source = match own {
        Some(_) => "the figure of the fuse in hand".to_owned(),
        None => sources(std::slice::from_ref(&kind.source)),
    };
    Finding::new(CHECK.name, Level::Stop, fuse.id, sentence)
        .matters("Its element melts and the arc goes on: it bursts, or burns in its holder.")
        .source(source)
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn found(change: impl FnOnce(&mut Fuse)) -> Vec<String> {
        let mut bench = Bench::new();
        bench.battery();
        let fuse = bench.fuse_way("F1", 10.0, "BP", "PB-A1");
        bench.edit(fuse, change);
        let report = run_without_mends(&bench.snapshot());
        report.of("fuse-breaking").map(|f| f.sentence.clone()).collect()
    }

    /// 12.6 V behind 11 mΩ and the fuse's 7.3 mΩ, that over 1.334: 12.6 / 16.47 mΩ = 765 A.
    #[test]
    fn a_blade_at_the_battery_breaks_a_thousand_but_not_half_of_it() {
        assert_eq!(found(|_| {}), [""; 0]);
        assert_eq!(
            found(|f| f.breaking_a = Some(500.0)),
            ["F1 10 A breaks 500 A at most; a short right behind it draws 765 A."]
        );
    }

    #[test]
    fn rated_volts_must_reach_the_highest_supply() {
        let low = found(|f| f.rated_v = Some(12.0));
        assert!(
            low[0].starts_with("F1 10 A is rated for 12 V; the supply gets to "),
            "{low:?}"
        );
    }
}
