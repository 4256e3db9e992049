//! Terminal 15 that gets its supply from terminal 30 past every switch.

use std::collections::{BTreeMap, HashSet, VecDeque};

use super::{Check, Finding, Level, Mend, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    book::{InOrder, natural},
    model::{Id, Key, Kind, Part, PartKind, Terminal, TerminalNumber},
    signals::{JOINT_OHM, NetId},
};

pub(super) static CHECK: Check = Check {
    name: "switched-fed-direct",
    what: "no place of terminal 15 is fed from the battery but through a switch, relay or output",
    inputs: "terminal numbers 15 and 30, sources, fuse ways, diodes and contacts inside units",
    source: "DIN 72552 (15: positive behind the ignition switch, 30: straight from the battery; read in an encyclopaedia article)",
    rests_on: &[
        (Kind::TerminalNumber, &["at", "number"]),
        (Kind::Part, &["kind", "ends"]),
    ],
    reads: &[(Kind::TerminalNumber, &[])],
    find,
};

/// A net by a terminal number: what it is given at.
type Given<'a> = BTreeMap<NetId, Vec<&'a TerminalNumber>>;

fn find(see: &Snapshot, out: &mut Out) {
    let (switched, direct) = (given(see, "15"), given(see, "30"));
    for (net, places) in &switched {
        let Some(first) = places.first() else { continue };
        match walk(see, *net, &direct) {
            Walk::Fed(feed, through) => out.find(found(see, first.id, places, &feed, &through)),
            Walk::Clear => {}
            Walk::Nothing => out.cannot_at(
                CHECK.name,
                key_of(&first.at),
                format!(
                    "what feeds terminal 15 at {}",
                    see.book().terminal_name(&first.at)
                ),
                [],
            ),
        }
    }
}

fn given<'a>(see: &'a Snapshot, number: &str) -> Given<'a> {
    let book = see.book();
    let mut nets: Given<'a> = BTreeMap::new();
    for one in book
        .all::<TerminalNumber>()
        .values()
        .filter(|t| t.number == number)
    {
        if let Some(net) = see.signals().nets.at(&one.at) {
            nets.entry(net).or_default().push(one);
        }
    }
    for places in nets.values_mut() {
        places.order_by(|t| natural(&book.terminal_name(&t.at)));
    }
    nets
}

enum Walk {
    /// By what, through which parts.
    Fed(String, Vec<Id<Part>>),
    /// Something switched lies on every way.
    Clear,
    /// Nothing leads there at all.
    Nothing,
}

/// From a net towards the supply, past no contact and no output.
fn walk(see: &Snapshot, start: NetId, direct: &Given<'_>) -> Walk {
    let (book, nets) = (see.book(), &see.signals().nets);
    let mut seen = HashSet::from([start]);
    let mut open: VecDeque<(NetId, Vec<Id<Part>>)> = VecDeque::from([(start, Vec::new())]);
    let mut switched = false;
    while let Some((at, through)) = open.pop_front() {
        let Some(net) = nets.get(at) else { continue };
        if let Some(place) = direct.get(&at).and_then(|places| places.first()) {
            return Walk::Fed(format!("30 at {}", book.terminal_name(&place.at)), through);
        }
        for (id, place) in &net.parts {
            let Some(part) = book.get(*id) else { continue };
            let beyond = match (&part.kind, *place) {
                (PartKind::Source { switched: false, .. }, 0) => {
                    return Walk::Fed(part.label.clone(), through);
                }
                (PartKind::Source { .. }, 0) | (PartKind::Contact { .. } | PartKind::Output { .. }, _) => {
                    switched = true;
                    continue;
                }
                (PartKind::Diode { .. }, 1) => part.ends.first(),
                (PartKind::FuseWay { .. }, place) => part.ends.get(1 - place.min(1)),
                (PartKind::Resistor { ohm }, place) if *ohm <= JOINT_OHM => part.ends.get(1 - place.min(1)),
                _ => None,
            };
            if let Some(next) = beyond.and_then(|end| nets.at(end))
                && seen.insert(next)
            {
                let mut through = through.clone();
                through.push(*id);
                open.push_back((next, through));
            }
        }
        // A switch or output of which only the kind of its cavity is known.
        switched |= !nets.source_cavities(book, at).is_empty();
    }
    if switched { Walk::Clear } else { Walk::Nothing }
}

fn found(
    see: &Snapshot,
    number: Id<TerminalNumber>,
    places: &[&TerminalNumber],
    feed: &str,
    through: &[Id<Part>],
) -> Finding {
    let book = see.book();
    let names: Vec<String> = places.iter().map(|t| book.terminal_name(&t.at)).collect();
    let way: Vec<String> = through.iter().map(|id| book.label_of(*id)).collect();
    let sentence = format!(
        "Terminal 15 at {} is fed by {feed} past every switch{}.",
        list(&names),
        if way.is_empty() {
            ": both are one net".to_owned()
        } else {
            format!(", through {}", list(&way))
        }
    );
    let mut finding = Finding::new(CHECK.name, Level::Stop, number, sentence)
        .with(through.iter().copied())
        .matters("What hangs on it cannot be switched off: it stays awake, may be ready to drive without the key, and empties the battery.")
        .mend(Mend::words("feed it from behind the switch or its relay; or, if it is meant to be always on, number it 30"))
        .source(CHECK.source);
    // The place itself is what a person goes to; the number is why.
    finding.places.splice(0..0, places.iter().map(|t| key_of(&t.at)));
    finding
}

/// The record that a place is of.
fn key_of(place: &Terminal) -> Key {
    match place {
        Terminal::Cavity(id) => Key::of(*id),
        Terminal::Junction(id) => Key::of(*id),
        Terminal::Inner { unit, .. } => Key::of(*unit),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Level, run_without_mends};
    use super::CHECK;
    use crate::{model::*, testing::Bench};

    /// A battery, a fuse, a key switch, and a controller that is fed from behind the switch.
    fn fed() -> Bench {
        let mut bench = Bench::new();
        bench.battery();
        bench.fuse_way("F1", 10.0, "BP", "PB-A1");
        bench.wire("W1", "PB-A1", "KS-A1", 1.0, 2.0);
        bench.wire("W2", "KS-A2", "MC-A1", 1.0, 2.0);
        let switch = bench.switch("KEY", &["off", "on"]);
        let driver = Driver::Switch {
            switch,
            operated_in: vec!["on".to_owned()],
        };
        bench.part(
            "KEY contact",
            Bench::contact(ContactForm::NormallyOpen, driver),
            &["KS-A1", "KS-A2"],
        );
        bench.terminal_number("KS-A2", "15");
        bench.terminal_number("KS-A1", "30");
        bench
    }

    fn found(bench: &Bench) -> Vec<(Level, String)> {
        let report = run_without_mends(&bench.snapshot());
        report
            .of(CHECK.name)
            .map(|f| (f.level, f.sentence.clone()))
            .collect()
    }

    #[test]
    fn behind_the_switch_is_where_it_belongs() {
        assert_eq!(found(&fed()), []);
        assert_eq!(fed().missing_for(CHECK.name), Vec::<String>::new());
    }

    #[test]
    fn a_second_fuse_that_goes_past_the_switch_is_found() {
        let mut bench = fed();
        bench.fuse_way("F2", 5.0, "BP", "PB-A2");
        bench.wire("W3", "PB-A2", "MC-A1", 1.0, 2.0);
        assert_eq!(
            found(&bench),
            [(
                Level::Stop,
                "Terminal 15 at KS-A2 is fed by battery past every switch, through F2 way.".to_owned()
            )]
        );
    }

    /// Drawn the other way round a fuse way conducts all the same; a diode does not.
    #[test]
    fn a_fuse_conducts_both_ways_and_a_diode_one() {
        let mut bench = fed();
        bench.fuse_way("F2", 5.0, "PB-A2", "BP");
        bench.wire("W3", "PB-A2", "MC-A1", 1.0, 2.0);
        assert_eq!(found(&bench).len(), 1);
        let diode = |ends: &[&str]| {
            let mut bench = fed();
            bench.part("V1", PartKind::Diode { forward_v: 0.7 }, ends);
            found(&bench).len()
        };
        assert_eq!((diode(&["PB-A1", "MC-A1"]), diode(&["MC-A1", "PB-A1"])), (1, 0));
    }

    #[test]
    fn one_net_with_both_numbers_is_found() {
        let mut bench = fed();
        bench.wire("W3", "KS-A1", "KS-A2", 1.0, 0.1);
        assert_eq!(
            found(&bench)[0].1,
            "Terminal 15 at KS-A2 is fed by 30 at KS-A1 past every switch: both are one net."
        );
    }

    #[test]
    fn what_nothing_feeds_cannot_be_checked() {
        let mut bench = Bench::new();
        bench.wire("W2", "KS-A2", "MC-A1", 1.0, 2.0);
        bench.terminal_number("MC-A1", "15");
        assert_eq!(found(&bench), []);
        assert_eq!(bench.missing_for(CHECK.name), ["what feeds terminal 15 at MC-A1"]);
        // A switch contact tells where it comes from, even without its inside parts.
        let cavity = bench.cavity("KS-A", "2");
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::SwitchContact));
        assert_eq!(bench.missing_for(CHECK.name), Vec::<String>::new());
    }

    #[test]
    fn without_a_terminal_15_there_is_nothing_to_say() {
        let mut bench = Bench::new();
        bench.battery();
        bench.terminal_number("BP", "30");
        assert_eq!((found(&bench), bench.missing_for(CHECK.name)), (vec![], vec![]));
    }
}
