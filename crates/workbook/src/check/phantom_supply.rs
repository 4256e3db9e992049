//! An input that is driven while its unit has no supply.

use super::{
    Check, Finding, Level, Mend, Out,
    common::words::{cavity as named, list, number},
};
use crate::{
    analysis::{Snapshot, StateResult},
    model::{Cavity, Decision, Id, Kind, SignalKind, Unit},
};

pub(super) static CHECK: Check = Check {
    name: "phantom-supply",
    what: "no input is driven in an operating state in which its unit has no supply",
    inputs: "kinds of cavities, operating states",
    source: "common practice, no source: current through an input's protection keeps a unit half awake",
    rests_on: &[(Kind::Cavity, &["kind", "decision"])],
    reads: &[],
    find,
};

/// A supply below this is off, an input above it is driven, V (our own).
const ALIVE_V: f64 = 3.0;

fn find(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    for unit in book.all::<Unit>().values() {
        let connectors = book.index().connectors_of.of(&unit.id);
        let wired: Vec<&Cavity> = connectors
            .iter()
            .flat_map(|c| book.cavities_of(*c))
            .filter(|c| c.decision == Decision::Wired)
            .collect();
        let of_kind = |kinds: fn(SignalKind) -> bool| {
            wired
                .iter()
                .copied()
                .filter(|c| c.kind.is_some_and(kinds))
                .collect::<Vec<_>>()
        };
        let (supplies, inputs) = (of_kind(is_supply), of_kind(is_input));
        if !supplies.is_empty() && !inputs.is_empty() {
            judge(see, unit, &supplies, &inputs, out);
        }
    }
}

fn judge(see: &Snapshot, unit: &Unit, supplies: &[&Cavity], inputs: &[&Cavity], out: &mut Out) {
    let volts = |of: &StateResult, id: Id<Cavity>| see.cavity_volts(of, id).own_ground_v.unwrap_or(0.0);
    let (mut driven, mut states, mut all_dead) = (Vec::new(), Vec::new(), false);
    let (mut most_v, mut dead_at) = (0.0_f64, None);
    for of in see.states() {
        let dead: Vec<&&Cavity> = supplies.iter().filter(|c| volts(of, c.id) < ALIVE_V).collect();
        let Some(first) = dead.first() else { continue };
        let mut here = false;
        for input in inputs.iter().filter(|c| volts(of, c.id) > ALIVE_V) {
            let node = see.wiring().nodes.unit_side(input.id);
            if !node.is_some_and(|node| see.fed(of).at(node)) {
                continue;
            }
            if !driven.contains(&input.id) {
                driven.push(input.id);
            }
            most_v = most_v.max(volts(of, input.id));
            here = true;
        }
        if here {
            states.push(see.book().label_of(of.state));
            all_dead |= dead.len() == supplies.len();
            dead_at.get_or_insert(first.id);
        }
    }
    let (Some(first), Some(dead)) = (driven.first(), dead_at.and_then(|id| see.book().get(id))) else {
        return;
    };
    let names: Vec<String> = driven.iter().map(|id| see.book().cavity_name(*id)).collect();
    let sentence = format!(
        "{} of {} {} {} V while {} is off, in {}.",
        list(&names),
        unit.label,
        if names.len() == 1 { "gets" } else { "get" },
        number(most_v),
        named(see.book(), dead),
        list(&states),
    );
    // With another of its supplies alive the manual usually means it so.
    let level = if all_dead { Level::Warning } else { Level::Note };
    out.find(
        Finding::new(CHECK.name, level, *first, sentence)
            .with(driven.iter().skip(1).copied())
            .matters("The current goes through the input's protection into the unit: it wakes half, or draws the battery flat.")
            .mend(Mend::words("feed the switch from the rail that feeds the unit, or ask the manual whether the input bears it"))
            .source(CHECK.source),
    );
}

fn is_supply(kind: SignalKind) -> bool {
    matches!(kind, SignalKind::LogicSupply | SignalKind::SupplyIn)
}

fn is_input(kind: SignalKind) -> bool {
    matches!(
        kind,
        SignalKind::DigitalInHigh
            | SignalKind::DigitalInLow
            | SignalKind::DigitalInBare
            | SignalKind::PwmIn
            | SignalKind::AnalogueIn
            | SignalKind::EncoderIn
    )
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    /// MC on the key alone, or with a permanent supply too; an input fed from the battery for ever or from the key.
    fn unit(keep_alive: bool, from_battery: bool) -> Bench {
        let mut bench = Bench::new();
        let state = bench.state("OFF");
        bench.battery();
        let contact = Bench::contact(ContactForm::NormallyOpen, Driver::StateOnly);
        let key = bench.part("key", contact, &["BP", "DI-A3"]);
        bench.set(state, key, PartPosition::Off);
        bench.wire("W24", "MC-A4", "BN", 1.5, 1.0);
        bench.wire("W6", "DI-A3", "MC-A2", 0.5, 1.0);
        bench.wire(
            "W45",
            if from_battery { "BP" } else { "DI-A3" },
            "MC-A17",
            0.5,
            1.0,
        );
        bench.resistor("pull", 10_000.0, &["MC-A17", "MC-A4"]);
        bench.resistor("logic", 100.0, &["MC-A2", "MC-A4"]);
        if keep_alive {
            bench.wire("W4", "BP", "MC-A1", 0.5, 1.0);
        }
        for (number, kind) in [
            ("1", SignalKind::LogicSupply),
            ("2", SignalKind::LogicSupply),
            ("4", SignalKind::Ground),
            ("17", SignalKind::DigitalInHigh),
        ] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("phantom-supply")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn an_input_fed_for_ever_into_a_unit_that_is_off_is_a_warning() {
        let found = found(&unit(false, true));
        assert_eq!(
            found,
            [(
                Level::Warning,
                "MC-A17 of MC gets 12.6 V while MC-A2 is off, in OFF.".to_owned()
            )]
        );
    }

    #[test]
    fn with_another_supply_alive_it_is_a_note_and_from_the_same_rail_nothing() {
        assert_eq!(found(&unit(true, true))[0].0, Level::Note);
        assert_eq!(found(&unit(false, false)), []);
    }
}
