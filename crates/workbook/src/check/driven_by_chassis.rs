//! What a low-side driver's load does when its wire touches chassis.

use super::{Check, Finding, Level, Mend, Out, common::words::list};
use crate::book::InOrder;
use crate::{
    analysis::Snapshot,
    model::{Cavity, Id, Kind, OutputSide, Part, PartKind, SignalKind, Terminal, Unit, Wire},
};

pub(super) static CHECK: Check = Check {
    name: "driven-by-chassis",
    what: "it is said of every coil behind a low-side driver that it acts when its wire touches chassis",
    inputs: "outputs with their side, coils and loads with their ends, wires",
    source: "the circuit itself: such a driver switches the load's way to ground, and so does chassis",
    rests_on: &[(Kind::Part, &["kind", "ends"]), (Kind::Wire, &["from", "to"])],
    reads: &[],
    find,
};

/// A wire that switches a load on by itself.
struct Acts {
    wires: Vec<Id<Wire>>,
    load: Id<Part>,
    coil: bool,
}

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut units: Vec<(Id<Unit>, Vec<Acts>)> = Vec::new();
    for part in book.all::<Part>().values() {
        let PartKind::Output {
            side: OutputSide::LowSide | OutputSide::OpenCollector,
            ..
        } = part.kind
        else {
            continue;
        };
        let acts = part.ends.first().map(|pin| acts(see, pin)).unwrap_or_default();
        match units.iter_mut().find(|(unit, _)| *unit == part.unit) {
            Some((_, all)) => all.extend(acts),
            None => units.push((part.unit, acts)),
        }
    }
    unseen(see, out);
    for (unit, acts) in units {
        // A lamp that lights is no danger; it is told beside a coil.
        if acts.iter().any(|a| a.coil) {
            out.find(finding(see, unit, &acts));
        }
    }
}

/// Coils on a cavity that is said to pull to ground, without the output behind it: what its wire does is not known.
fn unseen(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for cavity in book.all::<Cavity>().values() {
        let pin = Terminal::Cavity(cavity.id);
        let pulls = matches!(
            cavity.kind,
            Some(SignalKind::LowSideOut | SignalKind::OpenCollector)
        );
        let inside = |part: &Part| matches!(part.kind, PartKind::Output { .. }) && part.ends.contains(&pin);
        if !pulls || !acts(see, &pin).iter().any(|a| a.coil) || book.all::<Part>().values().any(inside) {
            continue;
        }
        if let Some(unit) = see.unit_of(cavity.id) {
            let missing = format!("the output inside it at {}", book.cavity_name(cavity.id));
            out.cannot(CHECK.name, unit, missing, []);
        }
    }
}

/// Loads that hang on the net of a driver's pin with wires between.
fn acts(see: &Snapshot, pin: &Terminal) -> Vec<Acts> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let Some(id) = nets.at(pin) else {
        return Vec::new();
    };
    let Some(net) = nets.get(id).filter(|net| !net.wires.is_empty()) else {
        return Vec::new();
    };
    let mut wires = net.wires.clone();
    wires.order_by(|id| book.label_of(*id));
    let mut acts: Vec<Acts> = Vec::new();
    for (id, _) in &net.parts {
        let (load, coil) = match book.get(*id).map(|p: &Part| &p.kind) {
            Some(PartKind::Coil { .. }) => (*id, true),
            Some(PartKind::Lamp { .. } | PartKind::Load { .. }) => (*id, false),
            _ => continue,
        };
        acts.push(Acts {
            wires: wires.clone(),
            load,
            coil,
        });
    }
    acts
}

fn finding(see: &Snapshot, unit: Id<Unit>, acts: &[Acts]) -> Finding {
    let book = see.book();
    let labels = |wires: &[Id<Wire>]| list(&wires.iter().map(|id| book.label_of(*id)).collect::<Vec<_>>());
    let mut told: Vec<String> = acts
        .iter()
        .map(|a| {
            let does = if a.coil { "pulls in" } else { "comes on" };
            format!("{}: {} {does}", labels(&a.wires), book.label_of(a.load))
        })
        .collect();
    told.sort();
    let sentence = format!(
        "{} switches these to ground, and so does chassis when their wire touches it: {}. No fuse opens, since the load limits \
         the current: the wire is safe, the function is not.",
        book.label_of(unit),
        told.join("; "),
    );
    Finding::new(CHECK.name, Level::Note, unit, sentence)
        .with(acts.iter().flat_map(|a| a.wires.iter().copied()))
        .matters("Something acts without its unit: a contactor closes before precharge, a relay stays on.")
        .mend(Mend::words(
            "keep these wires from edges and give them a sleeve; where that must not happen, cut the feed of the load as well",
        ))
        .source(CHECK.source)
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    #[test]
    fn without_the_output_behind_the_cavity_it_cannot_be_checked() {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        bench.part("MAIN+ coil", Bench::coil(80.0, 9.0), &["BP", "CB-A2"]);
        bench.wire("W19", "CB-A2", "MC-A22", 1.0, 2.3);
        let cavity = bench.cavity("MC-A", "22");
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::LowSideOut));
        let missing = ["the output inside it at MC-A22"];
        assert_eq!(bench.missing_for("driven-by-chassis"), missing);
        bench.part("MC OUT1", Bench::low_side(0.05), &["MC-A22", "BN"]);
        assert!(
            !bench
                .missing_for("driven-by-chassis")
                .iter()
                .any(|m| missing.contains(&m.as_str()))
        );
    }

    fn found(load: PartKind) -> Vec<(Level, String)> {
        let mut bench = Bench::new();
        bench.state("KEY");
        bench.battery();
        bench.part("MAIN+ coil", load, &["BP", "CB-A2"]);
        bench.wire("W19", "CB-A2", "MC-A22", 1.0, 2.3);
        bench.part("MC OUT1", Bench::low_side(0.05), &["MC-A22", "BN"]);
        let unit = bench.unit("MC");
        let part = bench.named::<Part>("MC OUT1");
        bench.edit(part, |p: &mut Part| p.unit = unit);
        let report = run_without_mends(&bench.snapshot());
        let found = report.of("driven-by-chassis");
        found.map(|f| (f.level, f.sentence.clone())).collect()
    }

    #[test]
    fn a_coil_behind_a_low_side_driver_is_told_a_lamp_alone_is_not() {
        let told = found(Bench::coil(80.0, 9.0));
        assert_eq!(told.len(), 1);
        assert_eq!(told[0].0, Level::Note);
        assert!(
            told[0].1.starts_with(
                "MC switches these to ground, and so does chassis when their wire touches it: W19: MAIN+ coil pulls in."
            ),
            "{told:?}"
        );
        let lamp = PartKind::Lamp {
            hot_ohm: 120.0,
            cold_ohm: None,
            rated_v: None,
        };
        assert_eq!(found(lamp), []);
    }
}
