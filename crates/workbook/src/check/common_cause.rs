//! Two signals that are to watch each other, and hang on one wire.

use super::{
    Check, Finding, Level, Mend, Out,
    common::{
        track::{Track, tracks},
        words::list,
    },
};
use crate::{
    analysis::Snapshot,
    model::{Cavity, Connector, Driver, Fuse, Id, Kind, Part, PartKind, SignalKind, Terminal, Unit, Wire},
};
use std::collections::BTreeSet;

pub(super) static CHECK: Check = Check {
    name: "common-cause",
    what: "two tracks of a sensor, and two contacts of one switch that a unit reads, share no wire, splice, fuse or plug",
    inputs: "kinds of cavities, sensors and contacts with their ends, wires, fuses, the inputs that read them",
    source: "common practice, no source: supply and ground of their own for each track",
    rests_on: &[(Kind::Part, &["kind", "ends"])],
    reads: &[],
    find,
};

fn find(see: &Snapshot, out: &mut Out) {
    let all = tracks(see);
    for (at, one) in all.iter().enumerate() {
        for other in all.iter().skip(at + 1) {
            if one.part != other.part
                && unit_of(see, one.part) == unit_of(see, other.part)
                && see.unit_of(one.reader) == see.unit_of(other.reader)
            {
                tracks_share(see, one, other, out);
            }
        }
    }
    contacts(see, out);
}

fn unit_of(see: &Snapshot, part: Id<Part>) -> Option<Id<Unit>> {
    see.book().get(part).map(|p: &Part| p.unit)
}

fn tracks_share(see: &Snapshot, one: &Track, other: &Track, out: &mut Out) {
    let book = see.book();
    let nets = &see.signals().nets;
    let mut shared: BTreeSet<String> = BTreeSet::new();
    for (mine, theirs, own) in [
        (
            &one.high_end,
            &other.high_end,
            [one.supply_wire, other.supply_wire],
        ),
        (&one.low_end, &other.low_end, [one.return_wire, other.return_wire]),
    ] {
        let net = nets.at(mine).filter(|net| Some(*net) == nets.at(theirs));
        let Some(net) = net.and_then(|id| nets.get(id)) else {
            continue;
        };
        let reader = see.unit_of(one.reader);
        // What both need: the splice, and the wire from there into the unit.
        for junction in net
            .terminals
            .iter()
            .filter(|t| matches!(t, Terminal::Junction(_)))
        {
            shared.insert(book.terminal_name(junction));
        }
        for wire in net.wires.iter().filter_map(|id| book.get::<Wire>(*id)) {
            let into = [wire.from, wire.to].into_iter().any(|end| match end {
                crate::model::End::Cavity(id) => see.unit_of(id) == reader,
                _ => false,
            });
            if into && (!own.contains(&Some(wire.id)) || own[0] == own[1]) {
                shared.insert(wire.label.clone());
            }
        }
    }
    let (first, second) = (book.label_of::<Part>(one.part), book.label_of::<Part>(other.part));
    let plug = plug(
        see,
        &[&one.low_end, &one.high_end, &other.low_end, &other.high_end],
    );
    if !shared.is_empty() {
        let names: Vec<String> = shared.into_iter().collect();
        let sentence = format!(
            "{first} and {second} share {}: one break takes both.",
            list(&names)
        );
        // An active sensor without its return may read anything: with one return for both nothing is left to notice it.
        let blind = shares_return(see, one, other);
        let level = if blind { Level::Stop } else { Level::Warning };
        say(see, level, one.part, other.part, sentence, out);
    } else if let Some(plug) = plug {
        let sentence = format!("{first} and {second} share the plug {plug}.");
        say(see, Level::Note, one.part, other.part, sentence, out);
    }
}

/// Whether two tracks of active sensors hang on one return.
pub(super) fn shares_return(see: &Snapshot, one: &Track, other: &Track) -> bool {
    let nets = &see.signals().nets;
    let active = |id: Id<Part>| {
        see.book()
            .get(id)
            .is_some_and(|p| matches!(p.kind, PartKind::Ratiometric { .. }))
    };
    let low = nets.at(&one.low_end);
    low.is_some() && low == nets.at(&other.low_end) && active(one.part) && active(other.part)
}

fn say(see: &Snapshot, level: Level, one: Id<Part>, other: Id<Part>, sentence: String, out: &mut Out) {
    let unit = unit_of(see, one).map_or_else(String::new, |u| see.book().label_of::<Unit>(u));
    out.find(
        Finding::new(CHECK.name, level, one, sentence)
            .with([other])
            .matters(format!(
                "The second signal of {unit} is there to notice that the first one lies; what takes both is not noticed."
            ))
            .mend(Mend::words("a supply, a return and a way of its own for each"))
            .source(CHECK.source),
    );
}

/// The connector that all these ends are in.
fn plug(see: &Snapshot, ends: &[&Terminal]) -> Option<String> {
    let of = |end: &&Terminal| match end {
        Terminal::Cavity(id) => see.book().get(*id).map(|c: &Cavity| c.connector),
        _ => None,
    };
    let first = of(ends.first()?)?;
    let all = ends.iter().all(|end| of(end) == Some(first));
    all.then(|| see.book().label_of::<Connector>(first))
}

/// Contacts of one switch, each on a digital input of one unit.
fn contacts(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let read: Vec<(&Part, Id<Unit>)> = book
        .all::<Part>()
        .values()
        .filter_map(|part| Some((part, reader_of(see, part)?)))
        .collect();
    for (at, (one, reader)) in read.iter().enumerate() {
        for (other, _) in read.iter().skip(at + 1).filter(|(_, by)| by == reader) {
            if driver(one) != driver(other) || opposite(one) == opposite(other) {
                continue;
            }
            let shared = feeds(see, one)
                .intersection(&feeds(see, other))
                .cloned()
                .collect::<Vec<_>>();
            if shared.is_empty() {
                continue;
            }
            let sentence = format!("{} and {} share {}.", one.label, other.label, list(&shared));
            say(see, Level::Note, one.id, other.id, sentence, out);
        }
    }
}

fn driver(part: &Part) -> Option<&Driver> {
    match &part.kind {
        PartKind::Contact { driver, .. } if *driver != Driver::StateOnly => Some(driver),
        _ => None,
    }
}

/// Two that move alike (a selector's two ways) are not there to watch each other; one that opens and one that closes are.
fn opposite(part: &Part) -> bool {
    matches!(
        part.kind,
        PartKind::Contact {
            form: crate::model::ContactForm::NormallyClosed,
            ..
        }
    )
}

/// The unit that reads a contact at a digital input.
fn reader_of(see: &Snapshot, part: &Part) -> Option<Id<Unit>> {
    driver(part)?;
    let nets = &see.signals().nets;
    let nets_at = part.ends.iter().filter_map(|end| nets.get(nets.at(end)?));
    let input = |id: &Id<Cavity>| {
        let kind = see.book().get(*id).and_then(|c: &Cavity| c.kind);
        matches!(
            kind,
            Some(SignalKind::DigitalInHigh | SignalKind::DigitalInLow | SignalKind::DigitalInBare)
        )
    };
    nets_at
        .flat_map(|net| net.cavities())
        .find(input)
        .and_then(|id| see.unit_of(id))
}

/// Fuse and wires next to a contact's common end.
fn feeds(see: &Snapshot, part: &Part) -> BTreeSet<String> {
    let (book, nets) = (see.book(), &see.signals().nets);
    let mut found = BTreeSet::new();
    let net = part.ends.first().and_then(|end| nets.get(nets.at(end)?));
    for wire in net.into_iter().flat_map(|net| &net.wires) {
        let at = see.wiring().wire_at(*wire);
        let feed = at.and_then(|at| see.protection().wires.get(at).copied().flatten());
        if let Some(fuse) = feed.and_then(|f| f.fuse) {
            found.insert(book.label_of::<Fuse>(fuse));
        }
        if let Some(wire) = book.get::<Wire>(*wire) {
            let into_part = [wire.from, wire.to].iter().any(|end| match end {
                crate::model::End::Cavity(id) => see.unit_of(*id) == Some(part.unit),
                _ => false,
            });
            if !into_part {
                found.insert(wire.label.clone());
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use crate::{model::*, testing::Bench};

    fn pedal(second_return: &str) -> Bench {
        let mut bench = Bench::new();
        for (number, kind) in [
            ("6", SignalKind::SensorSupply),
            ("7", SignalKind::SensorSupply),
            ("8", SignalKind::SensorReturn),
            ("9", SignalKind::SensorReturn),
            ("10", SignalKind::AnalogueIn),
            ("11", SignalKind::AnalogueIn),
        ] {
            let cavity = bench.cavity("MC-A", number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        let hall = PartKind::Ratiometric {
            a: 0.1,
            b: 0.8,
            ohm: 1000.0,
            draws_a: 0.01,
        };
        bench.part("track 1", hall.clone(), &["PD-A1", "PD-A5", "PD-A3"]);
        bench.part("track 2", hall, &["PD-A2", "PD-A6", "PD-A4"]);
        for (label, from, to) in [
            ("W30", "MC-A6", "PD-A1"),
            ("W33", "MC-A7", "PD-A2"),
            ("W31", "PD-A3", "MC-A10"),
            ("W34", "PD-A4", "MC-A11"),
            ("W32", "PD-A5", "SP5"),
            ("W87", "SP5", "MC-A8"),
            ("W35", "PD-A6", second_return),
        ] {
            bench.wire(label, from, to, 0.5, 1.0);
        }
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of("common-cause")
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn two_tracks_through_one_splice_are_a_stop() {
        assert_eq!(
            found(&pedal("SP5")),
            [(
                Level::Stop,
                "track 1 and track 2 share SP5 and W87: one break takes both.".to_owned()
            )]
        );
    }

    #[test]
    fn one_plug_for_both_is_a_note() {
        assert_eq!(
            found(&pedal("MC-A9")),
            [(Level::Note, "track 1 and track 2 share the plug PD-A.".to_owned())]
        );
    }

    #[test]
    fn a_brake_pair_on_one_fuse_is_a_note() {
        let mut bench = Bench::new();
        bench.battery();
        bench.fuse_way("F6", 10.0, "BP", "PB-A11");
        bench.wire("W39", "PB-A11", "SP6", 1.0, 1.9);
        let switch = bench.switch("brake", &["released", "pressed"]);
        for (n, form) in [
            ("1", ContactForm::NormallyOpen),
            ("3", ContactForm::NormallyClosed),
        ] {
            let driver = Driver::Switch {
                switch,
                operated_in: vec!["pressed".to_owned()],
            };
            let (feed, out, input) = (format!("BS-A{n}"), format!("BS-B{n}"), format!("MC-A{n}"));
            bench.part(
                &format!("contact {n}"),
                Bench::contact(form, driver),
                &[&feed, &out],
            );
            bench.wire(&format!("W4{n}"), "SP6", &feed, 1.0, 0.4);
            bench.wire(&format!("W5{n}"), &out, &input, 0.5, 2.8);
            let cavity = bench.cavity("MC-A", n);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::DigitalInHigh));
        }
        assert_eq!(
            found(&bench),
            [(
                Level::Note,
                "contact 1 and contact 3 share F6 and W39.".to_owned()
            )]
        );
    }
}
