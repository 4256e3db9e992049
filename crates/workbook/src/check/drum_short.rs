//! Wires that no drum on the shelf is long enough for.

use super::{
    Check, Figure, Finding, Level, Mend, Out,
    common::{
        facts::{Fact, ask},
        words::{list, number},
    },
};
use crate::{
    analysis::Snapshot,
    model::{Drum, Kind, Wire},
    plan,
};

pub(super) static CHECK: Check = Check {
    name: "drum-short",
    what: "where a drum of its size and colour is kept, every wire can be cut whole from one",
    inputs: "drums of wire, sizes, colours and lengths of wires; without any drum entered there is nothing to hold them against",
    source: "counted from the plan, without waste",
    rests_on: &[(Kind::Wire, &["area_mm2", "size_written", "colour", "length_m"])],
    reads: &[
        (Kind::Drum, &[]),
        (Kind::Wire, &["colour", "area_mm2", "size_written", "length_m"]),
    ],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    if book.all::<Drum>().is_empty() {
        return;
    }
    let all = 0..see.wiring().wires.len();
    ask(see, CHECK.name, all, &[Fact::Size, Fact::Length], out);
    let (groups, _) = plan::from_drums(book, 0.0);
    for (group, parts) in groups {
        // What lies on no drum at all stands in the parts list.
        if plan::in_stock_m(book, &group).is_none() {
            continue;
        }
        let short = parts.into_iter().find(|part| part.drum.is_none());
        let wires: Vec<&Wire> = short
            .iter()
            .flat_map(|p| &p.wires)
            .filter_map(|id| book.get(*id))
            .collect();
        let known: Vec<&&Wire> = wires
            .iter()
            .filter(|w| w.length_m.is_some() && w.colour.is_some())
            .collect();
        let (Some(first), Some(area)) = (known.first(), group.area_mm2) else {
            continue;
        };
        let metres: f64 = known.iter().filter_map(|w| w.length_m).sum();
        let mut labels: Vec<String> = known.iter().take(4).map(|w| w.label.clone()).collect();
        if known.len() > 4 {
            labels.push(format!("{} more", known.len() - 4));
        }
        let colour = group.colour.map_or_else(String::new, |c| format!(" {c}"));
        let sentence = format!(
            "{}: no drum of {} mm²{colour} is left for {}: {} m more.",
            first.label,
            number(area),
            list(&labels),
            number(metres)
        );
        out.find(
            Finding::new(CHECK.name, Level::Note, first.id, sentence)
                .with(known.iter().skip(1).map(|w| w.id))
                .figure(Figure::plain("to be bought", metres, "m"))
                .matters("The work stops in the middle of a plug, or a wire is pieced together.")
                .mend(Mend::words("buy it, or another colour that is on the shelf"))
                .source(CHECK.source),
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::run_without_mends;
    use crate::{model::*, testing::Bench};

    fn bench(drum_m: Option<f64>) -> Bench {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "XA-A1", 0.5, 3.0);
        bench.edit(wire, |w: &mut Wire| w.colour = "RD".parse().ok());
        if let Some(metres) = drum_m {
            bench.drum("D1", 0.5, "RD", metres);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<String> {
        let report = run_without_mends(&bench.snapshot());
        report.of("drum-short").map(|f| f.sentence.clone()).collect()
    }

    #[test]
    fn three_metres_do_not_come_from_a_rest_of_two() {
        assert_eq!(
            found(&bench(Some(2.0))),
            ["W1: no drum of 0.5 mm² RD is left for W1: 3 m more."]
        );
        assert_eq!(found(&bench(Some(5.0))), [""; 0]);
        assert_eq!(found(&bench(None)), [""; 0], "no shelf is kept");
    }

    #[test]
    fn a_wire_without_its_length_cannot_be_counted() {
        let mut bench = bench(Some(5.0));
        let wire = bench.named::<Wire>("W1");
        bench.edit(wire, |w: &mut Wire| w.length_m = None);
        assert_eq!(bench.missing_for("drum-short"), ["the length of W1"]);
    }
}
